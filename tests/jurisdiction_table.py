"""The README's table of jurisdictions, from the library. Print it: .venv/bin/python tests/jurisdiction_table.py"""

from collections.abc import Iterator

from hitchworth.reference.definitions import coverage, definitions

HEAD = (
    "| Jurisdiction | Verified | Not verified |",
    "|---|---|---|",
)


def jurisdiction_table() -> str:
    """Every jurisdiction with its own definitions, by title; then the places that have only those of a wider one."""
    return "\n".join([*HEAD, *_rows(), "", *_without()])


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
    yield "Places without definitions of their own, where those of the wider one are used:"
    yield ""
    for wider in dict.fromkeys(place.chain[1] for place in minimal):
        codes = ", ".join(f"`{place.code}`" for place in minimal if place.chain[1] == wider)
        yield f"- {names[wider]}: {codes}."


if __name__ == "__main__":
    print(jurisdiction_table())
