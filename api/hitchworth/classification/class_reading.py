"""What the registered class is compared with: its own definition, or where there is none a working reading.

A working reading takes the definitions of the nearest classes of the same kind there and of the national standard.
"""

from collections.abc import Sequence

from msgspec import Struct

from hitchworth.classification.kleene import Truth, all_of, any_of, negation
from hitchworth.classification.verdict import JudgedDefinition, registered_definition
from hitchworth.model.assessment import ReadingBasis
from hitchworth.reference.registration_documents import ClassFamily, family_of_class


class ClassReading(Struct, frozen=True, kw_only=True):
    """The definitions for the registered class, any of which has to hold, and those against it, none of which may.

    `against` contradict the class by their own text, `opposed` only in a working reading.
    """

    own: tuple[JudgedDefinition, ...]
    against: tuple[JudgedDefinition, ...]
    opposed: tuple[JudgedDefinition, ...] = ()
    is_working: bool = False

    @property
    def holds(self) -> Truth:
        """Whether a definition for the class holds; unknown where there is none."""
        return any_of(one.holds for one in self.own) if self.own else None

    @property
    def fits(self) -> Truth:
        """Whether the registered class is right."""
        return all_of((self.holds, negation(any_of(one.holds for one in (*self.against, *self.opposed)))))

    @property
    def basis(self) -> ReadingBasis:
        """By what it is read: by classes of the place, unless only the standard holds."""
        deciding = [one for one in self.own if one.holds] or self.own
        return "nearest_class" if any(one.definition.role == "class" for one in deciding) else "standard"


def class_reading(judged: Sequence[JudgedDefinition], registered: str | None, chain: Sequence[str]) -> ClassReading:
    """Return the reading by the law of the place; a working reading where it has no definition and does not decide."""
    own = registered_definition(judged, registered)
    against = tuple(one for one in judged if one.contradicts)
    by_law = ClassReading(own=(own,) if own else (), against=against)
    family = family_of_class(registered)
    if own or family is None or by_law.fits is False:
        return by_law
    return _working_reading(judged, against, family, chain) or by_law


def _working_reading(
    judged: Sequence[JudgedDefinition], against: tuple[JudgedDefinition, ...], family: ClassFamily, chain: Sequence[str]
) -> ClassReading | None:
    standards = [entry for entry in family.standards if entry.jurisdiction in chain]
    nearest = tuple(one for one in judged if one.definition.role == "class" and one.definition.class_ in family.classes)
    by_standard = _of_classes(judged, [name for entry in standards for name in entry.classes])
    against_standard = _of_classes(judged, [name for entry in standards for name in entry.contradicted_by])
    own = _once((*nearest, *by_standard))
    opposed = tuple(
        one for one in _once((*_opposing(judged, nearest, family), *against_standard)) if one not in against
    )
    return ClassReading(own=own, against=against, opposed=opposed, is_working=True) if own else None


def _of_classes(judged: Sequence[JudgedDefinition], names: Sequence[str]) -> tuple[JudgedDefinition, ...]:
    return tuple(one for one in judged if one.definition.class_ in names)


def _opposing(
    judged: Sequence[JudgedDefinition], nearest: Sequence[JudgedDefinition], family: ClassFamily
) -> tuple[JudgedDefinition, ...]:
    """Return what contradicts one of the nearest classes. Classes of one family do not count against each other."""
    named = {one.definition.class_ for one in nearest}
    return tuple(
        one
        for one in judged
        if named.intersection(one.definition.contradicts) and one.definition.class_ not in family.classes
    )


def _once(judged: Sequence[JudgedDefinition]) -> tuple[JudgedDefinition, ...]:
    return tuple({one.definition.id: one for one in judged}.values())
