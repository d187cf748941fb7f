"""What a request is completed with before it is computed: refunds are taken off the build."""

from typing import Any

import msgspec
import pytest

from faulty_requests import COMPONENT, build_with
from hitchworth.model.request import ClassificationRequest, EstimateComparisonRequest, EstimateRequest
from hitchworth.operations.requests import read_request

REFUND = {"id": "slip", "quantity": -2, "unit_cost": -100, "acquired_on": "2025-06-01", "refund_of": "panel"}
BUILD = build_with({"quantity": 3}, REFUND)


def ids(build: Any) -> list[tuple[str, str, str]]:
    return [(part.id, str(part.quantity), str(part.removed_on)) for part in build.components]


@pytest.mark.parametrize("kind", [EstimateRequest, ClassificationRequest])
def test_a_refund_takes_its_units_off_the_component(kind: Any) -> None:
    request = read_request(msgspec.json.encode({"build": BUILD}), kind)
    assert ids(request.build) == [("panel", "1", "None"), ("slip", "2", "2025-06-01")]


def test_both_sides_of_a_comparison_are_read_so() -> None:
    body = msgspec.json.encode({"before": {"build": BUILD}, "after": {"build": build_with(COMPONENT)}})
    request = read_request(body, EstimateComparisonRequest)
    assert ids(request.before.build) == [("panel", "1", "None"), ("slip", "2", "2025-06-01")]
    assert ids(request.after.build) == [("panel", "1", "None")]


def test_a_classification_needs_no_build() -> None:
    assert read_request(b'{"jurisdiction": "US-WA"}', ClassificationRequest).build is None
