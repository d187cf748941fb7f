"""A voice speaks one locale: it translates a text and puts the particulars into it, each formatted as the text asks.

A text names a particular and how it is to be shown: `{policy}` as it is, `{title:text}` translated where it is a
published text, `{gap:money}`, `{rate:percent}`, `{as_of:day}`, and by a group of texts/labels.yaml
`{category:category}`, with a capital as `{category:Category}`.
"""

import string
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from functools import cache
from typing import TypeAlias

from babel.support import NullTranslations

from hitchworth.localization.formats import Formats, formats_of
from hitchworth.localization.locales import ResolvedLocale, catalog, resolve_locale
from hitchworth.localization.texts import texts
from hitchworth.reference.perils import peril_key

Particular: TypeAlias = str | Decimal | date | None


@dataclass(frozen=True)
class Localizer:
    """One locale: its catalog and its formats; and the currency of the amounts, where one is known."""

    locale: ResolvedLocale
    catalog: NullTranslations
    formats: Formats
    currency: str | None

    def translate(self, text: str) -> str:
        """The text in this locale; in English where the catalog does not have it."""
        return self.catalog.gettext(text) if text else ""

    def format(self, text: str, /, **parameters: Particular) -> str:
        """The text in this locale with its particulars. One that is missing shows as an ellipsis."""
        return _Filling(self).vformat(self.translate(text), (), parameters)

    def label(self, group: str, code: str) -> str:
        """What a code or a name is called; a name without a label is shown as it is written, in words."""
        known = texts().labels.get(group, {}).get(peril_key(code) if group == "peril" else code)
        return self.translate(known) if known is not None else code.replace("_", " ")

    def heading(self, group: str, code: str) -> str:
        """The label with a capital, for a heading or the start of a sentence."""
        return capital(self.label(group, code))

    def money(self, amount: Decimal) -> str:
        """The amount in the currency of this voice."""
        return self.formats.money(amount, self.currency)


@cache
def _catalog_and_formats(locale: ResolvedLocale) -> tuple[NullTranslations, Formats]:
    return catalog(locale.texts), formats_of(locale.formats)


def localizer_for(tag: str, currency: str | None = None) -> Localizer:
    """The voice of the nearest locale that there is."""
    locale = resolve_locale(tag)
    return Localizer(locale, *_catalog_and_formats(locale), currency)


def capital(text: str) -> str:
    """The text with its first letter large."""
    return text[:1].upper() + text[1:]


class _Filling(string.Formatter):
    """Fills a text. Templates come from the texts and catalogs only; a particular is never read as a template."""

    def __init__(self, localizer: Localizer) -> None:
        self._voice = localizer

    def get_value(self, key: int | str, args: Sequence[object], kwargs: Mapping[str, object]) -> object:
        """The particular, or None."""
        return kwargs.get(str(key))

    def format_field(self, value: object, format_spec: str) -> str:
        """One particular as the text asks for it."""
        if value is None:
            return "…"
        if not format_spec:
            return str(value)
        shown = _FORMATS.get(format_spec)
        if shown is not None:
            return shown(self._voice, str(value))
        if format_spec[0].isupper():
            return self._voice.heading(format_spec.lower(), str(value))
        return self._voice.label(format_spec, str(value))


_FORMATS: dict[str, Callable[[Localizer, str], str]] = {
    "text": lambda localizer, value: localizer.translate(value),
    "money": lambda localizer, value: localizer.money(Decimal(value)),
    "percent": lambda localizer, value: localizer.formats.percent(Decimal(value)),
    "number": lambda localizer, value: localizer.formats.number(Decimal(value)),
    "day": lambda localizer, value: localizer.formats.day(date.fromisoformat(value)),
    "long_day": lambda localizer, value: localizer.formats.long_day(date.fromisoformat(value)),
}
