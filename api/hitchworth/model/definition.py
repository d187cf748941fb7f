"""A published definition of a class, judged element by element."""

from typing import Annotated, Literal, TypeAlias

from msgspec import Meta, Struct, field

from hitchworth.model.provenance import Provenance

Role: TypeAlias = Literal["class", "category", "overlay"]
"""What a definition is for.

class: a class of vehicle registration; it can decide the verdict
category: a category by weight; it never contradicts a class
overlay: another law or a standard, such as health, labor or planning law; it never decides the verdict
"""

Operator: TypeAlias = Literal["==", "!=", "<=", "<", ">=", ">", "in"]
"""How a fact is compared with a threshold.

==: equal
!=: not equal
<=: at most
<: less than
>=: at least
>: more than
in: one of several
"""

ElementRule: TypeAlias = Literal["test", "all", "any", "not", "at_least"]
"""How the outcome follows from the parts.

test: a single comparison
all: every part must hold
any: one part must hold
not: the part must not hold
at_least: `needed` of the parts must hold
"""


class FactTest(Struct, frozen=True, kw_only=True):
    """One comparison of a fact with a threshold."""

    fact: Annotated[str, Meta(description="Name of the fact in GET /v1/facts.")]
    operator: Annotated[Operator, Meta(description="How the fact is compared with the threshold.")]
    threshold: Annotated[
        bool | int | str | tuple[str, ...],
        Meta(description="What the fact is compared with; a number is decimal text in `unit`, several words a list."),
    ]
    unit: Annotated[str | None, Meta(description="Unit of threshold and compared. Null: the fact has no unit.")]
    value: Annotated[
        bool | int | str | None,
        Meta(
            description="The fact as given, with its unit; a computed or preset fact as computed or preset. Null: not "
            "known."
        ),
    ]
    holds: Annotated[bool | None, Meta(description="Whether the comparison holds. Null: the fact is not known.")]
    compared: Annotated[
        str | None, Meta(description="The number that was compared, exactly, in `unit`. Null: no number, or not known.")
    ] = None
    planned: Annotated[bool, Meta(description="The fact is only planned.")] = False
    preset: Annotated[bool, Meta(description="The fact was not given: it follows from the registered class.")] = False
    decides: Annotated[bool, Meta(description="The element came out as it did because of this comparison.")] = True
    negated: Annotated[
        bool, Meta(description="The comparison is under a `not`: the element asks that it does not hold.")
    ] = False


class ElementResult(Struct, frozen=True, kw_only=True):
    """One element (condition) of a definition, judged."""

    id: Annotated[str, Meta(description="Name of the element within its definition.")]
    text: Annotated[str, Meta(description="The element in our own words, in the language of the request's locale.")]
    holds: Annotated[bool | None, Meta(description="Whether the trailer meets it. Null: a fact is missing.")]
    because: Annotated[str, Meta(description="The facts that decided, each with its value and what is required.")]
    citation: Annotated[str, Meta(description="The statute, regulation or standard.")]
    tests: Annotated[tuple[FactTest, ...], Meta(description="Every comparison in the element.")]
    rule: Annotated[ElementRule, Meta(description="How the outcome follows from the parts.")] = "test"
    needed: Annotated[int, Meta(description="For rule at_least: how many parts must hold; 0 for other rules.")] = 0
    part_count: Annotated[int, Meta(description="Number of its parts; 1 for a single comparison.")] = 1
    parts_met: Annotated[int, Meta(description="Number of its parts that the trailer meets.")] = 0
    parts: Annotated[
        tuple["ElementResult", ...], Meta(description="The parts within it that have a text of their own.")
    ] = ()


class DefinitionResult(Struct, frozen=True, kw_only=True):
    """One published definition of the jurisdiction, judged."""

    id: Annotated[str, Meta(description="Id of the definition in GET /v1/definitions.")]
    class_: Annotated[str, Meta(description="Key of the class that it defines: travel_trailer.")] = field(name="class")
    role: Annotated[Role, Meta(description="What the definition is for.")]
    title: Annotated[str, Meta(description="What is defined, in the language of the request's locale.")]
    jurisdiction: Annotated[str, Meta(description="Where it applies: US-WA, US, EU.")]
    citation: Annotated[str, Meta(description="The statute, regulation or standard.")]
    version: Annotated[str, Meta(description="Which wording of it.")]
    verified: Annotated[bool, Meta(description="True: its conditions were compared with the published text.")]
    contradicts_registered: Annotated[
        bool, Meta(description="When the definition holds, the registered class cannot be right.")
    ]
    holds: Annotated[bool | None, Meta(description="Whether the trailer meets it. Null: a fact is missing.")]
    elements: Annotated[tuple[ElementResult, ...], Meta(description="The definition, element by element.")]
    rule: Annotated[ElementRule, Meta(description="How the outcome follows from the elements.")] = "all"
    provenance: Annotated[Provenance, Meta(description="Where the entry comes from.")] = "published"
    elements_provenance: Annotated[
        Provenance | None, Meta(description="Where its conditions come from. Null: the same as provenance.")
    ] = None
    elements_note: Annotated[str, Meta(description="How far its conditions were verified; empty: nothing to add.")] = ""
    note: Annotated[str, Meta(description="What else to know about it; empty: nothing.")] = ""
