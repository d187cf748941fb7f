"""After a loss: what to do at once and on the first day, what to give to the police, and which time limits apply."""

from itertools import zip_longest
from typing import get_args

from hitchworth.localization.localizer import capital
from hitchworth.model.after_loss import AfterLoss, ChecklistItem, TimeLimit, When
from hitchworth.reports.content import (
    AnyBlock,
    Blanks,
    Caution,
    Column,
    Fact,
    Facts,
    Group,
    GroupedTable,
    Heading,
    Paragraph,
    Table,
)
from hitchworth.reports.context import ReportContext, was_read

CHECKBOX = "\u25a1"

ROOM_TO_WRITE = "\n\u00a0"
"""A second line without text: a row as high as handwriting needs."""

DO_NOT_DISCARD = ("do_not_discard", "keep_after_theft")
"""Items in their own box, because what you throw away you cannot get back."""


def after_loss(context: ReportContext) -> tuple[AnyBlock, ...]:
    """Return a checklist to tear off and take with you."""
    after = context.statement.after_loss
    return (
        Heading(context.format("after_loss")),
        *_first_notes(context, after),
        *((Paragraph(context.format("only_any_loss")),) if not after.perils else ()),
        *_do_not_discard(context, after),
        _telephone_list(context),
        *_checklist(context, after),
        *_time_limits(context, after),
        *_serial_numbers(context, after),
    )


def _first_notes(context: ReportContext, after: AfterLoss) -> tuple[AnyBlock, ...]:
    """Return what is known of the loss, and blanks for the rest; the hour of it is in no record."""
    known = known_of_loss(context)
    facts = {"identification_number": after.vin or context.format("not_known"), **known}
    blank = (what for what in ("loss_hour", "loss_police_number", "loss_claim_number", "loss_spoken_with"))
    return (
        Facts(tuple(Fact(context.format(what), value) for what, value in facts.items())),
        Blanks(tuple(context.format(what) for what in blank if what not in known)),
    )


def known_of_loss(context: ReportContext) -> dict[str, str]:
    """Return what the record says of the loss that a claim is about, by the name of its text."""
    if context.claim is None:
        return {}
    loss, formats = context.claim.loss, context.localizer.formats
    spoken = (
        context.format("spoken_with_on", name=answer.said_by, day=answer.said_on)
        for answer in context.statement.answers
        if loss.occurred_on and answer.said_by and answer.said_on and answer.said_on >= loss.occurred_on
    )
    known = {
        "pack_day_of_loss": formats.day(loss.occurred_on) if loss.occurred_on else "",
        "loss_police_number": loss.police_report_number or "",
        "loss_claim_number": loss.claim_number or "",
        "loss_spoken_with": "; ".join(dict.fromkeys(spoken)),
    }
    return {what: value for what, value in known.items() if value}


def _telephone_list(context: ReportContext) -> Table:
    """Return whom to call, with room for the numbers: fill it in before anything happens."""
    columns = (
        Column(context.format("whom_to_call"), width=6),
        Column(context.format("telephone"), width=3),
        Column(context.format("name_or_number"), width=3),
    )
    insurers = tuple(context.format("call_insurer", policy=policy.name) for policy in context.policies)
    others = tuple(context.format(f"call_{whom}") for whom in ("agent", "towing", "authority", "lender"))
    called = (context.format("call_police"), *(insurers or (context.format("speak_insurer"),)), *others)
    loss = context.claim.loss if context.claim else None
    numbers = (loss.police_report_number, loss.claim_number) if loss else ()
    rows = tuple(
        (f"{whom}{ROOM_TO_WRITE}", "", number or "") for whom, number in zip_longest(called, numbers, fillvalue="")
    )
    return Table(context.format("telephone_list"), columns, rows)


def _do_not_discard(context: ReportContext, after: AfterLoss) -> tuple[AnyBlock, ...]:
    items = tuple(item.text for item in after.checklist if item.id in DO_NOT_DISCARD)
    return (Caution(context.format("keep"), items),) if items else ()


