"""The words of a place for a kind of trailer: those that its law defines, and what is known where it defines none."""

from datetime import date
from functools import cache
from importlib.resources import files

from msgspec import Struct, field

from hitchworth.model.assessment import ClassWord, TrailerKind, WordStatus
from hitchworth.model.provenance import Provenance
from hitchworth.reference.definitions import definitions_of_chain
from hitchworth.reference.jurisdictions import jurisdiction
from hitchworth.reference.load import read
from hitchworth.reference.registration_documents import family_of_class


class ClassWordEntry(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What is known of the word of a place that defines no class of this kind.

    `source` is where the word was read, or where it was sought.
    """

    jurisdiction: str
    kind: TrailerKind
    status: WordStatus
    word: str = ""
    class_: str | None = field(default=None, name="class")
    source: str = ""
    provenance: Provenance = "unverified"
    note: str = ""


@cache
def class_words() -> tuple[ClassWordEntry, ...]:
    """Return every entry of every place."""
    folder = files("hitchworth.reference").joinpath("data", "class_words")
    names = sorted(entry.name for entry in folder.iterdir() if entry.name.endswith(".yaml"))
    return tuple(entry for name in names for entry in read(f"class_words/{name}", tuple[ClassWordEntry, ...]))


def nearest_words(code: str, kind: TrailerKind, as_of: date) -> tuple[ClassWord, ...]:
    """Return the words for the kind of trailer that the place defines, else what is known of its word.

    In the second case the words of the nearest wider jurisdiction that defines the kind follow. A place of which
    nothing is recorded was not looked up. Raises UnknownJurisdictionError.
    """
    defined = [_defined(link, code, kind, as_of) for link in jurisdiction(code).chain]
    if defined[0]:
        return defined[0]
    known = _recorded(code, kind) or (ClassWord(status="not_looked_up", kind=kind, jurisdiction=code),)
    return (*known, *next(filter(None, defined), ()))


def _defined(place: str, code: str, kind: TrailerKind, as_of: date) -> tuple[ClassWord, ...]:
    return tuple(
        ClassWord(
            status="defined",
            kind=kind,
            jurisdiction=place,
            word=one.title,
            class_=one.class_,
            definition=one.id,
            source=one.citation,
            verified=one.verified,
        )
        for one in definitions_of_chain(code)
        if one.jurisdiction == place and one.role == "class" and one.in_force(as_of)
        if (family := family_of_class(one.class_)) and family.name == kind
    )


def _recorded(place: str, kind: TrailerKind) -> tuple[ClassWord, ...]:
    return tuple(
        ClassWord(
            status=entry.status,
            kind=kind,
            jurisdiction=place,
            word=entry.word,
            class_=entry.class_,
            source=entry.source,
            verified=entry.provenance == "published",
            note=entry.note,
        )
        for entry in class_words()
        if (entry.jurisdiction, entry.kind) == (place, kind)
    )
