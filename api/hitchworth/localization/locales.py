"""Which language answers a request, and its catalog of messages.

A locale is added by adding a folder here: locales/<language-REGION>/messages.po. The catalogs are read as they lie:
they are compiled in memory when first used, so nothing has to be built. A catalog of another language has every text;
one of English has those that differ from the source.
"""

from functools import cache
from importlib.resources import files
from io import BytesIO
from typing import NamedTuple

from babel import localedata
from babel.core import get_global
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po
from babel.support import NullTranslations, Translations

SOURCE = "en-US"
"""The locale that the texts are written in; it needs no catalog."""

_FOLDER = files("hitchworth.localization").joinpath("locales")


class ResolvedLocale(NamedTuple):
    """What answers a requested locale: the catalog of the texts, and the region whose formats are used."""

    texts: str
    formats: str


@cache
def available() -> tuple[str, ...]:
    """The locales that have texts, the source first."""
    return (SOURCE, *sorted(folder.name for folder in _FOLDER.iterdir() if folder.joinpath("messages.po").is_file()))


def resolve_locale(tag: str) -> ResolvedLocale:
    """The nearest that there is: the locale itself, else its language with the formats of its region, else the source.

    Any text may be asked for; what is no locale is answered in the source.
    """
    if tag in available():
        return ResolvedLocale(tag, tag)
    same = [known for known in available() if _language(known) == _language(tag)]
    if not same:
        return ResolvedLocale(SOURCE, SOURCE)
    texts = next((known for known in same if _family(known) == _family(tag)), same[0])
    return ResolvedLocale(texts, tag if "-" in tag and localedata.exists(tag.replace("-", "_")) else texts)


def _language(tag: str) -> str:
    return tag.partition("-")[0]


def _family(tag: str) -> str | None:
    """What CLDR has a locale inherit from, where that is not its language: en-AU from world English."""
    return get_global("parent_exceptions").get(tag.replace("-", "_"))


@cache
def catalog(texts: str) -> NullTranslations:
    """The messages of one of the available locales."""
    if texts == SOURCE:
        return NullTranslations()
    compiled = BytesIO()
    with _FOLDER.joinpath(texts, "messages.po").open("rb") as source:
        write_mo(compiled, read_po(source, locale=texts.replace("-", "_")))
    compiled.seek(0)
    return Translations(compiled)
