"""Workings: every formula, redone, gives the figure that stands behind its equals sign and in the line."""

import re
from datetime import date
from decimal import Decimal, localcontext

from hypothesis import given, settings

from build_strategies import AS_OF, builds
from hitchworth.model.build import Build, OnCosts
from hitchworth.model.estimate import Estimate
from hitchworth.model.options import Options
from hitchworth.valuation.estimate import estimate
from hitchworth.valuation.money import Money
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
    code = NUMBER.sub(lambda number: f"Decimal('{number.group()}')", expression.replace(" x ", " * "))
    with localcontext(prec=60):
        return eval(code, {"Decimal": Decimal}), Decimal(result)


@settings(max_examples=100, deadline=None)
@given(builds())
def test_every_formula_gives_its_figure(build: Build) -> None:
    half_unit = Decimal("0.500001") * Money(build.currency).unit
    for line in estimate(build, AS_OF, Options(workings=True, labor_depreciation="with_component")).lines:
        figures: list[Decimal] = []
        for formula in (working.formula for working in line.workings):
            found, stated = redone(formula)
            assert abs(found - stated) <= (SHARE if len(figures) in {3, 4} else half_unit), formula
            figures.append(stated)
        historic, direct, replacement, age, good, depreciation, value = figures
        assert (historic, direct, replacement) == (line.historic_cost, line.direct_cost, line.replacement_cost)
        assert (depreciation, value) == (line.depreciation, line.actual_cash_value)
        assert abs(age - line.age_years) <= Decimal("0.0005")
        assert abs(good - line.percent_good) <= Decimal("0.0000005")


def test_formulas_of_a_part_and_of_work() -> None:
    rates = OnCosts(overhead_rate=Decimal("0.1"))
    battery = part("battery", "450", quantity=Decimal(2), tax=Decimal("72"), category="battery_lithium")
    found = valued(battery, work(market_rate=Decimal(80)), on_costs=rates, options=Options(workings=True))
    assert formulas(found, 0) == (
        "2 x 450 + 72 = 972.00",
        "2 x 450 + 72 = 972.00",
        "972.00 + 97.20 + 0.00 + 0.00 = 1069.20",
        "1461 / 365.25 = 4",
        "1 - (1 - 0.1) x 4 / 10 = 0.64",
        "1069.20 x (1 - 0.64) = 384.91",
        "1069.20 - 384.91 = 684.29",
    )
    assert formulas(found, 1)[:2] == ("10 x 50 = 500.00", "10 x 80 = 800.00")


def test_none_without_being_asked() -> None:
    assert valued(part(acquired_on=date(2020, 1, 1))).lines[0].workings == ()
