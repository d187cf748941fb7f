"""Workings: every formula, recomputed, gives its stated result and the figure of the line."""

import re
from datetime import date
from decimal import Decimal, localcontext
from typing import Literal

import pytest
from hypothesis import given, settings

from build_strategies import AS_OF, builds
from hitchworth.model.build import Build
from hitchworth.model.estimate import Estimate
from hitchworth.model.indirect_costs import IndirectCosts
from hitchworth.model.options import Options
from hitchworth.model.schedule import PercentGoodPoint, Schedule
from hitchworth.model.workings import Working
from hitchworth.money import Money
from hitchworth.valuation.estimate import estimate
from valuation_parts import part, valued, work

SHARE = Decimal("1e-11")
"""How near a redone age or percent good comes: its terms are printed to twelve decimals."""

NUMBER = re.compile(r"\d+(?:\.\d+)?")


def formulas(found: Estimate, line: int) -> tuple[str, ...]:
    """The formulas of a line."""
    return tuple(working.formula for working in found.lines[line].workings)


def redone(formula: str) -> tuple[Decimal, Decimal]:
    """What the formula gives, and what it says that it gives."""
    expression, _, result = formula.rpartition(" = ")
    code = NUMBER.sub(
        lambda number: f"Decimal('{number.group()}')", expression.replace(" x ", " * ").replace("^", "**")
    )
    with localcontext(prec=60):
        return eval(code, {"Decimal": Decimal}), Decimal(result)


def tolerance(working: Working, unit: Decimal) -> Decimal:
    """How near the formula comes: a part that is split by largest remainder may be one minor unit off."""
    if working.figure in {"age_years", "counted_age", "share_at_start", "share_at_end", "percent_good"}:
        return SHARE
    return unit * (Decimal("1.500001") if working.rule.endswith("_split") else Decimal("0.500001"))


@settings(max_examples=150, deadline=None)
@given(builds())
def test_every_formula_gives_its_figure(build: Build) -> None:
    unit = Money(build.currency).unit
    for line in estimate(build, AS_OF, Options(workings=True, labor_depreciation="with_component")).lines:
        figures: dict[str, Decimal] = {}
        for working in line.workings:
            found, stated = redone(working.formula)
            assert abs(found - stated) <= tolerance(working, unit), working
            figures[working.figure] = stated
        amounts = ("historical_cost", "direct_cost", "replacement_cost", "depreciation", "actual_cash_value")
        assert [figures[name] for name in amounts] == [getattr(line, name) for name in amounts]
        parts = [figures.get(name, Decimal(0)) for name in ("direct_cost", "overhead", "profit", "sales_tax")]
        assert sum(parts) == line.replacement_cost
        assert abs(figures["age_years"] - line.age_years) <= Decimal("0.0005")
        assert abs(figures["percent_good"] - line.percent_good) <= Decimal("0.0000005")


def test_formulas_of_a_part_and_of_work() -> None:
    rates = IndirectCosts(overhead_rate=Decimal("0.1"))
    battery = part("battery", "450", quantity=Decimal(2), tax=Decimal("72"), category="battery_lithium")
    found = valued(battery, work(market_rate=Decimal(80)), indirect_costs=rates, options=Options(workings=True))
    assert formulas(found, 0) == (
        "2 x 450 + 72 = 972.00",
        "2 x 450 + 72 = 972.00",
        "900.00 x 0.1 x 900.00 / 900.00 = 90.00",
        "972.00 + 90.00 + 0.00 + 0.00 = 1062.00",
        "1461 / 365.25 = 4",
        "1 - (1 - 0.1) x 4 / 10 = 0.64",
        "1062.00 x (1 - 0.64) = 382.32",
        "1062.00 - 382.32 = 679.68",
    )
    assert formulas(found, 1)[:2] == ("10 x 50 = 500.00", "10 x 80 = 800.00")


TEN = Decimal(10)
TABLE = (
    PercentGoodPoint(age_years=Decimal(0), percent_good=Decimal(1)),
    PercentGoodPoint(age_years=Decimal(8), percent_good=Decimal("0.2")),
)


