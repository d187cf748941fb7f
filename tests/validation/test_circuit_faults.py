"""Bad circuits and discounts are named by their place."""

from typing import Any

import msgspec
import pytest

from hitchworth import validation
from hitchworth.model.build import Build
from hitchworth.model.request import GapRequest, ProtectionRequest

Json = dict[str, Any]
FAN: Json = {"name": "fan", "load_amps": 4, "length_m": 3, "awg": 14, "fuse_amps": 5}
POLICY: Json = {"name": "auto", "basis": "actual_cash_value"}
LOSS: Json = {"name": "fire", "peril": "fire", "extent": "total", "occurred_on": "2026-01-01"}


def faults(body: Json, kind: Any = Build) -> list[tuple[str, str]]:
    """Where the faults are, and what was found there."""
    try:
        validation.read(msgspec.json.encode(body), kind)
    except validation.InvalidInputError as caught:
        return [(fault.pointer, fault.found) for fault in caught.faults]
    return []


def build(*circuits: Json, **more: Any) -> Json:
    return {"name": "a", "currency": "USD", "circuits": list(circuits), **more}


@pytest.mark.parametrize(
    ("change", "expected"),
    [
        ({}, []),
        ({"awg": None, "fuse_amps": None}, []),
        ({"awg": 0}, []),
        ({"awg": -3}, []),
        ({"load_amps": 0}, [("/circuits/0/load_amps", "0")]),
        ({"length_m": "0.00"}, [("/circuits/0/length_m", "0.00")]),
        ({"fuse_amps": 0}, [("/circuits/0/fuse_amps", "0")]),
        ({"volts": 0}, [("/circuits/0/volts", "0")]),
        ({"awg": None, "area_mm2": 0}, [("/circuits/0/area_mm2", "0")]),
        ({"awg": 13}, [("/circuits/0/awg", "13")]),
        ({"awg": 41}, [("/circuits/0/awg", "41")]),
        ({"awg": -4}, [("/circuits/0/awg", "-4")]),
        ({"area_mm2": 2}, [("/circuits/0/area_mm2", "both")]),
        ({"length_m": -1}, [("/circuits/0/length_m", "-1")]),
        ({"volts": 230}, [("/circuits/0/volts", "230")]),
    ],
)
def test_a_circuit(change: Json, expected: list[tuple[str, str]]) -> None:
    assert faults(build(FAN | change)) == expected


def test_a_circuit_named_twice() -> None:
    assert faults(build(FAN, FAN | {"name": "pump"}, FAN)) == [("/circuits/2/name", "fan")]


def test_a_discount_stated_twice() -> None:
    lock = {"name": "coupler_lock", "annual_discount": 5, "discount_rate": "0.1"}
    assert faults(build(protections=[lock])) == [("/protections/0/discount_rate", "both")]


def test_a_discount_of_a_policy_that_is_not_on_the_table() -> None:
    body = build(FAN | {"fuse_amps": 0}, protections=[{"name": "coupler_lock", "policy": "home"}])
    found = [("/build/circuits/0/fuse_amps", "0"), ("/build/protections/0/policy", "home")]
    assert faults({"build": body, "policies": [POLICY]}, ProtectionRequest) == found
    assert faults({"build": body, "policies": [POLICY], "losses": [LOSS]}, GapRequest) == found
    assert faults({"build": body}, ProtectionRequest) == found[:1]


def test_a_policy_named_twice() -> None:
    assert faults({"build": build(), "policies": [POLICY, POLICY]}, ProtectionRequest) == [("/policies/1/name", "auto")]
