"""Values over time, and the days on which a limit stops covering them."""

import random
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from build_strategies import builds, options
from hitchworth.model.build import Build, IndexMonth
from hitchworth.model.entry import Component, Labor
from hitchworth.model.options import Options
from hitchworth.model.request import ValueCurveRequest
from hitchworth.model.schedule import Schedule
from hitchworth.model.value_curve import ValueBasis, ValueCurve
from hitchworth.valuation import value_curve as module
from hitchworth.valuation.estimate import estimate
from hitchworth.valuation.percent_good import curve_of
from hitchworth.valuation.value_curve import DailyValues, value_curve
from valuation_parts import BOUGHT, build, part, work

TEN_YEARS = Schedule(method="straight_line", life_years=Decimal(10))
FIRST, LAST = date(2022, 1, 1), date(2030, 1, 1)


def curve(*entries: Component | Labor, limit: str | None = "1000", **terms: Any) -> ValueCurve:
    """From FIRST to LAST, unless stated otherwise."""
    own = {name: terms.pop(name) for name in ("price_indexes",) if name in terms}
    request = {"dates": (FIRST, LAST), "limit": None if limit is None else Decimal(limit)} | terms
    return value_curve(ValueCurveRequest(build=build(*entries, **own), **request))


def found(of: ValueCurve) -> list[tuple[str, bool, str]]:
    return [(crossing.on.isoformat(), crossing.covered, crossing.found_by) for crossing in of.crossings]


def test_each_date_has_its_values_and_the_ratio_of_the_limit() -> None:
    """2,922 days are eight of ten years, so 400 of 2,000 are left on the last date."""
    aging = part(unit_cost="2000", schedule=TEN_YEARS, acquired_on=FIRST)
    points = curve(aging, dates=(date(2021, 12, 31), FIRST, LAST), limit="1500").points
    assert [(str(p.replacement_cost), str(p.actual_cash_value), p.insurance_to_value, p.covered) for p in points] == [
        ("0.00", "0.00", None, True),
        ("2000.00", "2000.00", Decimal("0.7500"), False),
        ("2000.00", "400.00", Decimal("3.7500"), True),
    ]


def test_the_ratio_of_the_limit_has_four_places() -> None:
    """1,000 / 1,500 = 0.66666..., so 0.6667."""
    points = curve(part(unit_cost="1500"), dates=(BOUGHT, LAST), limit="1000").points
    assert [str(point.insurance_to_value) for point in points] == ["0.6667", "0.6667"]


def test_a_new_part_exceeds_the_limit_until_depreciation_brings_the_value_back() -> None:
    """2,000 from July 2023, losing 200 a year: 1,000 are left after five years, 1,826.25 days, so on day 1,827."""
    bought = date(2023, 7, 1)
    of = curve(part(unit_cost="2000", schedule=TEN_YEARS, acquired_on=bought))
    again = bought + timedelta(days=1827)
    assert found(of) == [
        ("2022-01-01", True, "first_date"),
        ("2023-07-01", False, "day_of_change"),
        (again.isoformat(), True, "bisection"),
    ]
    assert of.limit_exceeded_on == bought
    assert of.searched_until == LAST


def test_a_part_that_goes_out_lets_the_limit_cover_again() -> None:
    of = curve(part("a", "600"), part("b", "500", removed_on=date(2024, 5, 1)), dates=(date(2023, 1, 1), LAST))
    assert found(of) == [("2023-01-01", False, "first_date"), ("2024-05-01", True, "day_of_change")]
    assert of.limit_exceeded_on == date(2023, 1, 1)


def test_a_peak_between_two_dates_is_found() -> None:
    """On both dates the limit covers; in between a part was in for two days."""
    short = part("b", "500", acquired_on=date(2025, 5, 1), removed_on=date(2025, 5, 3))
    assert found(curve(part("a", "600"), short, dates=(date(2025, 1, 1), LAST)))[1:] == [
        ("2025-05-01", False, "day_of_change"),
        ("2025-05-03", True, "day_of_change"),
    ]


