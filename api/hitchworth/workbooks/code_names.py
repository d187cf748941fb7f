"""The codes of places and currencies by the names that people write in their cells, in every language of the texts."""

from collections.abc import Iterator
from functools import cache

from babel import Locale

from hitchworth.localization.locales import available
from hitchworth.reference.currencies import currencies
from hitchworth.reference.jurisdictions import jurisdictions
from hitchworth.reference.words import words_of

_FIELDS = {"jurisdiction": "place", "travels_to": "place", "currency": "currency"}
_SHORT = {"UK": "GB", "U.K.": "GB", "Britain": "GB", "USA": "US", "U.S.A.": "US", "U.S.": "US", "United States": "US"}
"""Names of countries that the Unicode data have in a longer form only."""


def code_by_name(text: str, field: str) -> str:
    """Return the code of a place or currency that a cell names; the text itself in another field, or without a code.

    field: of a record, such as jurisdiction. A name of several currencies, such as dollar, has no code.
    """
    kind = _FIELDS.get(field.rpartition(".")[2])
    return text if kind is None else _codes(kind).get(words_of(text), text)


@cache
def _codes(kind: str) -> dict[tuple[str, ...], str]:
    found: dict[tuple[str, ...], set[str]] = {}
    for name, code in _places() if kind == "place" else _currencies():
        found.setdefault(words_of(name), set()).add(code)
    return {words: next(iter(codes)) for words, codes in found.items() if len(codes) == 1}


def _places() -> Iterator[tuple[str, str]]:
    yield from _SHORT.items()
    for code, entry in jurisdictions().items():
        yield code, code
        yield entry.name, code
        for locale in available():
            if name := Locale.parse(locale, sep="-").territories.get(code):
                yield name, code


def _currencies() -> Iterator[tuple[str, str]]:
    for code in currencies().exponents:
        yield code, code
        for locale in available():
            if name := Locale.parse(locale, sep="-").currencies.get(code):
                yield name, code
