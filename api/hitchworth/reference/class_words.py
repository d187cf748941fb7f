"""The words of a place for a kind of trailer: those that its law defines, and what is known where it defines none."""

from functools import cache
from importlib.resources import files

from msgspec import Struct, field

from hitchworth.model.assessment import ClassWord, Provenance, TrailerKind, WordStatus
from hitchworth.reference.definitions import definitions
from hitchworth.reference.jurisdictions import jurisdiction
from hitchworth.reference.load import read
from hitchworth.reference.registration_documents import class_families


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


def kind_of_class(class_key: str | None) -> TrailerKind | None:
    """Return the kind of use that the class is for; None for a class of no family."""
    return next((family.name for family in class_families() if class_key in family.classes), None)


@cache
def words_of_place(code: str, kind: TrailerKind) -> tuple[ClassWord, ...]:
    """Return the words of the place itself, former ones left out; else what is known instead.

    A place of which nothing is recorded was not looked up. Raises UnknownJurisdictionError.
    """
    place = jurisdiction(code).code
    defined = tuple(
        ClassWord(
            status="defined",
            kind=kind,
            word=one.title,
            class_=one.class_,
            definition=one.id,
            source=one.citation,
            verified=one.verified,
        )
        for one in definitions()
        if one.jurisdiction == place and one.role == "class" and kind_of_class(one.class_) == kind and not one.valid_to
    )
    return defined or _recorded(place, kind) or (ClassWord(status="not_looked_up", kind=kind),)


def _recorded(place: str, kind: TrailerKind) -> tuple[ClassWord, ...]:
    return tuple(
        ClassWord(
            status=entry.status,
            kind=kind,
            word=entry.word,
            class_=entry.class_,
            source=entry.source,
            verified=entry.provenance == "published",
            note=entry.note,
        )
        for entry in class_words()
        if (entry.jurisdiction, entry.kind) == (place, kind)
    )