def test_a_month_of_an_index_and_a_quote_are_days_of_change() -> None:
    months = (IndexMonth(month="2022-06", value=Decimal(100)), IndexMonth(month="2023-04", value=Decimal(120)))
    trended = part(unit_cost="900", price_index="lumber")
    assert curve(trended, price_indexes={"lumber": months}).limit_exceeded_on == date(2023, 4, 1)
    quoted = part(unit_cost="900", replacement_unit_cost=Decimal(1100), quoted_on=date(2024, 2, 9))
    assert curve(quoted).limit_exceeded_on == date(2024, 2, 9)
    assert curve(work(hours="30", performed_on=date(2023, 3, 4))).limit_exceeded_on == date(2023, 3, 4)


@pytest.mark.parametrize(("basis", "limit_exceeded_on"), [("replacement_cost", FIRST), ("actual_cash_value", None)])
def test_the_basis_is_what_the_limit_has_to_cover(basis: ValueBasis, limit_exceeded_on: date | None) -> None:
    halved = part(unit_cost="1500", condition=Decimal("0.5"), acquired_on=FIRST)
    assert curve(halved, basis=basis).limit_exceeded_on == limit_exceeded_on


def test_without_a_limit_there_is_nothing_to_cross() -> None:
    of = curve(part(), limit=None)
    assert (of.crossings, of.limit_exceeded_on, of.searched_until) == ((), None, None)
    assert {(point.covered, point.insurance_to_value) for point in of.points} == {(None, None)}


def test_a_market_rate_takes_effect_on_its_day() -> None:
    """10 hours at 50 are 500; from 1 March 2024 at the market rate of 90 they are 900."""
    rate = work(market_rate=Decimal(90), market_rate_on=date(2024, 3, 1))
    of = curve(rate, dates=(BOUGHT, LAST), limit="600", basis="replacement_cost")
    assert found(of) == [("2022-06-15", True, "first_date"), ("2024-03-01", False, "day_of_change")]
    assert of.crossings[1].value == 900


def test_a_stretch_of_two_days_is_searched() -> None:
    """3,652.50 over 3,652.5 days loses 1 a day: 3,651.50 on the second day. On the third a part of 0 comes in."""
    aging = part("a", "3652.50", schedule=TEN_YEARS, acquired_on=FIRST)
    of = curve(aging, part("b", "0", acquired_on=date(2022, 1, 3)), limit="3651.50")
    assert found(of) == [("2022-01-01", False, "first_date"), ("2022-01-02", True, "bisection")]


def test_after_bisection_the_limit_counts_as_covering() -> None:
    """3,652.50 loses 1 a day, so the limit of 3,600 covers from day 53. A part of 1 a year later changes nothing."""
    aging = part("a", "3652.50", schedule=TEN_YEARS, acquired_on=FIRST)
    of = curve(aging, part("b", "1", acquired_on=date(2023, 1, 1)), limit="3600")
    again = FIRST + timedelta(days=53)
    assert found(of) == [("2022-01-01", False, "first_date"), (again.isoformat(), True, "bisection")]
    assert (of.searched_until, of.notes) == (LAST, ())  # the whole time was searched, so no note says how far


def test_the_notes_are_those_of_the_first_and_the_last_date_each_once() -> None:
    quoted = part("a", replacement_unit_cost=Decimal(150), quoted_on=date(2023, 5, 2), acquired_on=FIRST)
    later = part("b", category="theft_protection", acquired_on=FIRST)
    of = curve(quoted, later, part("c", acquired_on=date(2024, 1, 1)), limit=None)
    assert [(note.code, note.about) for note in of.notes] == [
        ("quote_not_yet_known", "a"),
        ("quote_old", "a"),
        ("category_without_schedule", "theft_protection"),
    ]


