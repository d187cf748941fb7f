"""The class on the registration document: a class key, words, or a body code of a public standard."""

import re
from collections.abc import Iterable, Iterator, Sequence

from hitchworth.classification.build_facts import BuildFacts
from hitchworth.classification.verdict import judge_all
from hitchworth.model.assessment import BodyCode, DocumentField
from hitchworth.reference.definitions import Definition
from hitchworth.reference.registration_documents import BodyCodeEntry, body_codes, class_families, document_fields


def class_key(written_class: str | None, chain: Sequence[str]) -> str | None:
    """Return the key of the class that the document names in words or as a body code.

    "Utility Trailer" gives utility_trailer; the body code SE of the EU gives caravan.
    """
    if written_class is None:
        return None
    named = (entry.class_ for entry in _entries(written_class, chain) if entry.class_)
    return next(named, "_".join(re.split(r"[\s_-]+", written_class.strip().casefold())))


def body_codes_in(written_class: str | None, chain: Sequence[str]) -> tuple[BodyCode, ...]:
    """Return the body codes that the document names, with their meanings."""
    return tuple(
        BodyCode(code=entry.code, meaning=entry.meaning, source=entry.source, verified=entry.provenance == "published")
        for entry in _entries(written_class or "", chain)
    )


def class_fields_of_document(chain: Sequence[str]) -> tuple[DocumentField, ...]:
    """Return the fields in which documents of these jurisdictions say what a trailer is."""
    return tuple(
        DocumentField(
            field=entry.field, meaning=entry.meaning, source=entry.source, verified=entry.provenance == "published"
        )
        for entry in document_fields()
        if set(entry.jurisdictions) & set(chain)
    )


def _entries(written: str, chain: Sequence[str]) -> Iterator[BodyCodeEntry]:
    """Yield the entries for a code and its two-digit supplement; nothing if either is not in the list."""
    match = re.fullmatch(r"([A-Z]{2,8}?) ?(\d\d)?", written.strip().upper())
    valid = {entry.code: entry for entry in body_codes() if set(entry.jurisdictions) & set(chain)}
    codes = [code for code in match.groups() if code] if match else []
    if all(code in valid for code in codes):
        yield from (valid[code] for code in codes)


def equivalent_class(registered: str | None, definitions: Iterable[Definition], facts: BuildFacts) -> str | None:
    """Return the class under which another authority would register a trailer of this class.

    The same class if the authority defines it; else the class of the same family whose definition fits the trailer
    best; else the same class.
    """
    classes = [definition for definition in definitions if definition.role == "class"]
    family = next((family.classes for family in class_families() if registered in family.classes), ())
    similar = [definition for definition in classes if definition.class_ in family]
    if not similar or any(definition.class_ == registered for definition in classes):
        return registered
    judged = judge_all(similar, registered, facts)
    return max(judged, key=lambda one: {True: 2, None: 1, False: 0}[one.holds]).definition.class_
