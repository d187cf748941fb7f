"""The words of registration documents: body codes of public standards, the fields that hold them, and like classes."""

from functools import cache

from msgspec import Struct, field

from hitchworth.model.assessment import Provenance
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


class ClassFamily(Struct, frozen=True, forbid_unknown_fields=True):
    """The class keys by which different authorities register one kind of use."""

    name: str
    classes: tuple[str, ...]


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