def _checklist(context: ReportContext, after: AfterLoss) -> tuple[AnyBlock, ...]:
    """Return what to do, by when; items for only some of the perils name them."""
    columns = (
        Column(context.format("what_to_do"), width=9),
        Column(context.format("after_which"), width=2),
        Column(context.format("done"), width=1),
    )
    groups = []
    for when in get_args(When):
        items = [item for item in after.checklist if item.when == when and item.id not in DO_NOT_DISCARD]
        rows = tuple((item.text, _perils(context, item, after), CHECKBOX) for item in items)
        if rows:
            groups.append(Group(context.localizer.heading("when", when), rows))
    return (GroupedTable(context.format("checklist_caption"), columns, tuple(groups)),) if groups else ()


def _perils(context: ReportContext, item: ChecklistItem, after: AfterLoss) -> str:
    if set(item.perils) == set(after.perils):
        return capital(context.format("any_loss"))
    return capital(", ".join(context.localizer.label("peril", peril) for peril in item.perils))


def _time_limits(context: ReportContext, after: AfterLoss) -> tuple[AnyBlock, ...]:
    limits = tuple(limit for limit in after.time_limits if context.shown((limit,)) or not _claims(limit))
    if not limits:
        return ()
    columns = (
        Column(context.format("time_limit"), width=5),
        Column(context.format("last_day"), width=2),
        Column(context.format("source"), width=4),
    )
    rows = tuple((limit.text, _last_day(context, limit), _source(context, limit)) for limit in limits)
    meanings = [context.format("last_day_meaning")]
    if any(last_day == context.format("days_to_count") for _, last_day, _ in rows):
        meanings.append(context.format("days_to_count_meaning"))
    return (Table(context.format("time_limits_caption"), columns, rows), Paragraph(" ".join(meanings)))


def _last_day(context: ReportContext, limit: TimeLimit) -> str:
    """Return the insured's one day where all losses have the same, otherwise one for each loss.

    The insurer's time begins with something that has yet to happen, and a loss that is only supposed has no day: then
    there is a blank to fill in.
    """
    if limit.within is None or limit.step == "status":
        return ""
    if limit.duty_of == "insured" and limit.counted_in in ("business_days", "working_days"):
        return context.format("days_to_count")
    if not limit.deadlines:
        return context.format("to_fill_in", within=str(limit.within), **_words(limit))
    days = dict.fromkeys(last.day for last in limit.deadlines)
    if len(days) == 1:
        return context.localizer.formats.day(next(iter(days)))
    return ", ".join(
        context.format("last_day_of", day=last.day.isoformat(), loss=last.loss) for last in limit.deadlines
    )


def unread_limits(context: ReportContext) -> int:
    """Return how many time limits were not compared with the published text."""
    return sum(_claims(limit) and not was_read(limit) for limit in context.statement.after_loss.time_limits)


def _claims(limit: TimeLimit) -> bool:
    """Return whether the entry says what the rule is, and not only that nobody looked it up."""
    return limit.step != "not_looked_up"


def _words(limit: TimeLimit) -> dict[str, str]:
    return {"counted_in": limit.counted_in, "runs_from": limit.runs_from}


def _source(context: ReportContext, limit: TimeLimit) -> str:
    """Return where the limit applies, its source and how reliable that is. Customs and model texts are law nowhere."""
    if not context.shown((limit,)):
        return ""
    marked = context.source(limit.source, limit.provenance)
    if limit.authority in ("custom", "model_text"):
        return marked
    place = context.jurisdiction_label(limit.jurisdiction)
    return context.format("named", name=place, value=marked) if marked else place


def _serial_numbers(context: ReportContext, after: AfterLoss) -> tuple[AnyBlock, ...]:
    """Return the serial numbers of the components, for the police; what else there is to say comes before them.

    After a long table it could be the only line of a page.
    """
    columns = (
        Column(context.format("item"), width=5),
        Column(context.format("serial"), width=3),
        Column(context.format("model"), width=2),
    )
    rows = tuple((each.description, each.serial_number, each.model_number or "") for each in after.serial_numbers)
    without = str(after.without_serial_number)
    return (
        *((Paragraph(context.format("without_serial", count=without)),) if after.without_serial_number else ()),
        *((Table(context.format("serials_caption"), columns, rows),) if rows else ()),
    )
