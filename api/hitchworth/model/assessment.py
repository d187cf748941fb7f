"""An assessment: the class on the document against the use that the trailer is built for, element by element."""

from datetime import date
from typing import Annotated, Literal, TypeAlias

from msgspec import Meta, Struct, field

from hitchworth.model.identification import IdentificationNumber

Verdict: TypeAlias = Literal["match", "mismatch", "undetermined"]
Role: TypeAlias = Literal["class", "category", "overlay"]
Provenance: TypeAlias = Literal["published", "unverified", "common_practice"]
Operator: TypeAlias = Literal["==", "!=", "<=", "<", ">=", ">", "in"]
ElementRule: TypeAlias = Literal["test", "all", "any", "not", "at_least"]
Outlook: TypeAlias = Literal["as_planned", "insurer", "across_border"]
WeightTopic: TypeAlias = Literal[
    "brakes", "breakaway", "payload", "tongue_load", "size", "speed", "registration", "category"
]


class FactTest(Struct, frozen=True, kw_only=True):
    """One comparison of a fact with a threshold, as it came out."""

    fact: str
    operator: Operator
    threshold: bool | int | str | tuple[str, ...]
    """A number is written as a decimal text, in `unit`."""
    unit: str | None
    value: bool | int | str | None
    """The fact as it was given, or null when it is not known."""
    holds: bool | None
    compared: Annotated[str | None, Meta(description="A number in `unit`, exactly: what was compared.")] = None
    planned: Annotated[bool, Meta(description="The fact is not so yet, only planned.")] = False
    decides: Annotated[bool, Meta(description="The element came out as it did because of this comparison.")] = True
    negated: Annotated[bool, Meta(description="Under a `not`: the element asks that the comparison does not hold.")] = (
        False
    )


class ElementResult(Struct, frozen=True, kw_only=True):
    """One condition of a definition, judged."""

    id: str
    text: str
    holds: bool | None
    because: str
    citation: str
    tests: tuple[FactTest, ...]
    rule: Annotated[ElementRule, Meta(description="How its tests and parts make the result.")] = "test"
    needed: Annotated[int, Meta(description="Rule at_least: how many must hold.")] = 0
    conditions: Annotated[int, Meta(description="How many conditions it is made of; 1 when it is a single one.")] = 1
    held: Annotated[int, Meta(description="How many of them hold.")] = 0
    parts: Annotated[
        tuple["ElementResult", ...], Meta(description="The conditions within it that have a text of their own.")
    ] = ()


class RegisteredResult(Struct, frozen=True, kw_only=True):
    """The class that the document names, held against its definition."""

    class_: str | None = field(name="class")
    definition: str | None
    holds: bool | None
    elements: tuple[ElementResult, ...]
    body_codes: Annotated[
        tuple["BodyCode", ...], Meta(description="When the document names a body code: what it says.")
    ] = ()
    document_fields: Annotated[
        tuple["DocumentField", ...], Meta(description="Where documents of this jurisdiction say it.")
    ] = ()


class BodyCode(Struct, frozen=True, kw_only=True):
    """A code for the body of a trailer in a public standard."""

    code: str
    meaning: str
    source: str
    verified: bool


class DocumentField(Struct, frozen=True, kw_only=True):
    """A field of the registration document that says what the trailer is."""

    field: str
    meaning: str
    source: str
    verified: bool


class DefinitionResult(Struct, frozen=True, kw_only=True):
    """One published definition of the jurisdiction, judged."""

    id: str
    class_: str = field(name="class")
    role: Role
    title: str
    jurisdiction: str
    citation: str
    version: str
    verified: Annotated[bool, Meta(description="False: not verified against the published text.")]
    contradicts_registered: bool
    holds: bool | None
    elements: tuple[ElementResult, ...]
    rule: Annotated[ElementRule, Meta(description="How the elements make the result: all of them, or any.")] = "all"
    provenance: Annotated[
        Provenance, Meta(description="Whether the entry was read in a published text or comes from elsewhere.")
    ] = "published"
    elements_provenance: Annotated[
        Provenance | None, Meta(description="The same for its conditions, where it differs from provenance.")
    ] = None
    elements_note: Annotated[str, Meta(description="How far the conditions were read, in words.")] = ""
    note: str = ""


class MissingFact(Struct, frozen=True, kw_only=True):
    """A fact whose answer could change the verdict, and how to find it out."""

    fact: str
    question: str
    measure: str
    settles: Annotated[
        bool, Meta(description="Of the smallest set of facts whose answer can settle the verdict. Asked first.")
    ] = False


class NearMiss(Struct, frozen=True, kw_only=True):
    """A definition that the trailer meets in all but one condition."""

    definition: str
    class_: str = field(name="class")
    title: str
    element: ElementResult
    text: Annotated[str, Meta(description="Which condition, with the fact, its value and the threshold.")] = ""


class Remedy(Struct, frozen=True, kw_only=True):
    """A usual way out of a mismatch."""

    id: str
    route: str
    decided_by: str
    needs: tuple[str, ...]
    source: str
    verified: Annotated[bool, Meta(description="False: recalled, or common practice.")] = False
    caution: str = ""


class StandardNamed(Struct, frozen=True, kw_only=True):
    """A standard that a label on the trailer names, and what it covers: its scope only, never a class."""

    name: str
    covers: str
    source: str
    verified: bool


class WeightWarning(Struct, frozen=True, kw_only=True):
    """A published or usual limit on weight, brakes or size that the trailer reaches, or may reach."""

    id: str
    topic: WeightTopic
    jurisdiction: str
    text: str
    applies: Annotated[bool | None, Meta(description="Null: a fact is missing to say.")]
    tests: tuple[FactTest, ...]
    source: str
    verified: bool
    caution: str
    because: Annotated[str, Meta(description="Which fact, which value, which threshold.")] = ""


class View(Struct, frozen=True, kw_only=True):
    """The same trailer seen otherwise: as planned, in an insurer's usual terms, or across a border."""

    outlook: Outlook
    jurisdiction: str
    verdict: Verdict
    registered: RegisteredResult
    built: tuple[DefinitionResult, ...]
    missing_facts: tuple[MissingFact, ...]
    near_misses: tuple[NearMiss, ...]


class Assessment(Struct, frozen=True, kw_only=True):
    """How the registered class compares with the built use, as the trailer stands."""

    as_of: date
    jurisdiction: str | None
    verdict: Verdict
    registered: RegisteredResult
    built: tuple[DefinitionResult, ...]
    missing_facts: tuple[MissingFact, ...]
    remedies: tuple[Remedy, ...]
    statement: Annotated[str, Meta(description="The verdict and what it rests on, in a short paragraph.")]
    near_misses: tuple[NearMiss, ...] = ()
    weights: Annotated[tuple[WeightWarning, ...], Meta(description="Cautions beside the classification.")] = ()
    identification: IdentificationNumber | None = None
    standards: tuple[StandardNamed, ...] = ()
    views: tuple[View, ...] = ()
