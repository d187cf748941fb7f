"""Historic and direct cost: what was paid, quotes, currencies, price indexes, and which entries count on a date."""

from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from hitchworth.model.build import Build, IndexMonth
from hitchworth.model.indirect_costs import IndirectCosts
from hitchworth.model.options import Options
from hitchworth.valuation.estimate import estimate
from valuation_parts import BOUGHT, DAY, codes, part, valued, work

EURO: dict[str, Any] = {"currency": "EUR", "exchange_rate": Decimal("1.1")}


def index(**months: str) -> dict[str, tuple[IndexMonth, ...]]:
    """A series by the name of lumber: m2022_06="100" is June 2022."""
    rows = (IndexMonth(month=name[1:].replace("_", "-"), value=Decimal(value)) for name, value in months.items())
    return {"lumber": tuple(rows)}


def test_what_was_paid_is_price_tax_and_freight() -> None:
    line = valued(part(unit_cost="38.50", quantity=Decimal(4), tax=Decimal("12.32"), freight=Decimal("9.90"))).lines[0]
    assert str(line.historical_cost) == str(line.direct_cost) == "176.22"


def test_labor_is_replaced_at_the_market_rate() -> None:
    line = valued(work(hours="12.5", rate="0", market_rate=Decimal(85))).lines[0]
    assert (str(line.historical_cost), str(line.direct_cost)) == ("0.00", "1062.50")


def test_another_currency_is_exchanged_before_it_is_rounded() -> None:
    line = valued(part(unit_cost="199.99", quantity=Decimal(3), **EURO)).lines[0]
    assert str(line.historical_cost) == "659.97"


def test_the_rate_of_a_line_in_the_currency_of_the_build_does_not_matter() -> None:
    found = valued(part(currency="USD", exchange_rate=Decimal(7)))
    assert found.totals.direct_cost == 100


def test_a_quote_beats_the_index_and_is_in_the_currency_of_the_line() -> None:
    quoted = part(replacement_unit_cost=Decimal(150), quoted_on=DAY, price_index="lumber", freight=Decimal(10), **EURO)
    found = valued(quoted, price_indexes=index(m2022_06="100", m2026_06="300"))
    assert found.totals.direct_cost == 176


def test_a_quote_has_the_exchange_rate_of_its_own_day() -> None:
    quoted = part(replacement_unit_cost=Decimal(150), quoted_on=DAY, quoted_exchange_rate=Decimal("1.2"), **EURO)
    assert [str(valued(quoted).totals.historical_cost), str(valued(quoted).totals.direct_cost)] == ["110.00", "180.00"]


def test_the_source_of_a_rate_is_noted_once() -> None:
    parts = [part(name, exchange_rate_source="the bank's slip of 2 May 2022", **EURO) for name in "ab"]
    (note,) = valued(*parts).notes
    assert (note.code, note.about) == ("exchange_rate_from", "EUR")
    assert note.parameters == {"rate": "1.1", "source": "the bank's slip of 2 May 2022"}


@pytest.mark.parametrize(
    ("currency", "rate", "historical", "depreciation"),
    [("JPY", "157.25", "15725", "7863"), ("KWD", "0.307123", "30.712", "15.356"), ("USD", "1", "100.00", "50.00")],
)
def test_amounts_are_rounded_to_the_minor_unit_of_the_currency(
    currency: str, rate: str, historical: str, depreciation: str
) -> None:
    line = part(currency="EUR", exchange_rate=Decimal(rate), condition=Decimal("0.5"))
    found = estimate(Build(name="Trailer", currency=currency, components=(line,)), DAY, Options())
    assert str(found.totals.historical_cost) == historical
    assert str(found.totals.depreciation) == depreciation
    assert str(found.totals.actual_cash_value) == str(Decimal(historical) - Decimal(depreciation))


def test_a_quote_of_a_later_day_is_not_known_yet() -> None:
    found = valued(part(replacement_unit_cost=Decimal(150), quoted_on=date(2026, 6, 16)))
    assert found.totals.direct_cost == 100
    assert codes(found) == ["quote_not_yet_known"]


def test_a_quote_of_an_earlier_month_is_trended_from_its_own_month() -> None:
    months = index(m2022_06="50", m2024_06="80", m2026_06="100")
    quoted = part(replacement_unit_cost=Decimal(160), quoted_on=date(2024, 6, 3), price_index="lumber")
    found = valued(quoted, price_indexes=months)
    assert found.totals.direct_cost == 200
    assert codes(found) == []


