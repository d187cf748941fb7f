"""The words of registration documents: body codes of public standards, the fields that hold them, and like classes.

It also has the facts that follow from a registered trailer class.
"""

from functools import cache

from msgspec import Struct, field

from hitchworth.model.assessment import TrailerKind
from hitchworth.model.provenance import Provenance
from hitchworth.reference.load import read


class BodyCodeEntry(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A code for the body of a trailer; `class_` is the class key for it, if it has one."""

    code: str
    meaning: str
    jurisdictions: tuple[str, ...]
    source: str
    provenance: Provenance
    class_: str | None = field(default=None, name="class")


class DocumentFieldEntry(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A field of a registration document."""

    field: str
    jurisdictions: tuple[str, ...]
    meaning: str
    source: str
    provenance: Provenance


class StandardReading(Struct, frozen=True, forbid_unknown_fields=True):
    """The national rule or industry standard by which a class without a definition is read, as class keys."""

    jurisdiction: str
    classes: tuple[str, ...]
    contradicted_by: tuple[str, ...]


class ClassFamily(Struct, frozen=True, forbid_unknown_fields=True):
    """The class keys by which different authorities register one kind of use."""

    name: TrailerKind
    classes: tuple[str, ...]
    standards: tuple[StandardReading, ...] = ()


class ClassPreset(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A fact that follows from every registered trailer class."""

    fact: str
    value: bool
    source: str
    provenance: Provenance


class _ClassPresets(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    trailer_words: tuple[str, ...]
    trailer_classes: frozenset[str]
    motor_words: frozenset[str]
    presets: tuple[ClassPreset, ...]


@cache
def body_codes() -> tuple[BodyCodeEntry, ...]:
    """Return every body code."""
    return read("body_codes.yaml", tuple[BodyCodeEntry, ...])


@cache
def document_fields() -> tuple[DocumentFieldEntry, ...]:
    """Return the fields in which documents say what a trailer is."""
    return read("document_fields.yaml", tuple[DocumentFieldEntry, ...])


@cache
def class_families() -> tuple[ClassFamily, ...]:
    """Return every family of classes."""
    return read("class_families.yaml", tuple[ClassFamily, ...])


def family_of_class(class_key: str | None) -> ClassFamily | None:
    """Return the family of the class; None for a class of no family."""
    return next((family for family in class_families() if class_key in family.classes), None)


def presets_of(class_key: str | None) -> tuple[ClassPreset, ...]:
    """Return the facts that follow from the class: the same for every trailer class, none for any other class."""
    return _class_presets().presets if class_key is not None and _is_trailer_class(class_key) else ()


def _is_trailer_class(class_key: str) -> bool:
    listed, words = _class_presets(), class_key.split("_")
    if not listed.motor_words.isdisjoint(words):
        return False
    return class_key in listed.trailer_classes or any(word.endswith(listed.trailer_words) for word in words)


@cache
def _class_presets() -> _ClassPresets:
    return read("class_presets.yaml", _ClassPresets)
