"""The cost approach compared with worked examples of others: age-life, cost to cure, and the order of obsolescence."""

from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from hitchworth.model.build import Build, Obsolescence
from hitchworth.model.entry import Component
from hitchworth.model.estimate import EstimateLine
from hitchworth.model.options import Options
from hitchworth.valuation.estimate import estimate

DAY = date(2026, 6, 1)


def valued(cost: str, *obsolescence: Obsolescence, **terms: Any) -> EstimateLine:
    given: dict[str, Any] = {name: Decimal(value) for name, value in terms.items()}
    part = Component(
        id="part",
        description="Part",
        category="permits",  # a category that loses nothing by its schedule
        quantity=Decimal(1),
        unit_cost=Decimal(cost),
        acquired_on=DAY,
        **given,
    )
    build = Build(name="Trailer", currency="USD", components=(part,), obsolescence=obsolescence)
    return estimate(build, DAY, Options()).lines[0]


# A glossary of state-certified appraisers: effective age 15, remaining life 45, cost new 60,000: 25 percent, 15,000.
# Slides of problems on the cost approach: effective age 20, remaining life 30, cost new 50,000: 20,000.
# An appraisers' forum quoting a text: effective age 20, life 40, cost new 41,493,430: 20,746,715.
@pytest.mark.parametrize(
    ("cost", "age", "remaining", "depreciation"),
    [("60000", "15", "45", 15000), ("50000", "20", "30", 20000), ("41493430", "20", "20", 20746715)],
)
def test_age_life(cost: str, age: str, remaining: str, depreciation: int) -> None:
    line = valued(cost, effective_age_years=age, remaining_life_years=remaining)
    assert line.depreciation == depreciation
    assert line.schedule == "age_life"


# The same slides: a barn of 40,000, effective age 40, remaining life 40, 10,000 of curable deterioration: 15,000 left.
# The formula of the glossary, (cost new - cost to cure) x age / life + cost to cure, at 300,000, 60,000, 15 and 45: its
# page prints 80,000 for 25 percent of 240,000; right are 60,000, and 120,000 in all.
@pytest.mark.parametrize(
    ("cost", "cure", "age", "remaining", "value"),
    [("40000", "10000", "40", "40", 15000), ("300000", "60000", "15", "45", 180000)],
)
def test_modified_age_life(cost: str, cure: str, age: str, remaining: str, value: int) -> None:
    line = valued(cost, cost_to_cure=cure, effective_age_years=age, remaining_life_years=remaining)
    assert line.actual_cash_value == value


# The same glossary, "depreciation order": a house of 100,000, physical deterioration 30 percent, functional 10,
# external 20, in this order. Its stored page does not show the result; each share is of what is left: 70,000,
# 63,000, 50,400 (computed).
def test_the_order_of_the_breakdown_method() -> None:
    economic = Obsolescence(kind="economic", share=Decimal("0.2"), reason="no market")
    functional = Obsolescence(kind="functional", share=Decimal("0.1"), reason="layout")
    for terms in ((functional, economic), (economic, functional)):
        line = valued("100000", *terms, condition="0.7")
        assert [line.actual_cash_value, line.depreciation, line.obsolescence] == [50400, 49600, 19600]


# Straight line by rate and years, a chart of a law firm of 2019: new 500, 12.5 percent a year, 3 years: 312.50
def test_a_yearly_rate() -> None:
    assert valued("500", effective_age_years="3", remaining_life_years="5").actual_cash_value == Decimal("312.50")
