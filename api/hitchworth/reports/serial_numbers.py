"""The register of serial numbers, for the police and the insurer: what bears a number, where, and what shows it."""

from collections.abc import Iterator

from hitchworth.documentation.register import serial_number_register
from hitchworth.model.evidence import Evidence
from hitchworth.model.serial_numbers import NumberEvidence, RegisterEntry
from hitchworth.reports.after_loss import known_of_loss
from hitchworth.reports.built_class import year_and_make
from hitchworth.reports.content import AnyBlock, Blanks, Column, Fact, Facts, Heading, Paragraph, Table, Thumbnail
from hitchworth.reports.context import ReportContext
from hitchworth.reports.conversation import owner_facts
from hitchworth.reports.pictures import LEGIBLE, SMALL, Pictured, Wanted, pictured

NUMBER_PICTURES = 2
"""Pictures of one number; more are named."""


def serial_numbers(context: ReportContext) -> tuple[AnyBlock, ...]:
    """Return owner and trailer, blanks for the numbers of report and claim, and a row for everything with a number."""
    register = serial_number_register(context.build, context.evidence, context.statement.as_of)
    pictures = pictured(context, _wanted(context, register.items))
    without = register.without_number
    known = known_of_loss(context)
    blank = ("loss_police_number", "loss_claim_number")
    told = tuple(Fact(context.format(what), known[what]) for what in blank if what in known)
    return (
        Heading(context.format("serial_numbers")),
        Facts((*owner_facts(context), *_trailer(context), *told), columns=2),
        *((Blanks(tuple(context.format(what) for what in blank if what not in known)),) if len(told) < 2 else ()),
        _numbers(context, register.items, pictures),
        *pictures.remarks,
        *((Paragraph(context.format("without_serial", count=str(without))),) if without else ()),
    )


def _trailer(context: ReportContext) -> tuple[Fact, ...]:
    build, localizer, unknown = context.build, context.localizer, context.format("not_known")
    known = {
        "year_and_make": year_and_make(build) or unknown,
        "identification_number": build.vin or unknown,
        "number_location": build.vin_location or unknown,
        "registered_as": localizer.heading("class", build.registered_class) if build.registered_class else unknown,
        "registered_in": context.jurisdiction_label(build.jurisdiction) if build.jurisdiction else unknown,
    }
    return tuple(Fact(context.format(label), value) for label, value in known.items())


def _numbers(context: ReportContext, entries: tuple[RegisterEntry, ...], pictures: Pictured) -> Table:
    columns = (
        Column(context.format("item"), width=5),
        *(Column(context.format(title), width=3) for title in ("serial", "model", "number_location", "shown_by")),
    )
    return Table(
        context.format("register_caption", as_of=context.statement.as_of),
        columns,
        tuple(_row(context, entry) for entry in entries),
        pictures=tuple(_thumbnails(entry, pictures) for entry in entries),
    )


def _thumbnails(entry: RegisterEntry, pictures: Pictured) -> tuple[Thumbnail, ...]:
    ids = (each.id for each in (*entry.shown_by, *entry.photos))
    return tuple(pictures.thumbnails[each] for each in ids if each in pictures.thumbnails)


def _row(context: ReportContext, entry: RegisterEntry) -> tuple[str, ...]:
    return (
        _item(context, entry),
        _number(context, entry),
        entry.model_number or "–",
        entry.number_location or "–",
        "\n".join(_shown_by(context, entry)) or "–",
    )


def _item(context: ReportContext, entry: RegisterEntry) -> str:
    if entry.component is None or entry.quantity == 1:
        return entry.description
    quantity = context.localizer.formats.number(entry.quantity)
    text = "item_pieces" if entry.unit == "piece" else "item_quantity"
    return context.format(text, description=entry.description, quantity=quantity, unit=entry.unit)


def _number(context: ReportContext, entry: RegisterEntry) -> str:
    if entry.identification_number:
        return f"{entry.identification_number}\n{context.format('identification_number')}"
    if entry.serial_number:
        return entry.serial_number
    return context.format("to_read_off" if entry.shown_by else "not_on_record")


def _shown_by(context: ReportContext, entry: RegisterEntry) -> Iterator[str]:
    yield from map(_name, entry.shown_by)
    if entry.photos:
        yield context.format("photos_of_it", files=", ".join(map(_name, entry.photos)))


def _name(each: NumberEvidence) -> str:
    return each.file_name or each.id


def _wanted(context: ReportContext, entries: tuple[RegisterEntry, ...]) -> Iterator[Wanted]:
    """Yield the pictures that show a number, of everything first, then a photo of each thing that has none of these.

    A picture of a receipt is not printed: it may show what is nobody's business.
    """
    evidence = {each.id: each for each in context.evidence}
    for entry in entries:
        shown = [each for each in entry.shown_by if each.kind in ("photo", None)]
        for each in shown[:NUMBER_PICTURES]:
            yield _picture(context, "picture_of_number", entry, evidence[each.id], LEGIBLE)
    for entry in entries:
        if not any(each.kind in ("photo", None) for each in entry.shown_by) and entry.photos:
            yield _picture(context, "picture_of", entry, evidence[entry.photos[0].id], SMALL)


def _picture(context: ReportContext, text: str, entry: RegisterEntry, evidence: Evidence, side: int) -> Wanted:
    name = evidence.file_name or evidence.id
    return Wanted(evidence, context.format(text, item=entry.description, file=name), side)
