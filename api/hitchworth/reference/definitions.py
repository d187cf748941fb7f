"""The library of published definitions: one data file per jurisdiction, each definition with its citation."""

from datetime import date
from functools import cache
from importlib.resources import files
from typing import Annotated

from msgspec import Meta, Struct, field
from msgspec.structs import replace

from hitchworth.model.definition import Role
from hitchworth.model.provenance import Provenance
from hitchworth.reference.condition import Condition, Element, parse_condition
from hitchworth.reference.jurisdictions import jurisdiction
from hitchworth.reference.load import read


class Definition(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One published definition, in our own words."""

    id: Annotated[str, Meta(description="Unique name of the definition.")]
    jurisdiction: Annotated[str, Meta(description="Where it applies: US-WA, US, EU; INS: insurers' usual terms.")]
    class_: Annotated[str, Meta(description="Key of the class that it defines: travel_trailer.")] = field(name="class")
    role: Annotated[Role, Meta(description="What the definition is for.")]
    title: Annotated[str, Meta(description="What is defined.")]
    citation: Annotated[str, Meta(description="The statute, regulation or standard.")]
    version: Annotated[str, Meta(description="Which wording of it.")]
    provenance: Annotated[Provenance, Meta(description="Where the entry comes from.")]
    elements: Annotated[Element, Meta(description="The conditions that a trailer has to meet.")]
    elements_provenance: Annotated[
        Provenance | None, Meta(description="Where its conditions come from. Null: the same as provenance.")
    ] = None
    elements_note: Annotated[str, Meta(description="How far its conditions were verified; empty: nothing to add.")] = ""
    text_source: Annotated[
        str, Meta(description="Where its conditions were read, when not in the text cited; empty: nothing to add.")
    ] = ""
    contradicts: Annotated[
        tuple[str, ...],
        Meta(description="Classes that a trailer cannot rightly be registered as when it meets this one."),
    ] = ()
    note: Annotated[str, Meta(description="What else to know about it; empty: nothing.")] = ""
    valid_from: Annotated[
        date | None, Meta(description="First day in force. Null: in force as far back as is known here.")
    ] = None
    valid_to: Annotated[
        date | None, Meta(description="Last day in force. Null: still in force, as far as is known here.")
    ] = None
    verified: Annotated[
        bool,
        Meta(description="True: its conditions were compared with the published text. Computed from the provenance."),
    ] = False

    def in_force(self, as_of: date) -> bool:
        """Return whether it was in force on the date."""
        return (self.valid_from or as_of) <= as_of <= (self.valid_to or as_of)


@cache
def definitions() -> tuple[Definition, ...]:
    """Return every definition of every jurisdiction, former ones included."""
    folder = files("hitchworth.reference").joinpath("data", "definitions")
    names = sorted(entry.name for entry in folder.iterdir() if entry.name.endswith(".yaml"))
    return tuple(
        _with_verified(entry) for name in names for entry in read(f"definitions/{name}", tuple[Definition, ...])
    )


def _with_verified(definition: Definition) -> Definition:
    verified = definition.provenance == "published" and definition.elements_provenance in (None, "published")
    return replace(definition, verified=verified)


@cache
def condition_of(definition_id: str) -> Condition:
    """Return the parsed condition of the definition."""
    return parse_condition(next(entry.elements for entry in definitions() if entry.id == definition_id))


@cache
def _by_jurisdiction() -> dict[str, tuple[Definition, ...]]:
    codes = {entry.jurisdiction for entry in definitions()}
    return {code: tuple(entry for entry in definitions() if entry.jurisdiction == code) for code in codes}


def definitions_of_chain(code: str) -> tuple[Definition, ...]:
    """Return every definition of the jurisdiction and of the wider ones, nearest first, in force or not.

    Raises UnknownJurisdictionError.
    """
    return tuple(entry for link in jurisdiction(code).chain for entry in _by_jurisdiction().get(link, ()))


def definitions_for(code: str, as_of: date) -> tuple[Definition, ...]:
    """Return the definitions in force on the date: the nearest definition of a class replaces the wider ones.

    Raises UnknownJurisdictionError.
    """
    nearest: dict[str, Definition] = {}
    for definition in definitions_of_chain(code):
        if definition.in_force(as_of):
            nearest.setdefault(definition.class_, definition)
    return tuple(nearest.values())
