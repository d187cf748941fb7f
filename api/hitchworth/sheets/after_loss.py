"""After a loss: what to do at once and on the first day, what to hand to the police, and which time limits run."""

from typing import get_args

from hitchworth.model.after_loss import AfterLoss, ChecklistItem, TimeLimit, When
from hitchworth.sheets.content import (
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
from hitchworth.sheets.place import place
from hitchworth.sheets.subject import Subject

TICK = "\u25a1"
"""A box to tick."""

KEPT = ("do_not_discard", "keep_after_theft")
"""What is set in a box of its own, because what was thrown away cannot be made good."""


def after_loss(subject: Subject) -> tuple[AnyBlock, ...]:
    """A checklist to tear off and take along."""
    after = subject.statement.after_loss
    return (
        Heading(subject.say("after_loss"), new_page=True),
        Facts((Fact(subject.say("identification_number"), after.identification_number or subject.say("not_known")),)),
        Blanks(tuple(subject.say(f"loss_{what}") for what in ("hour", "police_number", "claim_number", "spoken_with"))),
        *_kept(subject, after),
        *_checklist(subject, after),
        *_time_limits(subject, after),
        *_serial_numbers(subject, after),
    )


def _kept(subject: Subject, after: AfterLoss) -> tuple[AnyBlock, ...]:
    items = tuple(item.text for item in after.checklist if item.id in KEPT)
    return (Caution(subject.say("keep"), items),) if items else ()


def _checklist(subject: Subject, after: AfterLoss) -> tuple[AnyBlock, ...]:
    """What is to be done, by the time in which; what is for some of the perils only says so."""
    columns = (
        Column(subject.say("what_to_do"), width=9),
        Column(subject.say("after_which"), width=2),
        Column(subject.say("done"), width=1),
    )
    groups = []
    for when in get_args(When):
        items = [item for item in after.checklist if item.when == when and item.id not in KEPT]
        rows = tuple((item.text, _perils(subject, item, after), TICK) for item in items)
        if rows:
            groups.append(Group(subject.voice.heading("when", when), rows))
    return (GroupedTable(subject.say("checklist_caption"), columns, tuple(groups)),) if groups else ()


def _perils(subject: Subject, item: ChecklistItem, after: AfterLoss) -> str:
    if set(item.perils) == set(after.perils):
        return subject.say("any_loss")
    return ", ".join(subject.voice.label("peril", peril) for peril in item.perils)


def _time_limits(subject: Subject, after: AfterLoss) -> tuple[AnyBlock, ...]:
    if not after.time_limits:
        return ()
    columns = (
        Column(subject.say("time_limit"), width=5),
        Column(subject.say("last_day"), width=2),
        Column(subject.say("source"), width=4),
    )
    rows = tuple((limit.text, _last_day(subject, limit), _source(subject, limit)) for limit in after.time_limits)
    return (Table(subject.say("time_limits_caption"), columns, rows), Paragraph(subject.say("last_day_meaning")))


def _last_day(subject: Subject, limit: TimeLimit) -> str:
    """One day where all losses are of one day, else one for each loss."""
    if limit.within is None:
        return ""
    if limit.counted_in in ("business_days", "working_days"):
        return subject.say("days_to_count")
    days = dict.fromkeys(last.day for last in limit.last_days)
    if len(days) == 1:
        return subject.voice.formats.day(next(iter(days)))
    return ", ".join(subject.say("last_day_of", day=last.day.isoformat(), loss=last.loss) for last in limit.last_days)


def _source(subject: Subject, limit: TimeLimit) -> str:
    """Where it applies, what says so, and how that came here."""
    marked = subject.say("marked", source=limit.source, mark=limit.mark)
    return f"{place(subject, limit.jurisdiction)}: {marked}" if limit.jurisdiction else marked


def _serial_numbers(subject: Subject, after: AfterLoss) -> tuple[AnyBlock, ...]:
    """What tells a component from others, for the police."""
    columns = (
        Column(subject.say("item"), width=5),
        Column(subject.say("serial"), width=3),
        Column(subject.say("model"), width=2),
    )
    rows = tuple((each.description, each.serial_number, each.model_number or "") for each in after.serial_numbers)
    without = str(after.without_serial_number)
    return (
        *((Table(subject.say("serials_caption"), columns, rows),) if rows else ()),
        *((Paragraph(subject.say("without_serial", count=without)),) if after.without_serial_number else ()),
    )
