"""Measures against loss, by layer, and the evidence that proves each."""

from functools import cache
from typing import Annotated, Literal, TypeAlias

from msgspec import Meta, Struct

from hitchworth.model.assessment import Mark
from hitchworth.reference.load import read

Layer: TypeAlias = Literal[
    "visible_deterrent",
    "lock_and_coupler",
    "coupling_and_brakes",
    "wiring_and_fuses",
    "gas",
    "alarm",
    "extinguisher",
    "sealing",
    "tracking",
    "storage",
    "records",
]


class ProtectionMeasure(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One measure."""

    name: str
    title: str
    layer: Layer
    slows: Annotated[tuple[str, ...], Meta(description="Perils that it makes rarer or smaller.")]
    evidence: Annotated[tuple[str, ...], Meta(description="What shows later that it was in place.")]
    mark: Mark
    caution: str = ""


@cache
def protection_measures() -> tuple[ProtectionMeasure, ...]:
    """Every measure, from the outermost layer inwards."""
    return read("protections.yaml", tuple[ProtectionMeasure, ...])
