"""What a price or a rate includes: only the rest of overhead, profit and sales tax is added to it."""

from decimal import Decimal
from typing import Any

import pytest

from hitchworth.model.build import Base
from hitchworth.model.entry import Component, Labor
from hitchworth.model.indirect_costs import IndirectCosts
from hitchworth.model.options import Options
from hitchworth.reference.price_contents import price_contents
from hitchworth.reference.schedules import base_categories
from valuation_parts import BOUGHT, DAY, codes, part, valued, work

TEN_AND_TEN = IndirectCosts(overhead_rate=Decimal("0.1"), profit_rate=Decimal("0.1"))
ALL_RATES = IndirectCosts(
    overhead_rate=Decimal("0.1"), profit_rate=Decimal("0.2"), sales_tax_rate=Decimal("0.05"), tax_labor=True
)


def cost(entry: Component | Labor, terms: IndirectCosts = TEN_AND_TEN) -> str:
    """The replacement cost of the entry alone."""
    return str(valued(entry, indirect_costs=terms).totals.replacement_cost)


# Overhead and profit of 10 percent each. A shop's door rate and the price of a finished trailer hold both: 100 hours at
# 45 are 4,500 and not 5,400, an invoice of 10 hours at 90 is 900 and not 1,080, a flatbed of 4,000 is not 4,800.
# Material and a wage hold neither.
@pytest.mark.parametrize(
    ("entry", "replacement_cost"),
    [
        (work(hours="100", rate="0", market_rate=Decimal(45)), "4500.00"),
        (work(hours="10", rate="90", hired=True), "900.00"),
        (work(hours="10", rate="90", hired=True, market_rate=Decimal(100)), "1000.00"),
        (part(unit_cost="4000", category="chassis"), "4000.00"),
        (part(unit_cost="4000", category="trailer"), "4000.00"),
        (part(unit_cost="4000", category="frame"), "4800.00"),
        (part(unit_cost="4000", category="tires"), "4800.00"),
        (work(hours="100", rate="25"), "3000.00"),
    ],
)
def test_the_customary_content(entry: Component | Labor, replacement_cost: str) -> None:
    assert cost(entry) == replacement_cost


# Steel for 1,000: 100 of overhead and 100 of profit are missing, unless it is a trailer that was bought.
@pytest.mark.parametrize(
    ("kind", "category", "replacement_cost"),
    [
        ("own frame", "chassis", "1200.00"),
        ("Own frames, home-built", "chassis", "1200.00"),
        ("Eigenbau-Rahmen", "chassis", "1200.00"),
        ("bastidor propio", "chassis", "1200.00"),
        ("chassis maison", "chassis", "1200.00"),
        ("own frame", "trailer", "1000.00"),
        ("flatbed trailer", "chassis", "1000.00"),
        ("bought frame, own body", "chassis", "1000.00"),
        ("homemade trailer, bought used", "chassis", "1000.00"),
        (None, "chassis", "1000.00"),
    ],
)
def test_the_steel_of_a_frame_of_ones_own_is_material(kind: str | None, category: str, replacement_cost: str) -> None:
    base = None if kind is None else Base(kind=kind)
    found = valued(part(unit_cost="1000", category=category), base=base, indirect_costs=TEN_AND_TEN)
    assert str(found.totals.replacement_cost) == replacement_cost
    assert ("markup_withheld" in codes(found)) is (replacement_cost == "1000.00")


def test_a_stated_content_counts_for_the_steel_too() -> None:
    steel = part(unit_cost="1000", category="chassis", price_includes="overhead")
    found = valued(steel, base=Base(kind="own frame"), indirect_costs=TEN_AND_TEN)
    assert str(found.totals.replacement_cost) == "1100.00"


# 1,000 with overhead of 10 %, profit of 20 % and tax of 5 %: 1,000 + 100 + 200 + 50; then without each in turn.
STATED = [("nothing", "1350.00"), ("overhead", "1250.00"), ("overhead_and_profit", "1050.00"), ("all", "1000.00")]


@pytest.mark.parametrize(("includes", "replacement_cost"), STATED)
@pytest.mark.parametrize(
    "entry",
    [
        {"unit_cost": "1000"},
        {"unit_cost": "900", "replacement_unit_cost": Decimal(1000)},
        {"unit_cost": "1000", "category": "chassis"},
    ],
)
def test_the_content_that_is_stated_of_a_price(entry: dict[str, Any], includes: str, replacement_cost: str) -> None:
    assert cost(part(price_includes=includes, **entry), ALL_RATES) == replacement_cost


