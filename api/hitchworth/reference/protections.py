"""Measures against loss, by layer, the evidence that proves each one, and the words that show one in an inventory."""

from functools import cache
from typing import Annotated

from msgspec import Meta, Struct

from hitchworth.model.protection import Ask, Hazard, Layer
from hitchworth.model.provenance import Provenance
from hitchworth.reference.load import read
from hitchworth.reference.words import Phrases


class ProtectionMeasure(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One measure against loss."""

    name: Annotated[str, Meta(description="Name by which build.protections refers to it.")]
    title: Annotated[str, Meta(description="What it is.")]
    layer: Annotated[Layer, Meta(description="Its layer of protection.")]
    slows: Annotated[tuple[str, ...], Meta(description="Perils that it makes less likely or less severe.")]
    evidence: Annotated[tuple[str, ...], Meta(description="What shows later that it was in place.")]
    ask: Annotated[Ask, Meta(description="What to ask the insurer about it.")]
    provenance: Annotated[Provenance, Meta(description="Where the entry comes from.")]
    source: Annotated[str, Meta(description="The publication or practice.")]
    touches: Annotated[
        tuple[Hazard, ...], Meta(description="What it touches that can hurt someone when it is done wrong.")
    ] = ()
    caution: Annotated[str, Meta(description="What to keep in mind; empty: nothing.")] = ""


class ProtectionWords(Phrases, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The words by which a component shows a measure."""

    measure: str


@cache
def protection_words() -> tuple[ProtectionWords, ...]:
    """Return the words for every measure that a component can show."""
    return read("protection_words.yaml", tuple[ProtectionWords, ...])


@cache
def protection_measures() -> tuple[ProtectionMeasure, ...]:
    """Return every measure, from the outermost layer inward."""
    return read("protections.yaml", tuple[ProtectionMeasure, ...])


@cache
def measures_by_name() -> dict[str, ProtectionMeasure]:
    """Return every measure by its name."""
    return {measure.name: measure for measure in protection_measures()}