@pytest.mark.parametrize(
    ("schedule", "age", "worked"),
    [
        (
            Schedule(method="declining_balance", life_years=TEN),
            "5.5",
            ["(1 - 2 / 10)^5 = 0.32768", "(1 - 2 / 10)^6 = 0.262144"],
        ),
        (Schedule(method="declining_balance", life_years=TEN), "5", ["(1 - 2 / 10)^5 = 0.32768"]),
        (
            Schedule(method="declining_balance", life_years=TEN, convention="half_year", switch_to_straight_line=True),
            "1.2",
            ["2 - 1 / 2 = 1.5", "(1 - 2 / 10 x 1 / 2) x (1 - 2 / 10)^1 = 0.72"],
        ),
        (
            Schedule(method="declining_balance", life_years=TEN, switch_to_straight_line=True),
            "8",
            ["(1 - 2 / 10)^5 - ((1 - 2 / 10)^5 - 0) x (8 - 5) / (10 - 5) = 0.131072"],
        ),
        (
            Schedule(method="sum_of_years", life_years=TEN, residual=Decimal("0.1")),
            "2",
            ["1 - (1 - 0.1) x (10 + 9) / (10 x 11 / 2) = 0.689090909091"],
        ),
        # Digits 12 to 3 add up to 75 of 78: 3 / 78 remains; with the digit of the eleventh year, 1 / 78.
        (
            Schedule(method="sum_of_years", life_years=Decimal(12)),
            "10",
            ["1 - (1 - 0) x (12 + 11 + 10 + 9 + 8 + 7 + 6 + 5 + 4 + 3) / (12 x 13 / 2) = 0.038461538462"],
        ),
        (
            Schedule(method="sum_of_years", life_years=Decimal(12)),
            "11",
            ["1 - (1 - 0) x (11 x (12 + 2) / 2) / (12 x 13 / 2) = 0.012820512821"],
        ),
        (
            Schedule(method="present_worth", life_years=Decimal(20), discount_rate=Decimal("0.1")),
            "5",
            ["((1 - 1 / 1.1^15) / 0.1) / ((1 - 1 / 1.1^20) / 0.1) = 0.893407244801"],
        ),
        (Schedule(method="declining_balance", rate=Decimal("0.5"), residual=Decimal("0.3")), "4", []),
        (Schedule(method="straight_line", life_years=TEN, convention="full_year"), "2.5", ["3 = 3"]),
    ],
)
def test_conventions_and_shares_of_whole_years_are_worked_out(schedule: Schedule, age: str, worked: list[str]) -> None:
    aged = part(schedule=schedule, effective_age_years=Decimal(age))
    workings = valued(aged, options=Options(workings=True)).lines[0].workings
    between = ("counted_age", "share_at_start", "share_at_end")
    assert [working.formula for working in workings if working.figure in between] == worked


@pytest.mark.parametrize(
    ("interpolation", "rule"), [("step", "good_by_table_stepped"), ("linear", "good_by_table_interpolated")]
)
def test_a_table_says_whether_it_is_stepped(interpolation: Literal["step", "linear"], rule: str) -> None:
    aged = part(schedule=Schedule(method="table", points=TABLE, interpolation=interpolation))
    workings = valued(aged, options=Options(workings=True)).lines[0].workings
    assert rule in {working.rule for working in workings}


def test_a_margin_compounded_and_a_tax_on_the_total_are_worked_out() -> None:
    terms = IndirectCosts(
        overhead_rate=Decimal("0.1"),
        profit_rate=Decimal("0.2"),
        profit_basis="margin",
        compounded=True,
        sales_tax_rate=Decimal("0.05"),
        sales_tax_basis="total",
    )
    found = valued(part("a"), part("b", "300"), indirect_costs=terms, options=Options(workings=True))
    assert formulas(found, 0)[2:5] == (
        "400.00 x 0.1 x 100.00 / 400.00 = 10.00",
        "440.00 x 0.2 / (1 - 0.2) x 110.00 / 440.00 = 27.50",
        "400.00 x 0.05 x 100.00 / 400.00 = 5.00",
    )


def test_none_without_being_asked() -> None:
    assert valued(part(acquired_on=date(2020, 1, 1))).lines[0].workings == ()
