"""Jurisdictions by their names: those of the list, and those that the locale library has for countries."""

import unicodedata
from functools import cache

from babel import Locale
from babel.core import get_global
from babel.languages import get_official_languages

from hitchworth.reference.jurisdictions import jurisdictions

_LANGUAGES = ("en", "de", "es", "fr")
"""The languages of the texts: in these every place is found, in others those where the language is official."""


def places_named(name: str) -> tuple[str, ...]:
    """Return the codes of the jurisdictions with this code or name: UK, england, US-WA, Québec, Quebec."""
    return _codes_by_name().get(_plain(name), ())


def _plain(name: str) -> str:
    """Return a name without capitals, accents and double spaces."""
    decomposed = unicodedata.normalize("NFKD", " ".join(name.split()).casefold())
    return "".join(character for character in decomposed if not unicodedata.combining(character))


@cache
def _codes_by_name() -> dict[str, tuple[str, ...]]:
    codes: dict[str, dict[str, None]] = {}
    for code, entry in jurisdictions().items():
        for name in (code, entry.name, *entry.aliases, *_territory_names(code)):
            codes.setdefault(_plain(name), {})[code] = None
    for alias, meant in get_global("territory_aliases").items():
        # the codes of other lists: UK, USA, DEU
        if len(meant) == 1 and meant[0] in jurisdictions():
            codes.setdefault(_plain(alias), {meant[0]: None})
    return {name: tuple(found) for name, found in codes.items()}


def _territory_names(code: str) -> set[str]:
    """Return the names of a country in the languages of the texts and in its own; of its parts the library has none."""
    languages = dict.fromkeys((*_LANGUAGES, *get_official_languages(code, de_facto=True)))
    found = (Locale.parse(language).territories.get(code) for language in languages)
    return {name for name in found if name}
