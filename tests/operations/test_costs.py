"""What requests cost, in lines valued: figures worked by hand, and no computation without an estimate."""

from datetime import date
from decimal import Decimal
from math import inf

import msgspec
import pytest
from msgspec.structs import replace

from hitchworth.model.build import Build, Protection
from hitchworth.model.change_order import ChangeOrder
from hitchworth.model.circuit import Circuit
from hitchworth.model.entry import Component, Labor
from hitchworth.model.evidence import Evidence
from hitchworth.model.loss import Loss
from hitchworth.model.policy import Policy
from hitchworth.model.pricing import Alternative, OptionGroup, QuotePricing
from hitchworth.model.quote_document import QuoteDocument
from hitchworth.model.request import (
    ClassificationRequest,
    DatedBuild,
    DocumentComparisonRequest,
    EstimateComparisonRequest,
    EstimateRequest,
    GapRequest,
    ProtectionRequest,
    SalesComparisonRequest,
    ValueCurveRequest,
)
from hitchworth.model.sales_comparison import Comparable, Traits
from hitchworth.operations import costs
from hitchworth.operations.batches import Line
from hitchworth.operations.renderings import Rendering
from hitchworth.validation.settling_work import settling_work
from hitchworth.web.api import OPERATIONS
from hitchworth.web.computation import Rendered
from hitchworth.web.operation import Operation
from hitchworth.web.scheduling import AT_ONCE_BYTES, AT_ONCE_COST, LONG_COST, READ_BYTES, _cost, cost_of_lines, size_of

DAY = date(2026, 6, 1)
DAYS = (DAY, date(2026, 7, 1))


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
    assert costs.of_classification(ClassificationRequest(build=build(5), travels_to=("GB",))) == 15 + 80 + 5
    assert costs.of_classification(ClassificationRequest(jurisdiction="US-WA")) == 15 + 80  # without a build


def test_costs_of_files_worked_by_hand() -> None:
    assert costs.of_file(b"x" * 250) == 1000 + 25
    assert costs.of_estimate_lines(250) == 25


def test_costs_of_what_else_is_in_a_document_worked_by_hand() -> None:
    # the other records are 2 + 3 and 1 + 0; the lines are compared four times
    sides = DocumentComparisonRequest(before=statement(10, 2, 3), after=statement(20, 1, 0))
    assert costs.of_document_comparison(sides) == 15 + 5 + 4 * 10 + 1 + 4 * 20
    # two losses of different days: the build five times
    days = replace(
        statement(30, 1, 0), losses=tuple(Loss(name=f"{each}", peril="fire", occurred_on=each) for each in DAYS)
    )
    assert costs.of_settlements(days) == 15 + 3 + 5 * 30 + settling_work(days)
    sold = Comparable(description="a", price=Decimal(1), sold_on=DAY, source="a")
    compared = SalesComparisonRequest(build=build(40), subject=Traits(), comparables=(sold,) * 3)
    assert costs.of_sales_comparison(compared) == 15 + 40 + 3 * 10
    wired = replace(
        build(7),
        circuits=(Circuit(name="a", load_amps=Decimal(1), length_m=Decimal(1)),) * 2,
        protections=(Protection(name="lock"),),
    )
    named = (Policy(name="a"),)
    assert costs.of_protection_check(ProtectionRequest(build=wired, policies=named)) == 15 + 1 + 7 + 3 * 10
    without = replace(wired, protections=None)
    assert costs.of_protection_check(ProtectionRequest(build=without, policies=named)) == 15 + 1 + 7 + 2 * 10
    proof = Evidence(id="a", sha256="a" * 64, media_type="image/jpeg", size=1)
    listed = EstimateRequest(build=build(7), policies=named, evidence=(proof,) * 2)
    assert costs.of_documentation(listed) == 15 + 1 + 7 + 2


def test_the_cost_of_a_quote_is_that_of_every_combination_of_its_options() -> None:
    task = Labor(id="b", task="b", hours=Decimal(1), rate=Decimal(1), performed_on=DAY)
    groups = tuple(
        OptionGroup(name=f"{size}", alternatives=tuple(Alternative(name=f"{each}") for each in range(size)))
        for size in (2, 3)
    )
    more = ChangeOrder(number="1", dated=DAY, reason="a", components=build(2).components, labor=(task,))
    pricing = QuotePricing(option_groups=groups)
    quote = QuoteDocument(
        build=replace(build(10), labor=(task,)), pricing=pricing, changes=(more,), policies=(Policy(name="a"),)
    )
    # 11 lines and 3 of the change; of the options, one of two or none, one of three or none: (2 + 1) x (3 + 1) = 12,
    # each of which takes a fifth of a line's time
    assert costs.of_quote(quote) == pytest.approx(200 + 1 + (11 + 3) * (1 + 12 / 5))


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


def asked(name: str, body: bytes, form: str = "json") -> float:
    """What a request of an operation costs, as far as it is known before it is read."""
    operation = next(each for each in OPERATIONS if each.operation_id == name)
    rendering = Rendering(name=form, media_type="", render=bytes)
    return _cost(operation, body, Rendered(operation, rendering, table=None, locale=None))


SENT = msgspec.json.encode({"build": {"name": "a", "currency": "USD"}})


@pytest.mark.parametrize(
    ("name", "body", "form", "cost"),
    [
        ("create_estimate", SENT, "json", 15),
        ("create_estimate", SENT, "csv", 15),
        ("create_estimate", SENT, "xlsx", inf),  # making a workbook takes longer than the figures in it
        ("create_estimate", b"{", "json", inf),  # its faults are looked for elsewhere
        ("create_estimate", SENT.ljust(AT_ONCE_BYTES), "json", 15),
        ("create_estimate", SENT.ljust(AT_ONCE_BYTES + 1), "json", AT_ONCE_COST + 1),  # cheap, but long to check
        ("create_estimate", SENT.ljust(READ_BYTES), "json", AT_ONCE_COST + 1),
        ("create_estimate", SENT.ljust(READ_BYTES + 1), "json", inf),
        ("create_receipt_import", b"x" * 250, "json", 1000 + 25),
        ("get_health", b"", "json", 0),  # no estimate: next to nothing
        ("get_health", b"x" * AT_ONCE_BYTES, "json", 0),
        ("get_health", b"x" * (AT_ONCE_BYTES + 1), "json", inf),
        ("get_estimate", b"", "json", inf),  # what is kept is read first
    ],
)
def test_what_is_known_of_a_cost_before_it_is_computed(name: str, body: bytes, form: str, cost: float) -> None:
    assert asked(name, body, form) == cost


def test_a_line_of_a_batch_has_its_bytes_and_those_of_the_shortest_answer() -> None:
    batch = next(each for each in OPERATIONS if each.operation_id == "create_estimate_batch")
    lines = [Line(number=1, content=b"x" * 50), Line(number=2, content=None)]
    assert [size_of(line) for line in lines] == [200, 150]
    assert cost_of_lines(batch, 350) == 35
    assert cost_of_lines(replace(batch, cost=None), 350) == inf
