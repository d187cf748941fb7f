"""Codes for the body of a trailer in public standards, and the fields of a document where they stand."""

from functools import cache

from msgspec import Struct, field

from hitchworth.model.assessment import Provenance
from hitchworth.reference.load import read


class BodyCodeEntry(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A code; `class_` is the class key that it stands for, where it stands for one."""

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


@cache
def body_codes() -> tuple[BodyCodeEntry, ...]:
    """Every body code."""
    return read("body_codes.yaml", tuple[BodyCodeEntry, ...])


@cache
def document_fields() -> tuple[DocumentFieldEntry, ...]:
    """Where documents say what the trailer is."""
    return read("document_fields.yaml", tuple[DocumentFieldEntry, ...])