@pytest.mark.parametrize(("includes", "replacement_cost"), STATED)
@pytest.mark.parametrize(
    "entry", [{"rate": "100"}, {"rate": "0", "market_rate": Decimal(100)}, {"rate": "100", "hired": True}]
)
def test_the_content_that_is_stated_of_a_rate(entry: dict[str, Any], includes: str, replacement_cost: str) -> None:
    assert cost(work(rate_includes=includes, **entry), ALL_RATES) == replacement_cost


def test_the_line_says_what_its_price_includes() -> None:
    lines = valued(part(), part("base", category="chassis"), work(market_rate=Decimal(80)), work("own")).lines
    contents = ["nothing", "overhead_and_profit", "overhead_and_profit", "nothing"]
    assert [line.includes for line in lines] == contents


def test_what_is_said_of_a_market_rate_does_not_hold_for_the_rate_that_was_paid() -> None:
    """The market rate is of a later day, so the 20 that was paid counts: a wage, of 200, with 10 and 10 percent."""
    later = work(rate="20", market_rate=Decimal(90), market_rate_on=DAY.replace(year=2027), rate_includes="all")
    assert cost(later) == "240.00"
    assert cost(work(rate="20", market_rate=Decimal(90), market_rate_on=BOUGHT, rate_includes="all")) == "900.00"


def test_profit_on_overhead_is_on_the_overhead_of_the_same_line() -> None:
    """Overhead 10 % of 1,000; profit 10 % of 1,100 and of the 500 that hold their overhead: 110 and 50."""
    terms = IndirectCosts(overhead_rate=Decimal("0.1"), profit_rate=Decimal("0.1"), compounded=True)
    loaded = part("loaded", "500", price_includes="overhead")
    found = valued(part(unit_cost="1000"), loaded, work(market_rate=Decimal(80)), indirect_costs=terms)
    assert [str(line.replacement_cost) for line in found.lines] == ["1210.00", "550.00", "800.00"]
    bases = found.indirect_costs
    assert (str(bases.overhead_base), str(bases.profit_base)) == ("1000.00", "1600.00")


def test_workings_name_no_markup_that_was_withheld() -> None:
    found = valued(
        part(), work(market_rate=Decimal(80)), indirect_costs=TEN_AND_TEN, options=Options(workings=True)
    ).lines
    assert [working.figure for working in found[0].workings][2:4] == ["overhead", "profit"]
    assert [working.figure for working in found[1].workings][:3] == [
        "historical_cost",
        "direct_cost",
        "replacement_cost",
    ]


@pytest.mark.parametrize(
    ("terms", "noted"),
    [
        (TEN_AND_TEN, {"count": "3", "amount": "5300.00"}),
        (IndirectCosts(overhead_rate=Decimal("0.1")), {"count": "3", "amount": "5300.00"}),
        (IndirectCosts(profit_rate=Decimal("0.1")), {"count": "2", "amount": "4800.00"}),
        (IndirectCosts(sales_tax_rate=Decimal("0.1")), None),
    ],
)
def test_markup_that_is_withheld_is_noted(terms: IndirectCosts, noted: dict[str, str] | None) -> None:
    """4,000 and 10 x 80 hold both, 10 x 50 its overhead alone, 100 neither."""
    entries = (
        part("base", "4000", category="chassis"),
        part(),
        work(hired=True, rate="80"),
        work("loaded", rate_includes="overhead"),
    )
    found = [note.parameters for note in valued(*entries, indirect_costs=terms).notes if note.code == "markup_withheld"]
    assert found == ([] if noted is None else [noted])


def test_nothing_is_noted_where_nothing_is_withheld() -> None:
    free = work(rate="0", hired=True)
    assert "markup_withheld" not in codes(valued(part(), free, indirect_costs=TEN_AND_TEN))


def test_what_is_bought_finished_is_a_part_of_a_plain_trailer() -> None:
    contents = price_contents()
    assert contents.own_frame.categories < contents.bought_base.categories < base_categories()
    kinds = (contents.market_rate, contents.hired, contents.own_work, contents.material, contents.bought_base)
    assert all(bool(kind.source) is (kind.provenance == "published") for kind in kinds)
    assert [bool(kind.categories) for kind in kinds] == [False, False, False, False, True]