def test_the_last_day_of_the_calendar_can_be_reached() -> None:
    assert curve(part(), dates=(date.min, date.max)).searched_until == date.max


def test_a_search_that_is_too_long_says_how_far_it_came(monkeypatch: pytest.MonkeyPatch) -> None:
    """After that day the given dates are looked at, so that no date says otherwise than the crossings."""
    monkeypatch.setattr(module, "MAX_LINES_SEARCHED", 4)
    parts = [part(str(day), "1", acquired_on=date(2023, 1, day)) for day in range(1, 6)]
    of = curve(*parts)
    assert of.searched_until is not None
    assert of.searched_until < LAST
    assert of.limit_exceeded_on is None
    assert [note.code for note in of.notes] == ["search_ended"]
    dates = (FIRST, date(2023, 1, 31), date(2023, 12, 31), LAST)
    out = part("6", "1", acquired_on=date(2023, 1, 6), removed_on=date(2023, 12, 1))
    of = curve(*parts, out, dates=dates, limit="5", basis="replacement_cost")
    assert found(of)[1:] == [("2023-01-31", False, "given_date"), ("2023-12-31", True, "given_date")]
    assert [point.covered for point in of.points] == [True, False, True, True]
    assert of.limit_exceeded_on == date(2023, 1, 31)


def test_a_thousand_purchases_are_searched_to_the_day_that_outgrows_the_limit() -> None:
    """The 501st purchase of 1,000 makes 501,000."""
    first = date(2019, 1, 1)
    days = [first + timedelta(days=place) for place in range(1240)]
    parts = [part(str(place), "1000", acquired_on=day) for place, day in enumerate(days)]
    of = curve(*parts, dates=(first, date(2021, 6, 1), date(2026, 11, 1)), limit="500000", basis="replacement_cost")
    assert [point.covered for point in of.points] == [True, False, False]
    assert found(of) == [("2019-01-01", True, "first_date"), (days[500].isoformat(), False, "day_of_change")]
    assert of.searched_until == date(2026, 11, 1)


def test_a_change_has_the_values_of_the_day_before_and_of_the_day() -> None:
    bought = date(2023, 7, 1)
    aging = part("a", "2000", schedule=TEN_YEARS, acquired_on=FIRST)
    of = curve(aging, part("b", "500", schedule=TEN_YEARS, acquired_on=bought), limit=None)
    (change,) = of.changes
    totals = [estimate(build(aging), day, Options()).totals for day in (bought - timedelta(days=1), bought)]
    assert change.on == bought
    assert [change.replacement_cost_before, change.replacement_cost] == [2000, 2500]
    assert change.actual_cash_value_before == totals[0].actual_cash_value
    assert change.actual_cash_value == totals[1].actual_cash_value + 500


@pytest.mark.parametrize(("months", "listed"), [(200, 200), (201, 101)])
def test_up_to_two_hundred_changes_are_listed_and_of_more_every_second_one(months: int, listed: int) -> None:
    """201 days of change are more than 200, so every second one is listed, starting with the first: 101."""
    rows = (IndexMonth(month=f"{2000 + n // 12}-{n % 12 + 1:02}", value=Decimal(100 + n)) for n in range(months))
    trended = part(price_index="lumber", acquired_on=date(1999, 1, 1))
    of = curve(trended, limit=None, dates=(date(1999, 12, 1), LAST), price_indexes={"lumber": tuple(rows)})
    assert len(of.changes) == listed
    assert of.changes[0].on == date(2000, 1, 1)


def test_the_first_date_is_no_change_and_the_last_one_can_be() -> None:
    of = curve(part("a", "900", acquired_on=FIRST), part("b", "200", acquired_on=LAST))
    assert [change.on for change in of.changes] == [LAST]
    assert found(of) == [("2022-01-01", True, "first_date"), ("2030-01-01", False, "day_of_change")]