@pytest.mark.parametrize(
    ("quoted_on", "notes"),
    [(None, ["quote_undated"]), (date(2025, 6, 14), ["quote_old"]), (date(2025, 6, 15), []), (DAY, [])],
)
def test_a_quote_without_an_index_holds_and_says_where_it_is_stale(quoted_on: date | None, notes: list[str]) -> None:
    found = valued(part(replacement_unit_cost=Decimal(150), quoted_on=quoted_on))
    assert found.totals.direct_cost == 150
    assert codes(found) == notes


def test_an_old_quote_that_the_index_cannot_trend_is_noted() -> None:
    quoted = part(replacement_unit_cost=Decimal(150), quoted_on=date(2023, 1, 9), price_index="lumber")
    assert codes(valued(quoted, price_indexes=index(m2026_06="100"))) == ["index_begins_later", "quote_old"]


def test_a_market_rate_of_a_later_day_is_not_known_yet() -> None:
    later = work(market_rate=Decimal(90), market_rate_on=date(2026, 6, 16))
    found = valued(later)
    assert found.totals.direct_cost == 500
    assert codes(found) == ["market_rate_not_yet_known"]
    assert valued(later, as_of=date(2026, 6, 16)).totals.direct_cost == 900


def test_own_hours_without_a_market_rate_are_noted_and_hired_ones_are_not() -> None:
    found = valued(work("a", "10", "0"), work("b", "2.5", "20"), work("c", hired=True))
    (note,) = found.notes
    assert (note.code, note.parameters) == ("own_hours_without_market_rate", {"count": "2", "hours": "12.5"})


def test_a_market_rate_that_nobody_proves_is_a_guess() -> None:
    """Not so: hired work, which has an invoice; a rate with a grade or a range; a rate that is not known yet."""
    asked: dict[str, Any] = {"rate": "0", "market_rate": Decimal(90)}
    entries = (
        work("a", "10", **asked),
        work("b", "2.5", evidence_grade="guess", **asked),
        work("c", hired=True, **asked),
        work("d", evidence_grade="written_quote", **asked),
        work("e", high=Decimal(2000), **asked),
        work("f", market_rate_on=DAY.replace(year=2027), **asked),
    )
    notes = [note for note in valued(*entries).notes if note.code == "guessed_market_rate"]
    assert [note.parameters for note in notes] == [{"count": "2", "hours": "12.5"}]


# Occupational Employment and Wage Statistics, May 2025, all occupations: 33.54 an hour on average
@pytest.mark.parametrize(
    ("rate", "terms", "currency", "noted"),
    [
        ("33.54", {}, "USD", True),
        ("33.55", {}, "USD", False),
        ("25", {"rate_includes": "nothing"}, "USD", False),
        ("25", {"hired": True}, "USD", False),
        ("25", {}, "EUR", False),
    ],
)
def test_a_market_rate_no_higher_than_a_wage_is_noted(
    rate: str, terms: dict[str, Any], currency: str, noted: bool
) -> None:
    entry = work(rate="0", market_rate=Decimal(rate), evidence_grade="written_quote", **terms)
    found = estimate(Build(name="Trailer", currency=currency, labor=(entry,)), DAY, Options())
    expected = {"count": "1", "hours": "10", "wage": "33.54", "vintage": "May 2025"}
    assert [note.parameters for note in found.notes] == ([expected] if noted else [])
    assert codes(found) == (["market_rate_like_a_wage"] if noted else [])


def test_an_index_brings_a_price_to_the_date() -> None:
    found = valued(part(price_index="lumber"), price_indexes=index(m2022_06="80", m2026_06="100"))
    assert found.totals.direct_cost == 125
    assert found.totals.historical_cost == 100
    assert codes(found) == []


@pytest.mark.parametrize(
    ("months", "cost", "notes"),
    [
        ({"m2022_06": "80", "m2026_03": "100"}, "125.00", ["index_value_held"]),
        ({"m2022_01": "80", "m2022_09": "90", "m2026_06": "100"}, "125.00", ["index_value_held"]),
        ({"m2022_07": "80", "m2026_06": "100"}, "100.00", ["index_begins_later"]),
        ({"m2022_01": "80"}, "100.00", ["index_value_held", "index_value_held"]),
    ],
)
def test_nothing_is_invented_for_a_month_without_a_value(months: dict[str, str], cost: str, notes: list[str]) -> None:
    found = valued(part(price_index="lumber"), price_indexes=index(**months))
    assert str(found.totals.direct_cost) == cost
    assert codes(found) == notes


