"""The library of published definitions: one data file per jurisdiction, each definition with its citation."""

from datetime import date
from functools import cache
from importlib.resources import files

from msgspec import Struct, field
from msgspec.structs import replace

from hitchworth.model.assessment import Provenance, Role
from hitchworth.reference.condition import Condition, Element, parse_condition
from hitchworth.reference.jurisdictions import jurisdiction, jurisdictions
from hitchworth.reference.load import read


class Definition(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A published definition, in our own words.

    `provenance` is that of the entry, `elements_provenance` that of its conditions where it differs; `text_source`
    names the text that was read.
    """

    id: str
    jurisdiction: str
    class_: str = field(name="class")
    role: Role
    title: str
    citation: str
    version: str
    provenance: Provenance
    elements: Element
    elements_provenance: Provenance | None = None
    elements_note: str = ""
    text_source: str = ""
    contradicts: tuple[str, ...] = ()
    """Registered classes that are wrong when this definition holds."""
    note: str = ""
    valid_from: date | None = None
    """Null: no first day is known."""
    valid_to: date | None = None
    """The last day; null: still in force."""
    verified: bool = False
    """Whether its conditions were read in a published text. Computed from the provenance."""

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


class JurisdictionRecord(Struct, frozen=True, kw_only=True):
    """A jurisdiction, and how many definitions of its own the library has."""

    code: str
    name: str
    chain: tuple[str, ...]
    """The jurisdiction, then the wider ones to which it falls back."""
    definitions: int
    """How many are its own, former ones included."""
    verified: int
    """How many of them were compared with a published text."""
    note: str = ""


def coverage() -> tuple[JurisdictionRecord, ...]:
    """Return every jurisdiction with the number of its definitions, and how many are verified."""
    return tuple(
        JurisdictionRecord(
            code=entry.code,
            name=entry.name,
            chain=entry.chain,
            definitions=len(_by_jurisdiction().get(entry.code, ())),
            verified=sum(definition.verified for definition in _by_jurisdiction().get(entry.code, ())),
            note=entry.note,
        )
        for entry in jurisdictions().values()
    )


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
