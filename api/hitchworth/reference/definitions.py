"""The library of published definitions: a data file a jurisdiction, each definition with its citation and its mark."""

from datetime import date
from functools import cache
from importlib.resources import files

from msgspec import Struct, field

from hitchworth.model.assessment import Mark, Role
from hitchworth.reference.condition import Condition, Element, parse
from hitchworth.reference.jurisdictions import jurisdiction
from hitchworth.reference.load import read


class Definition(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One published definition, in our own words.

    `mark` says how the entry came here, `elements_mark` how its conditions did, `where_found` where they were read.
    """

    id: str
    jurisdiction: str
    class_: str = field(name="class")
    role: Role
    title: str
    citation: str
    version: str
    mark: Mark
    elements: Element
    elements_mark: str = ""
    where_found: str = ""
    contradicts: tuple[str, ...] = ()
    """Registered classes against which this definition speaks once it holds."""
    note: str = ""
    valid_from: date | None = None
    """Null: as far back as is known here."""
    valid_to: date | None = None
    """The last day; null: still in force as far as is known here."""

    @property
    def verified(self) -> bool:
        """Whether its conditions were held against a published text."""
        return self.mark == "found" and not self.elements_mark.startswith("memory")

    def in_force(self, as_of: date) -> bool:
        """Whether it held on the date."""
        return (self.valid_from or as_of) <= as_of <= (self.valid_to or as_of)


@cache
def definitions() -> tuple[Definition, ...]:
    """Every definition of every jurisdiction, and of every time."""
    folder = files("hitchworth.reference").joinpath("data", "definitions")
    names = sorted(entry.name for entry in folder.iterdir() if entry.name.endswith(".yaml"))
    return tuple(definition for name in names for definition in read(f"definitions/{name}", tuple[Definition, ...]))


@cache
def condition_of(definition_id: str) -> Condition:
    """The condition of the definition, parsed."""
    return parse(next(entry.elements for entry in definitions() if entry.id == definition_id))


@cache
def _by_jurisdiction() -> dict[str, tuple[Definition, ...]]:
    codes = {entry.jurisdiction for entry in definitions()}
    return {code: tuple(entry for entry in definitions() if entry.jurisdiction == code) for code in codes}


def definitions_for(code: str, as_of: date) -> tuple[Definition, ...]:
    """What applies in the jurisdiction on the date: the nearest definition of a class replaces the wider one's.

    Raises UnknownJurisdictionError.
    """
    nearest: dict[str, Definition] = {}
    for link in jurisdiction(code).chain:
        for definition in _by_jurisdiction().get(link, ()):
            if definition.in_force(as_of):
                nearest.setdefault(definition.class_, definition)
    return tuple(nearest.values())
