"""The library of published definitions: one data file per jurisdiction, each definition with its citation."""

from datetime import date
from functools import cache
from importlib.resources import files

from msgspec import Struct, field
from msgspec.structs import replace

from hitchworth.model.assessment import Provenance, Role
from hitchworth.reference.condition import Condition, Element, parse
from hitchworth.reference.jurisdictions import jurisdiction, jurisdictions
from hitchworth.reference.load import read


class Definition(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One published definition, in our own words.

    `provenance` says whether the entry was read in a published text, `elements_provenance` whether its conditions were,
    where that differs; `text_source` is where they were read.
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
    """Registered classes against which this definition speaks once it holds."""
    note: str = ""
    valid_from: date | None = None
    """Null: as far back as is known here."""
    valid_to: date | None = None
    """The last day; null: still in force as far as is known here."""
    verified: bool = False
    """Whether its conditions were read in a published text. Computed from the provenance, not stored."""

    def in_force(self, as_of: date) -> bool:
        """Whether it held on the date."""
        return (self.valid_from or as_of) <= as_of <= (self.valid_to or as_of)


@cache
def definitions() -> tuple[Definition, ...]:
    """Every definition of every jurisdiction, and of every time."""
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
    """The condition of the definition, parsed."""
    return parse(next(entry.elements for entry in definitions() if entry.id == definition_id))


@cache
def _by_jurisdiction() -> dict[str, tuple[Definition, ...]]:
    codes = {entry.jurisdiction for entry in definitions()}
    return {code: tuple(entry for entry in definitions() if entry.jurisdiction == code) for code in codes}


class JurisdictionRecord(Struct, frozen=True, kw_only=True):
    """A jurisdiction, and how far the library covers it by definitions of its own."""

    code: str
    name: str
    chain: tuple[str, ...]
    """The jurisdiction, then the wider ones to which it falls back."""
    definitions: int
    """How many are its own, earlier wordings included."""
    verified: int
    """How many of them were held against a published text."""
    note: str = ""


def coverage() -> tuple[JurisdictionRecord, ...]:
    """Every jurisdiction with the number of its definitions, and how many are verified."""
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
    """Every definition of the jurisdiction and of the wider ones, the nearest first, whatever its time.

    Raises UnknownJurisdictionError.
    """
    return tuple(entry for link in jurisdiction(code).chain for entry in _by_jurisdiction().get(link, ()))


def definitions_for(code: str, as_of: date) -> tuple[Definition, ...]:
    """What applies in the jurisdiction on the date: the nearest definition of a class replaces the wider one's.

    Raises UnknownJurisdictionError.
    """
    nearest: dict[str, Definition] = {}
    for definition in definitions_of_chain(code):
        if definition.in_force(as_of):
            nearest.setdefault(definition.class_, definition)
    return tuple(nearest.values())
