"""The document of the jurisdictions, from the reference data.

.venv/bin/python tests/jurisdiction_table.py > api/hitchworth/guide/jurisdictions.md
"""

from collections.abc import Iterator

from hitchworth.reference.coverage import coverage
from hitchworth.reference.definitions import definitions

INTRODUCTION = """\
# Jurisdictions

Which places and which definitions of trailer classes are included. `hitchworth definitions` and `GET /v1/definitions`
have the same with citations. Earlier wordings are included too; an assessment uses the one in force on its date.

*Verified* means that somebody read the conditions in a published page: the text itself, an authority's page or, where
`elements_provenance` says so, a secondary source. *Not verified* means that nobody did, or that it is common practice.
Before you rely on a definition, read the text or ask the registering authority.
"""
HEAD = ("| Jurisdiction | Verified | Not verified |", "|---|---|---|")
OTHERS = """\
## Jurisdictions without definitions of their own

For these, the definitions of the wider jurisdiction are used:
"""

WORDS = """\
## Words without a definition

Where a place defines no class for a trailer to stay in, or none for a trailer that carries things, this is what is
known of its own word. A place that is not listed, and has no such definition, was not looked up.

| Jurisdiction | Kind | Word | Where it was read or sought |
|---|---|---|---|\
"""
KINDS = {"living": "to stay in", "goods": "carries things"}


def jurisdiction_document() -> str:
    """Every jurisdiction with its own definitions by title; those that have only a wider one's; their words."""
    return "\n".join([INTRODUCTION, *HEAD, *_rows(), "", OTHERS, *_without(), "", WORDS, *_words(), ""])


def _words() -> Iterator[str]:
    for place in coverage():
        for word in place.words:
            if word.status in {"named", "not_found"}:
                shown = word.word or "not found"
                yield f"| {place.name} (`{place.code}`) | {KINDS[word.kind]} | {shown} | {word.source} |"


def _rows() -> Iterator[str]:
    for place in coverage():
        own = [definition for definition in definitions() if definition.jurisdiction == place.code]
        verified = dict.fromkeys(definition.title for definition in own if definition.verified)
        others = dict.fromkeys(definition.title for definition in own if not definition.verified)
        if own:
            yield f"| {place.name} (`{place.code}`) | {'; '.join(verified)} | {'; '.join(others)} |"


def _without() -> Iterator[str]:
    names = {place.code: place.name for place in coverage()}
    minimal = [place for place in coverage() if not place.definitions]
    for wider in dict.fromkeys(place.chain[1] for place in minimal):
        codes = ", ".join(f"`{place.code}`" for place in minimal if place.chain[1] == wider)
        yield f"- {names[wider]}: {codes}."


if __name__ == "__main__":
    print(jurisdiction_document(), end="")
