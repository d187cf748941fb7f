"""The value curve: a build valued on a series of dates, and how long a limit covers it."""

from bisect import bisect_right
from collections.abc import Collection, Iterator, Sequence
from datetime import date, timedelta
from decimal import Decimal, localcontext

from hitchworth.model.build import Build
from hitchworth.model.estimate import Totals
from hitchworth.model.note import Note
from hitchworth.model.options import Options
from hitchworth.model.request import ValueCurveRequest
from hitchworth.model.value_curve import CurvePoint, LimitCrossing, ValueBasis, ValueChange, ValueCurve
from hitchworth.money import PRECISE, Money, round_ratio
from hitchworth.valuation.limit_search import LimitSearch, days_of_change
from hitchworth.valuation.notes import NoteCollector, without_left_out_entries
from hitchworth.valuation.percent_good import Curves
from hitchworth.valuation.rollup import totals
from hitchworth.valuation.valued_build import PricedBuild, price_build, value_build

MAX_LINES_SEARCHED = 800_000
"""The most lines to value in the search for crossings, of all limits together: some twenty seconds of computing."""

MAX_LINES_CHANGED = 100_000
"""The most lines to value for the changes: some seconds of computing."""

MAX_CHANGES = 200
"""More are too close together in a chart."""

ONE_DAY = timedelta(days=1)


class DailyValues:
    """The totals of a build on any day, without the band and the workings of an estimate. Each day is valued once."""

    def __init__(self, build: Build, options: Options) -> None:
        self._build = build
        self._options = options
        self._money = Money(build.currency, options.rounding)
        self._curves = Curves()
        self._known: dict[date, Totals] = {}
        self._days = days_of_change(build, date.min, date.max)
        self._priced_from = -1
        """The place of the day of change from which on the prices are those of the build."""
        self.lines_valued = 0
        """How many lines have been valued so far, plus one for each day."""

    def on(self, day: date) -> Totals:
        """Return the same totals as `estimate`. Raises ValueError as it does."""
        if day not in self._known:
            with localcontext(PRECISE):
                self._value(day, NoteCollector(), self._prices(day))
        return self._known[day]

    def notes(self, day: date) -> tuple[Note, ...]:
        """Return the notes on the values of a day. Raises ValueError as `estimate` does."""
        notes = NoteCollector()
        with localcontext(PRECISE):
            self._value(day, notes, price_build(self._build, day, self._money, notes))
        return notes.collected()

    def _value(self, day: date, notes: NoteCollector, prices: PricedBuild) -> None:
        lines, amounts, _ = value_build(
            self._build, day, self._options, self._money, notes, curves=self._curves, prices=prices
        )
        self._known[day] = totals(lines, amounts, self._money)
        self.lines_valued += len(lines) + 1

    def _prices(self, day: date) -> PricedBuild:
        """The prices of a day. They are those of the day valued before it, unless there is a day of change between."""
        place = bisect_right(self._days, day)
        if place != self._priced_from:
            self._priced_from = place
            self._priced = price_build(self._build, day, self._money, NoteCollector())
        return self._priced


def value_curve(request: ValueCurveRequest) -> ValueCurve:
    """Value a validated build on each date. Raises ValueError as `estimate` does."""
    build, limit, basis = request.build, request.limit, request.basis
    first, last = request.dates[0], request.dates[-1]
    money = Money(build.currency, request.options.rounding)
    values = DailyValues(build, request.options)
    notes = _notes(values, (first, last))
    points = tuple(_point(day, values.on(day), limit, basis, money) for day in request.dates)
    course, lines = LimitCourse(values, build, request.dates), len(build.components) + len(build.labor)
    crossings: tuple[LimitCrossing, ...] = ()
    until = None
    if limit is not None:
        crossings, until = course.crossings(limit, basis)
        if until is not None and until < last:
            notes += (Note(code="search_ended", parameters={"until": until.isoformat()}),)
    return ValueCurve(
        currency=build.currency,
        locale=request.locale,
        basis=basis,
        limit=limit,
        points=points,
        changes=tuple(_changes(values, course.days[1:], {crossing.on for crossing in crossings[1:]}, lines)),
        limit_exceeded_on=next((crossing.on for crossing in crossings if not crossing.covered), None),
        crossings=crossings,
        searched_until=until,
        notes=notes,
    )


class LimitCourse:
    """When limits cover the value of a build, from the first of some dates to the last. Each day is valued once."""

    def __init__(self, values: DailyValues, build: Build, dates: Sequence[date]) -> None:
        """values: those of the build. dates: each later than the one before."""
        self.days = days_of_change(build, dates[0], dates[-1])
        """Those on which the value can rise, the first date before them."""
        self._values = values
        self._dates = dates
        self._most = values.lines_valued + MAX_LINES_SEARCHED

    def value(self, day: date, basis: ValueBasis) -> Decimal:
        """Return the value on a day. Raises ValueError as `estimate` does."""
        return _value(self._values.on(day), basis)

    def crossings(self, limit: Decimal, basis: ValueBasis) -> tuple[tuple[LimitCrossing, ...], date | None]:
        """Return the crossings, and the day up to which all are found; after it only the dates are valued."""
        values, dates = self._values, self._dates
        search = LimitSearch(lambda day: self.value(day, basis), limit, lambda: values.lines_valued > self._most)
        found = tuple(search.crossings(self.days, dates[-1]))
        until = search.searched_until
        later = [day for day in dates if until is not None and day > until]
        return (*found, *search.crossings_between(later, found[-1].covered)), until


def _changes(
    values: DailyValues, days: Sequence[date], crossings: Collection[date], lines: int
) -> Iterator[ValueChange]:
    """The values before and after every crossing and every day of change, in order; if there are many, fewer of these.

    `lines`: the number of lines of the build. No day may be the first of the calendar.
    """
    most = min(MAX_CHANGES, MAX_LINES_CHANGED // (2 * (lines or 1)) + 1)
    step = -(-len(days) // most) or 1
    for day in sorted({*days[::step], *crossings}):
        before, after = values.on(day - ONE_DAY), values.on(day)
        yield ValueChange(
            on=day,
            replacement_cost_before=before.replacement_cost,
            replacement_cost=after.replacement_cost,
            actual_cash_value_before=before.actual_cash_value,
            actual_cash_value=after.actual_cash_value,
        )


def _value(sums: Totals, basis: ValueBasis) -> Decimal:
    return sums.actual_cash_value if basis == "actual_cash_value" else sums.replacement_cost


def _point(day: date, sums: Totals, limit: Decimal | None, basis: ValueBasis, money: Money) -> CurvePoint:
    value = _value(sums, basis)
    return CurvePoint(
        as_of=day,
        replacement_cost=sums.replacement_cost,
        actual_cash_value=sums.actual_cash_value,
        limit=limit,
        insurance_to_value=_ratio(limit, value, money) if limit is not None and value else None,
        covered=None if limit is None else limit >= value,
    )


def _ratio(limit: Decimal, value: Decimal, money: Money) -> Decimal:
    numerator, denominator = limit.as_integer_ratio()
    return round_ratio(numerator * 10**money.exponent, denominator * money.to_minor_units(value), 4)


def _notes(values: DailyValues, days: Sequence[date]) -> tuple[Note, ...]:
    """The notes on the values of these days, each code once for the same thing."""
    found = without_left_out_entries(note for day in days for note in values.notes(day))
    first_of_each = {(note.code, note.about): note for note in reversed(found)}
    return tuple(reversed(first_of_each.values()))
