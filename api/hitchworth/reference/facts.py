"""The vocabulary of facts: each property of a build by which a definition may ask, with its unit and its question."""

from functools import cache
from typing import Literal, TypeAlias

from msgspec import Struct

from hitchworth.reference.load import read

FactType: TypeAlias = Literal["boolean", "integer", "number", "enum", "text"]


class Computed(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """How a fact follows from two others: the first less the second, the first by the second, the same x 100."""

    rule: Literal["difference", "ratio", "percent"]
    of: tuple[str, str]


class FactDefinition(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One fact of the vocabulary. A number is in `unit` and lies between 0 and `greatest`."""

    name: str
    type: FactType
    question: str
    measure: str
    unit: str | None = None
    values: tuple[str, ...] = ()
    greatest: str | None = None
    computed: Computed | None = None


@cache
def facts() -> tuple[FactDefinition, ...]:
    """Every fact, in the order of the vocabulary."""
    return read("facts.yaml", tuple[FactDefinition, ...])


@cache
def vocabulary() -> dict[str, FactDefinition]:
    """Every fact by its name."""
    return {fact.name: fact for fact in facts()}