def test_an_index_that_nobody_knows_leaves_the_cost_as_it_was_paid() -> None:
    found = valued(part(price_index="no such index"))
    assert str(found.totals.direct_cost) == "100.00"
    assert [(note.code, note.parameters["month"]) for note in found.notes] == [
        ("index_not_known", "2022-06"),
        ("index_not_known", "2026-06"),
    ]


def test_a_published_index_can_be_named_and_one_of_the_build_goes_before_it() -> None:
    trended = part(price_index="us_all_items", acquired_on=date(2019, 6, 3), unit_cost="1000")
    assert str(valued(trended, as_of=date(2023, 6, 30)).totals.direct_cost) == "1191.17"
    own = {
        "us_all_items": (IndexMonth(month="2019-06", value=Decimal(1)), IndexMonth(month="2023-06", value=Decimal(2)))
    }
    assert valued(trended, as_of=date(2023, 6, 30), price_indexes=own).totals.direct_cost == 2000


def test_the_months_of_an_index_may_come_in_any_order_and_a_value_of_zero_is_none() -> None:
    """80 in June 2022, 100 in March 2026: 100 x 100 / 80 = 125. June 2026 is 0, so March holds."""
    found = valued(part(price_index="lumber"), price_indexes=index(m2026_06="0", m2026_03="100", m2022_06="80"))
    assert str(found.totals.direct_cost) == "125.00"
    assert [(note.code, note.parameters) for note in found.notes] == [
        ("index_value_held", {"month": "2026-06", "held": "2026-03"})
    ]


@pytest.mark.parametrize(
    ("months", "cost", "held"),
    [
        # Quarterly: June 2022 is read in the second quarter, June 2026 likewise.
        ({"m2022_04": "80", "m2022_07": "82", "m2026_04": "100"}, "125.00", ["2022-04", "2026-04"]),
        # Yearly, and two points, the day of purchase and the valuation date.
        ({"m2022_01": "80", "m2026_01": "100"}, "125.00", ["2022-01", "2026-01"]),
        ({"m2022_06": "80", "m2026_06": "100"}, "125.00", []),
    ],
)
def test_an_index_may_have_gaps_and_says_which_value_it_held(
    months: dict[str, str], cost: str, held: list[str]
) -> None:
    found = valued(part(price_index="lumber"), price_indexes=index(**months))
    assert str(found.totals.direct_cost) == cost
    assert [(note.code, note.parameters["held"]) for note in found.notes] == [
        ("index_value_held", month) for month in held
    ]


def test_a_lump_sum_of_freight_is_split_by_what_was_paid() -> None:
    """10 over 100, 200 and 0: 10 x 100 / 300 = 3.333, 10 x 200 / 300 = 6.667, 0; labor carries none."""
    parts = [part("a", "100"), part("b", "200"), part("c", "0")]
    found = valued(*parts, work(), indirect_costs=IndirectCosts(freight_lump_sum=Decimal("10.00")))
    assert [str(line.historical_cost) for line in found.lines] == ["103.33", "206.67", "0.00", "500.00"]
    assert [str(line.direct_cost) for line in found.lines] == ["103.33", "206.67", "0.00", "500.00"]


def test_freight_of_gifts_is_split_evenly_and_freight_without_components_is_noted() -> None:
    """5 cents over two gifts: 2.5 cents each, so a has 3 and b 2, in whatever order they stand."""
    terms = IndirectCosts(freight_lump_sum=Decimal("0.05"))
    gifts = valued(part("a", "0"), part("b", "0"), indirect_costs=terms)
    assert [str(line.direct_cost) for line in gifts.lines] == ["0.03", "0.02"]
    turned = valued(part("b", "0"), part("a", "0"), indirect_costs=terms)
    assert [str(line.direct_cost) for line in turned.lines] == ["0.02", "0.03"]
    nothing = valued(work(hired=True), indirect_costs=terms)
    assert nothing.totals.direct_cost == 500
    assert codes(nothing) == ["freight_without_components"]


@pytest.mark.parametrize(
    ("as_of", "is_installed_on"),
    [("2022-06-14", False), ("2022-06-15", True), ("2024-02-28", True), ("2024-02-29", False)],
)
def test_a_part_counts_from_the_day_of_purchase_until_the_day_of_removal(as_of: str, is_installed_on: bool) -> None:
    found = valued(part(removed_on=date(2024, 2, 29)), as_of=date.fromisoformat(as_of))
    assert bool(found.lines) is is_installed_on
    assert codes(found) == ([] if is_installed_on else ["entries_left_out", "nothing_to_value"])


def test_labor_counts_from_the_day_it_is_done() -> None:
    assert len(valued(work(), as_of=BOUGHT).lines) == 1
    assert valued(work(), as_of=date(2022, 6, 14)).lines == ()
