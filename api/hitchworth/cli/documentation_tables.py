"""The documentation score and the register of serial numbers as tables for a terminal of at least 80 columns."""

from collections.abc import Iterator, Sequence
from itertools import chain

from rich.console import Group, RenderableType
from rich.padding import Padding
from rich.text import Text

from hitchworth.cli.layout import SPACE_BELOW, add_amount_columns, bullet_list, plain_table, sheet_text, titled_table
from hitchworth.localization.localizer import Localizer
from hitchworth.localization.texts import texts
from hitchworth.model.documentation import DocumentationScore, RecordKind
from hitchworth.model.serial_numbers import FoundNumber, NumberSearch, RegisterEntry, SerialNumberRegister


def documentation_report(score: DocumentationScore, localizer: Localizer) -> Group:
    """Lay out what is documented, and the records to find first."""
    parts = [_shares(score, localizer)]
    if score.records:
        parts.append(_records(score, localizer))
    if more := score.missing - len(score.records):
        parts.append(Text(sheet_text(localizer, "more_records", count=str(more))))
    if score.kind_not_stated:
        parts.append(Text(sheet_text(localizer, "kind_not_stated", count=str(score.kind_not_stated))))
    return Group(*(Padding(part, SPACE_BELOW) for part in parts))


def _shares(score: DocumentationScore, localizer: Localizer) -> RenderableType:
    table = plain_table(localizer, "documentation_caption", "record")
    add_amount_columns(table, *(sheet_text(localizer, each) for each in ("share", "replacement_cost", "parts")))
    for each in score.shares:
        cost = score.replacement_cost
        share = localizer.formats.percent(each.replacement_cost / cost, 1, 1) if cost else "–"
        parts = f"{each.parts} / {score.parts}"
        table.add_row(_label(each.record, localizer), share, localizer.money(each.replacement_cost), parts)
    return table


def _records(score: DocumentationScore, localizer: Localizer) -> RenderableType:
    table = plain_table(localizer, "records_caption", "item")
    for heading in ("record_to_find", "on_record"):
        table.add_column(sheet_text(localizer, heading))
    add_amount_columns(table, sheet_text(localizer, "replacement_cost"))
    for each in score.records:
        on_record = ", ".join(_label(record, localizer) for record in each.on_record) or "–"
        table.add_row(
            each.description, _label(each.record, localizer), on_record, localizer.money(each.replacement_cost)
        )
    return table


def _label(record: RecordKind, localizer: Localizer) -> str:
    return localizer.label("record_kind", record)


def register_report(register: SerialNumberRegister, localizer: Localizer) -> Group:
    """Lay out the register, and the parts whose number nobody has written down."""
    table = plain_table(localizer, "register_caption", "item", as_of=register.as_of)
    for heading in ("serial", "model", "number_location", "shown_by"):
        table.add_column(sheet_text(localizer, heading))
    for entry in register.items:
        table.add_row(*_register_row(entry, localizer))
    return Group(*(Padding(part, SPACE_BELOW) for part in (table, *_unnumbered(register, localizer))))


def _register_row(entry: RegisterEntry, localizer: Localizer) -> tuple[str, ...]:
    number = entry.identification_number or entry.serial_number or sheet_text(localizer, "not_on_record")
    files = ", ".join(each.file_name or each.id for each in entry.shown_by)
    return entry.description, number, entry.model_number or "–", entry.number_location or "–", files or "–"


def _unnumbered(register: SerialNumberRegister, localizer: Localizer) -> Iterator[RenderableType]:
    if register.without_number:
        yield Text(sheet_text(localizer, "without_serial", count=str(register.without_number)))
    if register.unnumbered:
        yield bullet_list(sheet_text(localizer, "usually_numbered"), (each.description for each in register.unnumbered))


def search_report(searches: Sequence[tuple[str, NumberSearch]], localizer: Localizer) -> Group:
    """Lay out what was found for a number, with where it was: a file, or a build and its id; the caution last."""
    number, caution = searches[0][1].number, searches[0][1].caution
    found = [(place, item) for place, search in searches for item in search.items]
    if not found:
        nothing = localizer.format(texts().serial_numbers["nothing"], number=number)
        parts: list[RenderableType] = [Text(nothing, style="bold")]
    else:
        table = titled_table(localizer.format(texts().serial_numbers["title"], number=number), "")
        table.add_column(localizer.translate(texts().serial_numbers["found"]))
        for place, item in found:
            table.add_row(_place(place, item), item.text)
        parts = [table, Text(caution, style="dim")]
    if not all(search.is_complete for _, search in searches):
        parts.append(Text(localizer.translate(texts().serial_numbers["incomplete"])))
    unread = tuple(chain.from_iterable(search.unread for _, search in searches))
    if unread:
        parts.append(Text(localizer.format(texts().serial_numbers["unread"], builds=", ".join(unread))))
    return Group(*(Padding(part, SPACE_BELOW) for part in parts))


def _place(file: str, item: FoundNumber) -> str:
    return file if item.build is None else f"{item.name} ({item.build})"
