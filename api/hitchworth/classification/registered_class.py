"""The class that the document names: a class key, words, or a body code of a public standard."""

import re
from collections.abc import Iterable, Iterator, Sequence

from hitchworth.classification.readings import Readings
from hitchworth.classification.verdict import judge_all
from hitchworth.model.assessment import BodyCode, DocumentField
from hitchworth.reference.body_codes import BodyCodeEntry, body_codes, document_fields
from hitchworth.reference.class_families import class_families
from hitchworth.reference.definitions import Definition


def class_key(written: str | None, chain: Sequence[str]) -> str | None:
    """The class key that the document's words mean: Utility Trailer is utility_trailer, SE is caravan in the Union."""
    if written is None:
        return None
    named = (entry.class_ for entry in _entries(written, chain) if entry.class_)
    return next(named, "_".join(re.split(r"[\s_-]+", written.strip().casefold())))


def explained(written: str | None, chain: Sequence[str]) -> tuple[BodyCode, ...]:
    """What the body code says, when the document names one."""
    return tuple(
        BodyCode(code=entry.code, meaning=entry.meaning, source=entry.source, verified=entry.provenance == "published")
        for entry in _entries(written or "", chain)
    )


def fields_of_document(chain: Sequence[str]) -> tuple[DocumentField, ...]:
    """Where the documents of these jurisdictions say what a trailer is."""
    return tuple(
        DocumentField(
            field=entry.field, meaning=entry.meaning, source=entry.source, verified=entry.provenance == "published"
        )
        for entry in document_fields()
        if set(entry.jurisdictions) & set(chain)
    )


def _entries(written: str, chain: Sequence[str]) -> Iterator[BodyCodeEntry]:
    """The entries for a code, or for a code and its two-digit supplement; none when a part is not in the list."""
    match = re.fullmatch(r"([A-Z]{2,8}?) ?(\d\d)?", written.strip().upper())
    valid = {entry.code: entry for entry in body_codes() if set(entry.jurisdictions) & set(chain)}
    codes = [code for code in match.groups() if code] if match else []
    if all(code in valid for code in codes):
        yield from (valid[code] for code in codes)


def class_elsewhere(registered: str | None, definitions: Iterable[Definition], facts: Readings) -> str | None:
    """What an authority with other class words would call a trailer so registered.

    The same word where it has a definition of it; else the one of the family whose definition the trailer comes
    nearest to; else the word itself.
    """
    there = [definition for definition in definitions if definition.role == "class"]
    family = next((family.classes for family in class_families() if registered in family.classes), ())
    alike = [definition for definition in there if definition.class_ in family]
    if not alike or any(definition.class_ == registered for definition in there):
        return registered
    judged = judge_all(alike, registered, facts)
    return max(judged, key=lambda one: {True: 2, None: 1, False: 0}[one.holds]).definition.class_
