"""The available locales and their catalogs of messages.

To add a locale, add its catalog: locales/<language-REGION>/messages.po. A catalog is compiled in memory when it is
first used, so there is nothing to build. A catalog of another language has every text; a catalog of English has the
texts that differ from the source.
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
"""The locale that the texts are written in. It needs no catalog."""

_FOLDER = files("hitchworth.localization").joinpath("locales")


class ResolvedLocale(NamedTuple):
    """The locale of the texts and the locale of the formats, for a requested locale."""

    texts: str
    formats: str


@cache
def available() -> tuple[str, ...]:
    """Return the locales that have texts, the source first."""
    return (SOURCE, *sorted(folder.name for folder in _FOLDER.iterdir() if folder.joinpath("messages.po").is_file()))


def resolve_locale(tag: str) -> ResolvedLocale:
    """Return the nearest available locale: the tag itself, else its language with the formats of its region.

    Without texts in its language, or when the tag is no locale, the source.
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
    """Return the CLDR parent of a locale when that is not its language: world English for en-AU."""
    return get_global("parent_exceptions").get(tag.replace("-", "_"))


@cache
def catalog(texts: str) -> NullTranslations:
    """Return the messages of one of the available locales."""
    if texts == SOURCE:
        return NullTranslations()
    compiled = BytesIO()
    with _FOLDER.joinpath(texts, "messages.po").open("rb") as source:
        write_mo(compiled, read_po(source, locale=texts.replace("-", "_")))
    compiled.seek(0)
    return Translations(compiled)