@pytest.mark.parametrize(("lines", "until"), [(4, "2023-01-02"), (5, "2023-01-03")])
def test_a_search_ends_once_it_has_valued_more_lines_than_allowed(
    lines: int, until: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A day costs its lines and 1 more: 2 on 1 January, 3 more on the 2nd make 5. That is more than 4, not than 5."""
    monkeypatch.setattr(module, "MAX_LINES_SEARCHED", lines)
    of = curve(*(part(str(day), "1", acquired_on=date(2023, 1, day)) for day in range(1, 6)))
    assert of.searched_until == date.fromisoformat(until)


def test_of_very_many_changes_only_as_many_are_listed_as_a_chart_can_show() -> None:
    """1,000 lines: 100,000 / (2 x 1,000) + 1 = 51 changes at most, so every twentieth of 1,000 days: 50."""
    parts = [part(str(place), "1", acquired_on=FIRST + timedelta(days=place)) for place in range(1, 1001)]
    assert len(curve(*parts, limit=None).changes) == 50


DAYS = (date(2019, 11, 3), date(2020, 2, 10), date(2020, 9, 20))


@settings(max_examples=40, deadline=None)
@given(
    trailer=builds(),
    chosen=options,
    basis=st.sampled_from(["actual_cash_value", "replacement_cost"]),
    part_of=st.integers(1, 120),
)
def test_every_day_is_as_valuing_every_day_has_it(
    trailer: Build, chosen: Options, basis: ValueBasis, part_of: int
) -> None:
    """The limit is a part of the value in the middle, so that it is often crossed."""

    def value(day: date) -> Decimal:
        found: Decimal = getattr(estimate(trailer, day, chosen).totals, basis)
        return found

    limit = value(DAYS[1]) * part_of / 100
    of = value_curve(ValueCurveRequest(build=trailer, dates=DAYS, limit=limit, basis=basis, options=chosen))
    days = [DAYS[0] + timedelta(days=place) for place in range((DAYS[-1] - DAYS[0]).days + 1)]
    covered = [value(day) <= limit for day in days]
    turns = [place for place in range(len(days)) if not place or covered[place] != covered[place - 1]]
    assert [(crossing.on, crossing.covered) for crossing in of.crossings] == [(days[p], covered[p]) for p in turns]
    assert all(crossing.value == value(crossing.on) for crossing in of.crossings)


@settings(max_examples=40, deadline=None)
@given(trailer=builds(), chosen=options, order=st.randoms(use_true_random=False))
def test_in_whatever_order_days_are_valued_each_has_the_totals_and_notes_of_its_estimate(
    trailer: Build, chosen: Options, order: random.Random
) -> None:
    """Prices are kept from one day to the next, so a day may not have those of another side of a day of change."""
    days = [DAYS[0] + timedelta(days=place) for place in range((DAYS[-1] - DAYS[0]).days + 1)]
    values = DailyValues(trailer, chosen)
    for day in order.sample(days, min(len(days), 40)):
        alone = estimate(trailer, day, chosen)
        assert values.on(day) == alone.totals
        assert all(note in alone.notes for note in values.notes(day))  # an estimate has further ones, on its ranges
        assert values.on(day) == alone.totals


def test_each_schedule_has_its_curve_drawn_once_however_many_there_are() -> None:
    """More schedules than are kept from one request to the next, on many days."""
    kept = curve_of.cache_info().maxsize or 0
    lives = [Decimal(years).scaleb(-2) for years in range(1000, 1100 + kept)]
    parts = [
        part(f"part-{years}", schedule=Schedule(method="sum_of_years", life_years=years), acquired_on=FIRST)
        for years in lives
    ]
    drawn = curve_of.cache_info().misses
    curve(*parts, limit=None, dates=(FIRST, date(2023, 1, 1), date(2024, 1, 1), LAST))
    assert curve_of.cache_info().misses - drawn <= len(lives) + 1  # and that of a plain trailer, or of a category
