"""Any JSON is read, or refused with faults at places of that JSON; it never makes validation crash."""

from typing import Any

import msgspec
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from hitchworth import validation
from hitchworth.demo import demo_body
from hitchworth.model.request import ClassificationRequest, EstimateRequest, GapRequest, SettlementRequest

NAMES = [
    "build",
    "components",
    "id",
    "facts",
    "schedule",
    "method",
    "points",
    "policies",
    "losses",
    "damage",
    "a/b",
    "~",
]
LEAVES = (
    st.none()
    | st.booleans()
    | st.integers()
    | st.floats(allow_nan=False, allow_infinity=False)
    | st.text(max_size=5)
    | st.sampled_from(["1E999999", "NaN", "2025-01-01", "USD", "table", "0.5"])
)
VALUES = st.recursive(
    LEAVES, lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.sampled_from(NAMES), inner, max_size=5)
)


def places(value: Any, pointer: str = "") -> list[tuple[str, list[Any], Any]]:
    """Return every place in a value: its pointer, the path of names and indexes, and what is there."""
    found: list[tuple[str, list[Any], Any]] = [(pointer, [], value)]
    pairs: list[tuple[Any, Any]] = []
    if isinstance(value, dict):
        pairs = list(value.items())
    elif isinstance(value, list):
        pairs = list(enumerate(value))
    for name, part in pairs:
        token = str(name).replace("~", "~0").replace("/", "~1")
        found += [(at, [name, *path], leaf) for at, path, leaf in places(part, f"{pointer}/{token}")]
    return found


def faults(body: Any, kind: Any) -> list[str]:
    try:
        validation.read(msgspec.json.encode(body), kind)
    except validation.InvalidInputError as caught:
        return [fault.pointer for fault in caught.faults]
    except validation.MalformedBodyError:
        return []
    return []


@pytest.mark.parametrize("kind", [EstimateRequest, ClassificationRequest, SettlementRequest, GapRequest])
@given(value=VALUES)
@settings(max_examples=60, deadline=None)
def test_any_value_is_read_or_refused(kind: Any, value: Any) -> None:
    known = {pointer for pointer, _, _ in places(value)}
    for pointer in faults(value, kind):
        # The place exists, or is missing from one that exists.
        assert pointer in known or pointer.rpartition("/")[0] in known


@given(data=st.data())
@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_any_change_of_a_valid_body_is_read_or_refused_at_its_place(data: st.DataObject) -> None:
    body = msgspec.json.decode(demo_body())
    pointer, path, _ = data.draw(st.sampled_from(places(body)[1:]))
    *parents, last = path
    record = body
    for name in parents:
        record = record[name]
    record[last] = data.draw(VALUES)
    for found in faults(body, GapRequest):
        named = pointer.startswith(
            ("/build/components", "/build/labor", "/build/schedules", "/build/facts", "/policies")
        )
        assert found.startswith(pointer.rpartition("/")[0]) or named  # a reference to a name may have the fault
