"""A localizer translates texts into one locale and fills in their parameters.

A text names a parameter and its format: `{policy}` as it is, `{title:text}` translated, `{gap:money}`,
`{limit:whole_money}`, `{rate:percent}`, `{as_of:day}`, `{code:place}`. A group of texts/labels.yaml is a format too:
`{category:category}`, or with a capital letter `{category:Category}`.
"""

import string
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from functools import cache
from typing import TypeAlias

from babel.support import NullTranslations

from hitchworth.localization.formats import Formats, formats_of
from hitchworth.localization.locales import ResolvedLocale, catalog, resolve_locale
from hitchworth.localization.texts import texts
from hitchworth.reference.jurisdictions import jurisdictions
from hitchworth.reference.perils import peril_key

ParameterValue: TypeAlias = str | Decimal | date | None


@dataclass(frozen=True)
class Localizer:
    """A locale with its catalog and its formats, and the currency of the amounts, if there is one."""

    locale: ResolvedLocale
    catalog: NullTranslations
    formats: Formats
    currency: str | None

    def translate(self, text: str) -> str:
        """Return the text in this locale, or in English when the catalog does not have it."""
        return self.catalog.gettext(text) if text else ""

    def format(self, text: str, /, **parameters: ParameterValue) -> str:
        """Return the text in this locale with its parameters filled in. A missing one shows as an ellipsis."""
        return "".join(
            [
                literal if name is None else literal + self._formatted(parameters.get(name), format_ or "")
                for literal, name, format_ in _parts(self.translate(text))
            ]
        )

    def _formatted(self, value: ParameterValue, format_: str) -> str:
        """Return one value in the format that the text names."""
        if value is None:
            return "…"
        if not format_:
            return str(value)
        format_value = _FORMATS.get(format_)
        if format_value is not None:
            return format_value(self, str(value))
        if format_[0].isupper():
            return self.heading(format_.lower(), str(value))
        return self.label(format_, str(value))

    def label(self, group: str, code: str) -> str:
        """Return the label of a code; without a label, the code itself with spaces for its underscores."""
        label = texts().labels.get(group, {}).get(peril_key(code) if group == "peril" else code)
        return self.translate(label) if label is not None else code.replace("_", " ")

    def heading(self, group: str, code: str) -> str:
        """Return the label with a capital letter, for a heading or the start of a sentence."""
        return capital(self.label(group, code))

    def place(self, code: str) -> str:
        """Return the name of a jurisdiction."""
        return self.formats.place(code) or self.translate(jurisdictions()[code].name)

    def money(self, amount: Decimal) -> str:
        """Return the amount in the currency of this localizer."""
        return self.formats.money(amount, self.currency)


@cache
def _catalog_and_formats(locale: ResolvedLocale) -> tuple[NullTranslations, Formats]:
    return catalog(locale.texts), formats_of(locale.formats)


def localizer_for(tag: str, currency: str | None = None) -> Localizer:
    """Return the localizer of the nearest available locale."""
    locale = resolve_locale(tag)
    return Localizer(locale, *_catalog_and_formats(locale), currency)


def capital(text: str) -> str:
    """Return the text with its first letter in upper case."""
    return text[:1].upper() + text[1:]


@cache
def _parts(text: str) -> tuple[tuple[str, str | None, str | None], ...]:
    """Return a text in parts: what stands before a parameter, its name, and its format; neither at the end.

    Only texts of the catalogs are taken apart: a value is never read as a text with parameters.
    """
    return tuple((literal, name, format_) for literal, name, format_, _ in string.Formatter().parse(text))


_FORMATS: dict[str, Callable[[Localizer, str], str]] = {
    "text": lambda localizer, value: localizer.translate(value),
    "money": lambda localizer, value: localizer.money(Decimal(value)),
    "whole_money": lambda localizer, value: localizer.formats.whole_money(Decimal(value), localizer.currency),
    "percent": lambda localizer, value: localizer.formats.percent(Decimal(value)),
    "number": lambda localizer, value: localizer.formats.number(Decimal(value)),
    "place": lambda localizer, value: localizer.place(value),
    "pounds": lambda localizer, value: localizer.formats.pounds(Decimal(value)),
    "day": lambda localizer, value: localizer.formats.day(date.fromisoformat(value)),
    "long_day": lambda localizer, value: localizer.formats.long_day(date.fromisoformat(value)),
}
