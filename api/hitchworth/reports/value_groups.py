"""The value of the trailer in a few groups of parts, with the evidence of each and the own hours by themselves."""

from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal
from typing import get_args

from msgspec import Struct

from hitchworth.localization.localizer import capital
from hitchworth.model.entry import EvidenceGrade, Labor
from hitchworth.model.estimate import EstimateLine
from hitchworth.model.timeline import market_rate_known_on
from hitchworth.money import split
from hitchworth.reference.value_groups import value_group_of, value_groups
from hitchworth.reports.content import AnyBlock, Column, Listing, Table
from hitchworth.reports.context import ReportContext
from hitchworth.valuation.labor_rates import grade_of_rate

OWN_HOURS, HIRED_HOURS = "own_hours", "hired_hours"
_MOST_PLACES = 4
"""The minor unit of a currency has at most so many decimals (ISO 4217)."""


class _Row(Struct, frozen=True):
    """A group with its lines."""

    name: str
    lines: tuple[EstimateLine, ...]

    def total(self, figure: str) -> Decimal:
        return sum((getattr(line, figure) for line in self.lines), Decimal(0))


def value_by_group(context: ReportContext) -> Table:
    """Return replacement cost, actual cash value and evidence by group; the rows add up to the totals."""
    estimate, formats = context.statement.estimate, context.localizer.formats
    totals = estimate.totals
    columns = (
        Column(context.format("value_of"), width=3),
        Column(context.format("replacement_cost"), align="right"),
        Column(context.format("actual_cash_value"), align="right"),
        Column(context.format("evidence"), width=3),
    )
    rows = tuple(
        (
            _title(context, row.name),
            *(_amount(context, row.total(figure)) for figure in ("replacement_cost", "actual_cash_value")),
            _evidence(context, row),
        )
        for row in _rows(context)
    )
    foot = (
        context.format("total"),
        context.amount(totals.replacement_cost),
        context.amount(totals.actual_cash_value),
        "",
    )
    return Table(context.format("value_caption", as_of=formats.day(context.statement.as_of)), columns, rows, foot)


def _rows(context: ReportContext) -> Iterable[_Row]:
    """Yield the groups of parts that the trailer has, then hired hours and own hours."""
    hired = {labor.id: labor.hired for labor in context.build.labor}
    by_group: dict[str, list[EstimateLine]] = {}
    for line in context.statement.estimate.lines:
        if line.kind == "labor":
            group = HIRED_HOURS if hired[line.id] else OWN_HOURS
        else:
            group = value_group_of(line.category)
        by_group.setdefault(group, []).append(line)
    names = (*(group.name for group in value_groups()), HIRED_HOURS, OWN_HOURS)
    return (_Row(name, tuple(by_group[name])) for name in names if name in by_group)


def _title(context: ReportContext, name: str) -> str:
    if name in (OWN_HOURS, HIRED_HOURS):
        return context.format(name)
    return context.localizer.heading("value_group", name)


def _amount(context: ReportContext, amount: Decimal) -> str:
    """Return the amount; of what has no price, that it is not valued."""
    return context.amount(amount) if amount else context.format("not_valued")


def caveats(context: ReportContext) -> tuple[AnyBlock, ...]:
    """Return in short what the figures of the sheet lack or guess, so that nobody takes them for more than they are."""
    notes = {note.code: note for note in context.statement.estimate.notes}
    used = sum(note.code == "used_part_without_price_new" for note in context.statement.estimate.notes)
    texts = [
        context.format(text, hours=notes[code].parameters["hours"])
        for code, text in (("own_hours_without_market_rate", "caveat_hours"), ("guessed_market_rate", "caveat_guess"))
        if code in notes
    ]
    if used:
        texts.append(context.format("caveat_used", count=str(used)))
    return (Listing(tuple(texts)),) if texts else ()


def _hours(context: ReportContext, row: _Row) -> str:
    """Return the hours of work by what proves their rate, each with the rates; those without any rate by themselves."""
    ids = {line.id for line in row.lines}
    by_evidence: dict[str | None, list[tuple[Decimal, Decimal]]] = {}
    for labor in context.build.labor:
        if labor.id in ids:
            known = market_rate_known_on(labor, context.statement.as_of)
            rate = labor.rate if known is None else known
            by_evidence.setdefault(_proof(context, labor) if rate else None, []).append((labor.hours, rate))
    return ", ".join(_hours_at_rate(context, proof, work) for proof, work in by_evidence.items())


def _proof(context: ReportContext, labor: Labor) -> str:
    """Return what proves the rate, in words; that nobody stated it of hired work, which has an invoice or has not."""
    if labor.hired and labor.evidence_grade is None:
        return context.format("no_evidence_stated")
    return context.localizer.label("evidence", grade_of_rate(labor))


def _hours_at_rate(context: ReportContext, proof: str | None, work: Sequence[tuple[Decimal, Decimal]]) -> str:
    hours = context.localizer.formats.number(sum((spent for spent, _ in work), Decimal(0)))
    if proof is None:
        return context.format("hours_without_rate", hours=hours)
    low, high = min(rate for _, rate in work), max(rate for _, rate in work)
    rates = context.money(low) if low == high else context.format("value_range_value", low=low, high=high)
    return context.format("hours_at_rate", hours=hours, rate=rates, grade=proof)


def _evidence(context: ReportContext, row: _Row) -> str:
    """Return the share of each grade of evidence in the cost of the parts; of work, the hours and their rates."""
    if row.name in (OWN_HOURS, HIRED_HOURS):
        return _hours(context, row)
    localizer = context.localizer
    grades = {component.id: component.evidence_grade for component in context.build.components}
    amounts = {
        label: sum((line.replacement_cost for line in row.lines if grades[line.id] == grade), Decimal(0))
        for grade, label in evidence_labels(context).items()
    }
    if not any(amounts.values()):
        return ""
    shares = split(100, [int(amount.scaleb(_MOST_PLACES)) for amount in amounts.values()], [*amounts])
    return capital(
        ", ".join(
            f"{label} {localizer.formats.percent(Decimal(share) / 100, 0)}"
            for (label, amount), share in zip(amounts.items(), shares, strict=True)
            if amount
        )
    )


def evidence_labels(context: ReportContext) -> Mapping[EvidenceGrade | None, str]:
    """Return the grades of evidence of a part in words; None: nobody stated one."""
    grades = {grade: context.localizer.label("evidence", grade) for grade in get_args(EvidenceGrade)}
    return {**grades, None: context.format("evidence_not_stated")}
