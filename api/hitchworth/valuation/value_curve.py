"""The value curve: a build valued on a row of dates, and how long a limit covers it."""

from collections.abc import Sequence
from datetime import date
from decimal import Decimal

from hitchworth.model.estimate import Totals
from hitchworth.model.note import Note
from hitchworth.model.request import ValueCurveRequest
from hitchworth.model.value_curve import CurvePoint, LimitCrossing, ValueBasis, ValueCurve
from hitchworth.valuation.days_of_change import days_of_change
from hitchworth.valuation.estimate import estimate
from hitchworth.valuation.limit_search import LimitSearch
from hitchworth.valuation.money import Money, printed
from hitchworth.valuation.quick_totals import QuickTotals
from hitchworth.valuation.remarks import Remarks
from hitchworth.valuation.value_changes import value_changes

MOST_LINES = 1_000_000
"""So many lines are valued in the search: a few seconds' work."""


def value_curve(request: ValueCurveRequest) -> ValueCurve:
    """Value a checked build on each date. Raises ValueError as `estimate` does."""
    build, limit, basis = request.build, request.limit, request.basis
    remarks, first, last = Remarks(), request.dates[0], request.dates[-1]
    money = Money(build.currency, request.options.rounding)
    totals = QuickTotals(build, request.options)
    points = tuple(_point(day, totals.on(day), limit, basis, money) for day in request.dates)
    days, lines = days_of_change(build, first, last), len(build.components) + len(build.labor)
    crossings: tuple[LimitCrossing, ...] = ()
    until = None
    if limit is not None:
        crossings, until = _crossings(request, limit, totals, days)
        if until is not None and until < last:
            remarks.add("search_ended", until=until.isoformat())
    return ValueCurve(
        currency=build.currency,
        locale=request.locale,
        basis=basis,
        limit=limit,
        points=points,
        changes=tuple(value_changes(totals, days[1:], {crossing.on for crossing in crossings[1:]}, lines)),
        limit_exceeded_on=next((crossing.on for crossing in crossings if not crossing.covered), None),
        crossings=crossings,
        searched_until=until,
        notes=(*_notes(request, (first, last)), *remarks.notes()),
    )


def _crossings(
    request: ValueCurveRequest, limit: Decimal, totals: QuickTotals, days: Sequence[date]
) -> tuple[tuple[LimitCrossing, ...], date | None]:
    """Every crossing, and to which day they are complete; after that day, the given dates alone are looked at."""
    most = totals.lines_valued + MOST_LINES
    search = LimitSearch(lambda day: _value(totals.on(day), request.basis), limit, lambda: totals.lines_valued > most)
    found = tuple(search.crossings(days, request.dates[-1]))
    until = search.searched_until
    later = [day for day in request.dates if until is not None and day > until]
    return (*found, *search.crossings_between(later, found[-1].covered)), until


def _value(totals: Totals, basis: ValueBasis) -> Decimal:
    return totals.actual_cash_value if basis == "actual_cash_value" else totals.replacement_cost


def _point(day: date, totals: Totals, limit: Decimal | None, basis: ValueBasis, money: Money) -> CurvePoint:
    value = _value(totals, basis)
    return CurvePoint(
        as_of=day,
        replacement_cost=totals.replacement_cost,
        actual_cash_value=totals.actual_cash_value,
        limit=limit,
        insurance_to_value=_ratio(limit, value, money) if limit is not None and value else None,
        covered=None if limit is None else limit >= value,
    )


def _ratio(limit: Decimal, value: Decimal, money: Money) -> Decimal:
    (overrides, under), minor = limit.as_integer_ratio(), money.minor(value)
    return printed(overrides * 10**money.exponent, under * minor, 4)


def _notes(request: ValueCurveRequest, days: Sequence[date]) -> tuple[Note, ...]:
    """What is to be known about the values on the first and the last date, each kind of remark once for a thing."""
    found = [note for day in days for note in estimate(request.build, day, request.options).notes]
    told = {(note.code, note.about): note for note in reversed(found) if note.code != "entries_left_out"}
    return tuple(reversed(told.values()))
