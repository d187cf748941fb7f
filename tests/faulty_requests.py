"""Requests to spoil, and the faults that validation finds in them."""

from typing import Any, TypeAlias

import msgspec

from hitchworth import validation
from hitchworth.model.fault import Fault

Json: TypeAlias = dict[str, Any]
COMPONENT: Json = {
    "id": "panel",
    "description": "Solar panel",
    "category": "solar",
    "quantity": 1,
    "unit_cost": 100,
    "acquired_on": "2025-05-01",
}
LABOR: Json = {"id": "fit", "task": "Fit it", "hours": 2, "rate": 40, "performed_on": "2025-05-02"}
POLICY: Json = {"name": "one", "basis": "actual_cash_value"}
LOSS: Json = {"name": "fire", "peril": "fire", "extent": "total", "occurred_on": "2026-01-01"}


def build_with(*components: Json, **fields: Any) -> Json:
    """Return a build with the fields, and with COMPONENT once for each change of it."""
    return {"name": "a", "currency": "USD", "components": [COMPONENT | change for change in components], **fields}


def gap_request(**fields: Any) -> Json:
    """Return the body of a settlement or a gap statement: one component, one policy and one loss."""
    return {"build": build_with({}), "policies": [POLICY], "losses": [LOSS], **fields}


def put(body: Any, pointer: str, value: object) -> None:
    """Put a value at the place of a pointer, in objects that are made where they are missing."""
    *path, last = pointer.split("/")[1:]
    for name in path:
        body = body.setdefault(name, {}) if isinstance(body, dict) else body[int(name)]
    body[last] = value


def error_of(body: Any, kind: Any) -> validation.InvalidInputError | None:
    """Return the error of a body that is to be of the type; None without a fault."""
    try:
        validation.read(msgspec.json.encode(body), kind)
    except validation.InvalidInputError as error:
        return error
    return None


def faults_of(body: Any, kind: Any) -> tuple[Fault, ...]:
    """Return the faults of a body that is to be of the type, each with all its places."""
    error = error_of(body, kind)
    return error.faults if error else ()


def places(body: Any, kind: Any) -> list[tuple[str, str]]:
    """Return the pointer of each fault, and what was found there; of a fault of several rows, each pointer."""
    return [(pointer, fault.found) for fault in faults_of(body, kind) for pointer in (fault.pointer, *fault.also_at)]


def only_fault(body: Any, kind: Any) -> Fault:
    """Return the fault of a body that has exactly one."""
    (fault,) = faults_of(body, kind)
    return fault
