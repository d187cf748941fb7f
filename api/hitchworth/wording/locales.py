"""Which language answers a request, and its catalog of messages.

A locale is added by adding a folder here: locales/<language-REGION>/messages.po. The catalogs are read as they lie:
they are compiled in memory when first used, so nothing has to be built.
"""

from functools import cache
from importlib.resources import files
from io import BytesIO
from typing import NamedTuple

from babel import localedata
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po
from babel.support import NullTranslations, Translations

SOURCE = "en-US"
"""The locale that the texts are written in; it needs no catalog."""

_FOLDER = files("hitchworth.wording").joinpath("locales")


class Tongue(NamedTuple):
    """What answers a requested locale: the catalog of the texts, and the region whose formats are used."""

    texts: str
    formats: str


@cache
def available() -> tuple[str, ...]:
    """The locales that have texts, the source first."""
    return (SOURCE, *sorted(folder.name for folder in _FOLDER.iterdir() if folder.joinpath("messages.po").is_file()))


def negotiated(tag: str) -> Tongue:
    """The nearest that there is: the locale itself, else its language with the formats of its region, else the source.

    Any text may be asked for; what is no locale is answered in the source.
    """
    if tag in available():
        return Tongue(tag, tag)
    language = tag.partition("-")[0]
    texts = next((known for known in available() if known.partition("-")[0] == language), None)
    if texts is None:
        return Tongue(SOURCE, SOURCE)
    return Tongue(texts, tag if "-" in tag and localedata.exists(tag.replace("-", "_")) else texts)


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
