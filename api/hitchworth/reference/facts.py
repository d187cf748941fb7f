"""The vocabulary of facts: the properties of a build that definitions use, each with its unit and its question."""

from functools import cache
from typing import Literal, TypeAlias

from msgspec import Struct

from hitchworth.reference.load import read

FactType: TypeAlias = Literal["boolean", "integer", "number", "enum", "text"]


class Computed(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """How a fact is computed from two others: first minus second, first / second, or that ratio x 100."""

    rule: Literal["difference", "ratio", "percent"]
    of: tuple[str, str]


class FactDefinition(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One fact of the vocabulary. A number is in `unit` and is from 0 to `maximum`."""

    name: str
    type: FactType
    question: str
    measure: str
    unit: str | None = None
    values: tuple[str, ...] = ()
    maximum: str | None = None
    computed: Computed | None = None


@cache
def facts() -> tuple[FactDefinition, ...]:
    """Return every fact, in the order of the vocabulary."""
    return read("facts.yaml", tuple[FactDefinition, ...])


@cache
def vocabulary() -> dict[str, FactDefinition]:
    """Return every fact by its name."""
    return {fact.name: fact for fact in facts()}
