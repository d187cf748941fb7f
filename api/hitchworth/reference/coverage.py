"""Every jurisdiction with what the library has of it: its definitions, how many were read, and its words."""

from collections.abc import Iterator
from datetime import date
from functools import cache
from typing import Annotated, get_args

from msgspec import Meta, Struct

from hitchworth.model.assessment import ClassWord, TrailerKind
from hitchworth.reference.class_words import nearest_words
from hitchworth.reference.definitions import Definition, definitions
from hitchworth.reference.jurisdictions import jurisdictions


class JurisdictionRecord(Struct, frozen=True, kw_only=True):
    """A jurisdiction, and how many definitions of its own the library has."""

    code: Annotated[
        str,
        Meta(description="ISO 3166 code: US-WA, GB; also EU, INT (international standards) and INS (insurers' terms)."),
    ]
    name: Annotated[str, Meta(description="Its name in English.")]
    chain: Annotated[
        tuple[str, ...], Meta(description="The jurisdiction itself, then the wider ones whose definitions apply too.")
    ]
    definitions: Annotated[int, Meta(description="Number of definitions of its own, earlier wordings included.")]
    verified: Annotated[int, Meta(description="Number of them that were compared with the published text.")]
    note: Annotated[str, Meta(description="What to know about it; empty: nothing.")] = ""
    words: Annotated[
        tuple[ClassWord, ...],
        Meta(description="Its words for a trailer to stay in and for one that carries things, or what is known."),
    ] = ()


@cache
def coverage() -> tuple[JurisdictionRecord, ...]:
    """Return every jurisdiction with the number of its definitions, how many are verified, and its words."""
    return tuple(
        JurisdictionRecord(
            code=entry.code,
            name=entry.name,
            chain=entry.chain,
            definitions=sum(1 for _ in _own(entry.code)),
            verified=sum(definition.verified for definition in _own(entry.code)),
            note=entry.note,
            words=_words(entry.code),
        )
        for entry in jurisdictions().values()
    )


def _own(code: str) -> Iterator[Definition]:
    return (definition for definition in definitions() if definition.jurisdiction == code)


def _words(code: str) -> tuple[ClassWord, ...]:
    """Return the words of the jurisdiction itself, by the definitions that have no last day."""
    words = (word for kind in get_args(TrailerKind) for word in nearest_words(code, kind, date.max))
    return tuple(word for word in words if word.jurisdiction == code)
