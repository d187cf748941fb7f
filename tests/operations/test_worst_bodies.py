"""No body takes more than the deadline: what the worst of each operation costs is bounded, and is what it takes.

Seconds are those of a machine, so what a body takes is compared with an estimate of a few lines in the same run. The
bodies are worked off at a fraction of their size: what they cost grows as they do.
"""

import gc
from functools import cache
from math import inf
from time import process_time
from typing import Any

import msgspec
import pytest

from hitchworth.model.request import EstimateRequest, GapRequest
from hitchworth.operations import costs
from hitchworth.operations.appraisals import create_estimate
from hitchworth.operations.requests import read_request
from hitchworth.operations.settings import Settings
from hitchworth.validation import InvalidInputError
from hitchworth.web.api import OPERATIONS
from hitchworth.web.operation import Operation
from worst_bodies import DAY, WORST, Body, full, losses, policies
from worst_files import WORST_FILES

MOST_COST = 2_400_000
"""In lines valued: at 50 microseconds a line, the deadline of 120 seconds."""

SCALE = 50
TOLERANCE = 8
"""How often an estimate of the cost may be in what a body really takes, when it is computed for the first time."""

COMPUTED = {each.operation_id: each for each in OPERATIONS if each.may_leave and each.method == "POST"}
READ = {name: each for name, each in COMPUTED.items() if not each.takes_file}
CASES = [(name, place) for name in READ for place in range(len(WORST.get(name, ())))]


LINES = {"create_estimate_batch": "create_estimate", "create_gap_statement_batch": "create_gap_statement"}
"""What a line of a batch computes: the line has the time of a request of its own."""

KEPT = {
    "get_estimate": "create_estimate",
    "get_shared_estimate": "create_estimate",
    "get_replacement_cost": "create_estimate",
    "get_actual_cash_value": "create_estimate",
    "get_value_curve": "create_value_curve",
    "get_classification": "create_classification",
    "get_verdict": "create_classification",
    "get_settlements": "create_settlements",
    "get_payable": "create_gap_statement",
    "get_gap": "create_gap_statement",
    "get_money_at_stake": "create_gap_statement",
    "get_gap_statement": "create_gap_statement",
    "get_protection_check": "create_protection_check",
    "get_documentation_score": "create_documentation_score",
    "get_comparison": "create_document_comparison",
    "get_conversation_sheet": "create_conversation_sheet",
    "get_report": "create_report",
    "get_shared_report": "create_report",
    "get_letter": "create_letter",
    "get_claim_pack": "create_claim_pack",
    "get_contract": "create_contract",
    "get_kept_quote_variance": "create_quote_variance",
    "get_kept_quote_report": "create_quote_report",
    "get_serial_number_register": "create_serial_number_register",
}
"""What is computed of a document that is kept: as much as of one that is sent."""

OF_ITS_OWN = {
    "get_plate_reading": "one photo, of no more pixels than the setting max_evidence_pixels",
    "list_attention": "many builds, valued one after the other within a share of the deadline",
    "get_portfolio": "many builds, valued one after the other within a share of the deadline",
    "get_workbook_template": "an empty workbook, or that of the demo",
}
"""What takes no document, with what bounds it."""


def computes_nothing(operation: Operation) -> bool:
    """Say whether an operation reads or changes what is kept, or answers with what the release has.

    What changes checks one document and writes it, in threads of those who change.
    """
    return operation.cost is None and (operation.method == "GET" or operation.changes)


def test_every_operation_has_a_worst_body_or_a_reason_why_it_needs_none() -> None:
    bounded = {*WORST, *WORST_FILES, *LINES, *KEPT, *OF_ITS_OWN}
    assert {each.operation_id for each in OPERATIONS if not computes_nothing(each)} == bounded
    assert {*LINES.values(), *KEPT.values()} <= WORST.keys()


FILES = [(name, place) for name, files in WORST_FILES.items() for place in range(len(files))]


@pytest.mark.parametrize(("name", "place"), FILES)
def test_a_file_takes_what_it_costs(name: str, place: int) -> None:
    operation = COMPUTED[name]
    file = WORST_FILES[name][place](SCALE)
    floor = line_seconds()
    gc.collect()
    begin = process_time()
    operation.renderings[0].render(operation.function(file))
    assert operation.cost is not None
    assert process_time() - begin < TOLERANCE * floor * operation.cost(file)


def encoded(operation: Operation, body: Body, share: int) -> bytes:
    made = body(share)
    dated = "dates" in made or "before" in made
    return msgspec.json.encode(made if dated else {"as_of": str(DAY)} | made)


def cost(operation: Operation, request: Any) -> float:
    """Return the estimate; that of the computation in it, for what is always taken for long."""
    assert operation.cost is not None
    found = operation.cost(request)
    if found == inf:
        return costs.of_gap_statement(request) if isinstance(request, GapRequest) else costs.of_quote(request)
    return found


def test_every_operation_that_takes_a_body_has_a_worst_one() -> None:
    assert READ.keys() == WORST.keys()
    assert all(WORST.values())


@pytest.mark.parametrize(("name", "place"), CASES)
def test_the_worst_body_is_accepted_and_what_it_costs_is_bounded(name: str, place: int) -> None:
    operation = READ[name]
    body = encoded(operation, WORST[name][place], 1)
    assert len(body) <= 1.02 * Settings().max_body_bytes
    assert cost(operation, read_request(body, operation.request_type)) < MOST_COST


@cache
def line_seconds() -> float:
    """Return the least time of a line of an estimate, of several runs; the first ones warm up."""
    body = msgspec.json.encode({"as_of": str(DAY), "build": full(300)})
    return min(seconds(body) for _ in range(6)) / 300


def seconds(body: bytes) -> float:
    begin = process_time()
    msgspec.json.encode(create_estimate(read_request(body, EstimateRequest)))
    return process_time() - begin


VALUED = [(name, place) for name, place in CASES if READ[name].cost is not costs.unknown]


@pytest.mark.parametrize(("name", "place"), VALUED)
def test_a_body_takes_what_it_costs(name: str, place: int) -> None:
    operation = READ[name]
    body = encoded(operation, WORST[name][place], SCALE)
    floor = line_seconds()
    gc.collect()
    begin = process_time()
    request = read_request(body, operation.request_type)
    msgspec.json.encode(operation.function(request))
    assert process_time() - begin < TOLERANCE * floor * cost(operation, request)


SETTLING = [name for name in READ if WORST.get(name, ()) and WORST[name][0] is WORST["create_settlements"][0]]


@pytest.mark.parametrize("name", SETTLING)
def test_twenty_policies_of_which_nothing_is_known_on_twenty_losses_are_refused_at_once(name: str) -> None:
    kind = READ[name].request_type
    body = msgspec.json.encode({"build": full(2), "policies": policies(20), "losses": losses(20)})
    with pytest.raises(InvalidInputError) as raised:
        read_request(body, kind)
    (fault,) = raised.value.faults
    assert (fault.pointer, fault.found) == ("/losses", "20 x 20 = 400")
    assert fault.expected.startswith("at most ")
