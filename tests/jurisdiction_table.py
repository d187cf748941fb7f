"""The document of the jurisdictions, from the reference data.

.venv/bin/python tests/jurisdiction_table.py > api/docs/jurisdictions.md
"""

from collections.abc import Iterator

from hitchworth.reference.definitions import coverage, definitions

INTRODUCTION = """\
# Jurisdictions

This page lists the definitions of trailer classes that are included, by jurisdiction and title. Earlier wordings are
included too, and an assessment uses those in force on its date. `GET /v1/jurisdictions` and `GET /v1/definitions`
return the same with citations.

Verified means that the conditions were read in a published page: the text itself, an authority's page or, where
`elements_provenance` says so, a secondary source. Not verified means that they were not, or that they are common
practice. Before you rely on a definition, read the text or ask the registering authority.
"""
HEAD = ("| Jurisdiction | Verified | Not verified |", "|---|---|---|")
OTHERS = """\
## Jurisdictions without definitions of their own

For these, the definitions of the wider jurisdiction are used:
"""


def jurisdiction_document() -> str:
    """Every jurisdiction with its own definitions, by title; then those that have only a wider one's."""
    return "\n".join([INTRODUCTION, *HEAD, *_rows(), "", OTHERS, *_without(), ""])


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
