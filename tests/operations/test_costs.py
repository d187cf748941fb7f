"""What requests cost, in lines valued: figures worked by hand, and no computation without an estimate."""

from datetime import date
from decimal import Decimal
from math import inf

import pytest
from msgspec.structs import replace

from hitchworth.model.build import Build
from hitchworth.model.entry import Component
from hitchworth.model.loss import Loss
from hitchworth.model.policy import Policy
from hitchworth.model.request import (
    ClassificationRequest,
    DatedBuild,
    EstimateComparisonRequest,
    EstimateRequest,
    GapRequest,
    ValueCurveRequest,
)
from hitchworth.operations import costs
from hitchworth.validation.settling_work import settling_work
from hitchworth.web.api import OPERATIONS
from hitchworth.web.operation import Operation
from hitchworth.web.scheduling import AT_ONCE_COST, LONG_COST

DAY = date(2026, 6, 1)


def build(lines: int, jurisdiction: str | None = None) -> Build:
    part = Component(id="a", description="a", category="wiring", quantity=1, unit_cost=1, acquired_on=DAY)  # type: ignore[arg-type]
    return Build(name="a", currency="USD", components=(part,) * lines, jurisdiction=jurisdiction)


def statement(lines: int, policies: int, losses: int) -> GapRequest:
    given = tuple(Policy(name=f"{number}") for number in range(policies))
    happened = tuple(Loss(name=f"{number}", peril="fire", occurred_on=DAY) for number in range(losses))
    return GapRequest(build=build(lines), policies=given, losses=happened)


def test_costs_worked_by_hand() -> None:
    assert costs.of_estimate(EstimateRequest(build=build(40))) == 15 + 40
    assert costs.of_estimate(EstimateRequest(build=build(1), photo=b"few bytes, many pixels")) == inf
    curve = ValueCurveRequest(build=build(50), dates=(DAY,) * 100)
    # the build once, 100 dates, 400 days of change; with a limit, 400 days searched
    assert costs.of_value_curve(curve) == 15 + 50 + 100 * (3 + 50) + 400 * 50
    assert costs.of_value_curve(replace(curve, limit=Decimal(1))) == 15 + 50 + 100 * (3 + 50) + 2 * 400 * 50
    # one day of loss: the build three times; 7 more records; the statement 200 and a fifth more for its questions
    settled = settling_work(statement(30, 3, 4))
    assert costs.of_gap_statement(statement(30, 3, 4)) == 200 + 1.2 * (15 + 7 + 3 * 30 + settled)
    sides = [DatedBuild(build=build(lines)) for lines in (10, 20)]
    assert costs.of_estimate_comparison(EstimateComparisonRequest(before=sides[0], after=sides[1])) == 15 + 2 * 30
    described = ClassificationRequest(build=build(5, "US-WA"), travels_to=("GB", "DE"))
    assert costs.of_classification(described) == 15 + 3 * 80 + 5


def test_what_is_small_is_computed_at_once_and_what_is_long_waits_for_others_that_are() -> None:
    assert costs.of_estimate(EstimateRequest(build=build(40))) <= AT_ONCE_COST
    assert costs.of_estimate(EstimateRequest(build=build(300))) > AT_ONCE_COST
    assert costs.of_estimate(EstimateRequest(build=build(2000))) < LONG_COST
    assert AT_ONCE_COST < costs.of_gap_statement(statement(1, 1, 1)) < LONG_COST
    assert costs.of_gap_statement(statement(1, 2, 3)) > LONG_COST


COMPUTED = [each for each in OPERATIONS if each.may_leave and each.method == "POST"]


@pytest.mark.parametrize("operation", COMPUTED, ids=[each.operation_id for each in COMPUTED])
def test_no_body_is_computed_without_an_estimate_of_its_cost(operation: Operation) -> None:
    assert operation.cost is not None
