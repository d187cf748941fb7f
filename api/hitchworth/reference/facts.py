"""The vocabulary of facts: the properties of a build that definitions use, each with its unit and its question."""

from functools import cache
from typing import Annotated, Literal, TypeAlias

from msgspec import Meta, Struct

from hitchworth.reference.load import read

FactType: TypeAlias = Literal["boolean", "integer", "number", "enum", "text"]
"""The type of a fact's value.

boolean: true or false
integer: a whole number
number: a number, alone in the fact's unit or as text with a unit
enum: one of `values`
text: any text
"""

ComputedRule: TypeAlias = Literal["difference", "sum", "half", "ratio", "percent"]
"""How a fact is computed from one or two others.

difference: the first less the second
sum: the first and the second
half: half of the first and of `plus`
ratio: the first / the second
percent: the first / the second x 100
"""


class Computed(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """How a fact is computed from others when it is not given."""

    rule: Annotated[ComputedRule, Meta(description="How it is computed.")]
    of: Annotated[tuple[str, ...], Meta(description="The names of the first and the second fact; for half, of one.")]
    plus: Annotated[
        int, Meta(description="For half: a constant, in the fact's unit, that is added before halving.")
    ] = 0


class FactDefinition(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One fact of the vocabulary."""

    name: Annotated[str, Meta(description="Name of the fact, the key in build.facts.")]
    type: Annotated[FactType, Meta(description="The type of its value.")]
    question: Annotated[str, Meta(description="The fact as a question.")]
    measure: Annotated[str, Meta(description="Where to look, or how to measure.")]
    unit: Annotated[
        str | None, Meta(description="Unit of a value without a unit: m, m2, kg. Null: the fact has no unit.")
    ] = None
    values: Annotated[tuple[str, ...], Meta(description="For enum: the values that it can have.")] = ()
    maximum: Annotated[
        str | None, Meta(description="For numbers: the largest value, in `unit`; the smallest is 0. Null: no number.")
    ] = None
    computed: Annotated[
        Computed | None, Meta(description="How it is computed when it is not given. Null: it is not.")
    ] = None


@cache
def facts() -> tuple[FactDefinition, ...]:
    """Return every fact, in the order of the vocabulary."""
    return read("facts.yaml", tuple[FactDefinition, ...])


@cache
def vocabulary() -> dict[str, FactDefinition]:
    """Return every fact by its name."""
    return {fact.name: fact for fact in facts()}
