"""Money, dates, shares, numbers and measures as a locale writes them.

Amounts show the minor unit of ISO 4217, which is where they were rounded. CLDR, the source of the patterns, has other
digits for some currencies (none for the Iraqi dinar, say): they suit price tags and would drop money here.
"""

import re
from dataclasses import dataclass
from datetime import date
from decimal import ROUND_HALF_UP, Context, Decimal, localcontext
from functools import cache

from babel import Locale
from babel.dates import format_date
from babel.numbers import NumberPattern, parse_pattern
from babel.units import format_unit

from hitchworth.reference.currencies import exponent_of

_PRECISE = Context(prec=100)
"""Holds every amount that an appraisal can come to: the default context gives up beyond 28 digits."""

_CODE_BEFORE_DIGIT = re.compile(r"(?<=[^\W\d])(?=\d)")

_UNITS = {
    "m": "length-meter",
    "m2": "area-square-meter",
    "kg": "mass-kilogram",
    "L": "volume-liter",
    "km/h": "speed-kilometer-per-hour",
    "years": "duration-year",
}

_CUSTOMARY = {
    "m": ("length-foot", Decimal("0.3048")),
    "m2": ("area-square-foot", Decimal("0.09290304")),
    "kg": ("mass-pound", Decimal("0.45359237")),
}
"""What a reader in the United States measures with, and how much of the metric unit one of it is.

International yard and pound agreement of 1959 (1 ft = 0.3048 m, 1 lb = 0.45359237 kg exactly).
"""


@dataclass(frozen=True)
class Formats:
    """The formats of one locale."""

    locale: Locale

    def money(self, amount: Decimal, currency: str | None) -> str:
        """`amount` to the minor unit of `currency`; without one, to two places and without a sign of money."""
        if currency is None:
            return self.number(amount, 2, 2)
        places = exponent_of(currency)
        places = 2 if places is None else places
        pattern = _with_places(self.locale.currency_formats["standard"].pattern, places, places)
        with localcontext(_PRECISE):
            shown = pattern.apply(_rounded(amount, places), self.locale, currency=currency, currency_digits=False)
        return _CODE_BEFORE_DIGIT.sub("\u00a0", shown)

    def number(self, value: Decimal, most: int = 2, least: int = 0) -> str:
        """`value` with `least` to `most` decimal places."""
        pattern = _with_places(self.locale.decimal_formats[None].pattern, least, most)
        with localcontext(_PRECISE):
            return str(pattern.apply(_rounded(value, most), self.locale))

    def percent(self, share: Decimal, most: int = 2, least: int = 0) -> str:
        """A share of 1 in percent."""
        pattern = _with_places(self.locale.percent_formats[None].pattern, least, most)
        with localcontext(_PRECISE):
            return str(pattern.apply(_rounded(share, most + 2), self.locale))

    def day(self, day: date) -> str:
        """A date, short enough for a table, its month never in doubt."""
        return self._first_of_month(day, format_date(day, "medium", locale=self.locale))

    def long_day(self, day: date) -> str:
        """A date with its month written out."""
        return self._first_of_month(day, format_date(day, "long", locale=self.locale))

    def measure(self, value: Decimal, unit: str | None, places: int = 2) -> str:
        """`value` with its unit, and for a reader in the United States in feet and pounds as well."""
        if unit not in _UNITS:
            return f"{self.number(value, places)} {unit}" if unit else self.number(value, places)
        metric = self._in_unit(value, _UNITS[unit], places)
        if self.locale.territory != "US" or unit not in _CUSTOMARY:
            return metric
        customary, size = _CUSTOMARY[unit]
        return f"{metric} ({self._in_unit(value / size, customary, places - 1)})"

    def place(self, code: str) -> str | None:
        """What the country of the ISO 3166 code is called; None when it is no country."""
        return self.locale.territories.get(code)

    def _first_of_month(self, day: date, written: str) -> str:
        """French counts the first day as an ordinal, "1er novembre", which the patterns of CLDR leave out."""
        return written.replace("1 ", "1er ", 1) if self.locale.language == "fr" and day.day == 1 else written

    def _in_unit(self, value: Decimal, unit: str, places: int) -> str:
        pattern = self.locale.decimal_formats[None].pattern.replace(".###", f".{'#' * places}")
        with localcontext(_PRECISE):
            return format_unit(_rounded(value, places), unit, "short", pattern, self.locale)


@cache
def formats_of(tag: str) -> Formats:
    """The formats of a locale that `locales.negotiated` has found."""
    return Formats(Locale.parse(tag, sep="-"))


@cache
def _with_places(pattern: str, least: int, most: int) -> NumberPattern:
    changed = parse_pattern(pattern)
    changed.frac_prec = (least, most)
    return changed


def _rounded(value: Decimal, places: int) -> Decimal:
    """Half up, as everywhere: left to itself the pattern would round half to even."""
    return value.quantize(Decimal(1).scaleb(-places), ROUND_HALF_UP, _PRECISE)
