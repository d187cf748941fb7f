"""An assessment: the class on the document against the use that the trailer is built for, element by element."""

from datetime import date
from typing import Annotated, Literal, TypeAlias

from msgspec import Meta, Struct, field

Verdict: TypeAlias = Literal["match", "mismatch", "undetermined"]
Role: TypeAlias = Literal["class", "category", "overlay"]
Mark: TypeAlias = Literal["found", "memory"]


class FactTest(Struct, frozen=True, kw_only=True):
    """One comparison of a fact with a threshold, as it came out."""

    fact: str
    operator: Literal["==", "!=", "<=", "<", ">=", ">", "in"]
    threshold: bool | int | str | tuple[str, ...]
    unit: str | None
    value: bool | int | str | None
    """The fact as it was given, or null when it is not known."""
    holds: bool | None


class ElementResult(Struct, frozen=True, kw_only=True):
    """One condition of a definition, judged."""

    id: str
    text: str
    holds: bool | None
    because: str
    citation: str
    tests: tuple[FactTest, ...]


class RegisteredResult(Struct, frozen=True, kw_only=True):
    """The class that the document names, held against its definition."""

    class_: str | None = field(name="class")
    definition: str | None
    holds: bool | None
    elements: tuple[ElementResult, ...]


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


class MissingFact(Struct, frozen=True, kw_only=True):
    """A fact whose answer could change the verdict, and how to find it out."""

    fact: str
    question: str
    measure: str


class Remedy(Struct, frozen=True, kw_only=True):
    """A usual way out of a mismatch."""

    id: str
    route: str
    decided_by: str
    needs: tuple[str, ...]
    source: str


class Assessment(Struct, frozen=True, kw_only=True):
    """How the registered class compares with the built use."""

    as_of: date
    jurisdiction: str | None
    verdict: Verdict
    registered: RegisteredResult
    built: tuple[DefinitionResult, ...]
    missing_facts: tuple[MissingFact, ...]
    remedies: tuple[Remedy, ...]
    statement: str
