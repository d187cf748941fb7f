"""Formats of money, dates, percentages, numbers and measures in a locale.

Amounts show the minor unit of ISO 4217, to which they were rounded. CLDR, the source of the patterns, has fewer digits
for some currencies, for example none for the Iraqi dinar. That suits price tags, but would drop money here.
"""

import re
from dataclasses import dataclass
from datetime import date
from decimal import ROUND_CEILING, ROUND_HALF_UP, Context, Decimal, localcontext
from functools import cache

from babel import Locale
from babel.dates import format_date
from babel.numbers import NumberPattern, get_currency_symbol, parse_pattern
from babel.units import format_unit

from hitchworth.reference.currencies import exponent_of

_PRECISE = Context(prec=100)
"""Enough for every amount of an appraisal. The default context stops at 28 digits."""

_CODE_BEFORE_DIGIT = re.compile(r"(?<=[^\W\d])(?=\d)")

_UNITS = {
    "m": "length-meter",
    "m2": "area-square-meter",
    "kg": "mass-kilogram",
    "L": "volume-liter",
    "km/h": "speed-kilometer-per-hour",
    "years": "duration-year",
}

_FOOT, _POUND, _INCHES = Decimal("0.3048"), Decimal("0.45359237"), 12
_CUSTOMARY = {
    "m2": ("area-square-foot", _FOOT**2),
    "kg": ("mass-pound", _POUND),
    "L": ("volume-gallon", Decimal("3.785411784")),
    "km/h": ("speed-mile-per-hour", Decimal("1.609344")),
}
"""The unit that a reader in the United States uses, and its size in the metric unit. A length is in feet and inches.

International yard and pound agreement of 1959: 1 ft = 0.3048 m, 1 lb = 0.45359237 kg exactly, so 1 mile is 1.609344 km;
1 US gallon is 231 cubic inches.
"""

_BESIDE_METRIC = ("m", "m2")
"""What a reader in the United Kingdom knows in feet as well (common practice); weights are in kilograms alone."""


@dataclass(frozen=True)
class Formats:
    """The formats of one locale."""

    locale: Locale

    def money(self, amount: Decimal, currency: str | None) -> str:
        """Format `amount` to the minor unit of `currency`; without a currency, to two places and without a symbol."""
        if currency is None:
            return self.number(amount, 2, 2)
        places = exponent_of(currency)
        places = 2 if places is None else places
        pattern = _with_places(self.locale.currency_formats["standard"].pattern, places, places)
        with localcontext(_PRECISE):
            shown = pattern.apply(_rounded(amount, places), self.locale, currency=currency, currency_digits=False)
        return _CODE_BEFORE_DIGIT.sub("\u00a0", shown)

    def currency_sign(self, currency: str) -> tuple[str, str]:
        """Return what stands before and after an amount of the currency, with the space between."""
        pattern = self.locale.currency_formats["standard"].pattern.partition(";")[0]
        sign = get_currency_symbol(currency, self.locale)
        before, _, after = re.sub(r"[#,0.]+", "|", pattern).replace("¤", sign).partition("|")
        return before, after

    def whole_money(self, amount: Decimal, currency: str | None) -> str:
        """Format `amount` in whole units of `currency`, rounded up: it is the most, or the least that is asked for."""
        whole = amount.to_integral_value(ROUND_CEILING, _PRECISE)
        if currency is None:
            return self.number(whole, 0)
        pattern = _with_places(self.locale.currency_formats["standard"].pattern, 0, 0)
        with localcontext(_PRECISE):
            shown = pattern.apply(whole, self.locale, currency=currency, currency_digits=False)
        return _CODE_BEFORE_DIGIT.sub("\u00a0", shown)

    def number(self, value: Decimal, most: int = 2, least: int = 0) -> str:
        """Format `value` with `least` to `most` decimal places."""
        pattern = _with_places(self.locale.decimal_formats[None].pattern, least, most)
        with localcontext(_PRECISE):
            return str(pattern.apply(_rounded(value, most), self.locale))

    def percent(self, share: Decimal, most: int = 2, least: int = 0) -> str:
        """Format a share of 1 as a percentage."""
        pattern = _with_places(self.locale.percent_formats[None].pattern, least, most)
        with localcontext(_PRECISE):
            return str(pattern.apply(_rounded(share, most + 2), self.locale))

    def day(self, day: date) -> str:
        """Format a date for a table, in the medium form of CLDR: Nov 1, 2026."""
        return self._first_of_month(day, format_date(day, "medium", locale=self.locale))

    def long_day(self, day: date) -> str:
        """Format a date for a sentence, in the long form of CLDR: November 1, 2026."""
        return self._first_of_month(day, format_date(day, "long", locale=self.locale))

    def measure(self, value: Decimal, unit: str | None, places: int = 2) -> str:
        """Format `value`, in metric units, for the reader.

        In the United States in customary units with the metric ones in parentheses; in the United Kingdom the other
        way around, as far as that is usual; elsewhere in metric units.
        """
        if unit not in _UNITS:
            return f"{self.number(value, places)} {unit}" if unit else self.number(value, places)
        metric = self._in_unit(value, _UNITS[unit], places)
        if unit not in ("m", *_CUSTOMARY):
            return metric
        if self.locale.territory == "US":
            return f"{self._customary(value, unit, max(places - 1, 0))} ({metric})"
        if self.locale.territory == "GB" and unit in _BESIDE_METRIC:
            return f"{metric} ({self._customary(value, unit, max(places - 1, 0))})"
        return metric

    def pounds(self, weight: Decimal) -> str:
        """Format a weight that a law gives in pounds; outside the United States, in kilograms as well."""
        pounds = self._customary(weight * _POUND, "kg", 0)
        if self.locale.territory == "US":
            return pounds
        return f"{pounds} ({self._in_unit(weight * _POUND, _UNITS['kg'], 0)})"

    def _customary(self, value: Decimal, unit: str, places: int) -> str:
        if unit == "m":
            return self._feet_and_inches(value, places)
        customary, size = _CUSTOMARY[unit]
        return self._in_unit(value / size, customary, places)

    def _feet_and_inches(self, meters: Decimal, places: int) -> str:
        """Return 18 ft 2 in; whole feet without inches. `places`: decimal places of the inches."""
        sign, inches = ("-" if meters < 0 else ""), _rounded(abs(meters) / _FOOT * _INCHES, places)
        feet, rest = divmod(inches, _INCHES)
        parts = [(feet, "length-foot"), (rest, "length-inch")]
        shown = [self._in_unit(number, name, places) for number, name in parts if number]
        return sign + " ".join(shown or [self._in_unit(Decimal(0), "length-foot", 0)])

    def place(self, code: str) -> str | None:
        """Return the name of the country with this ISO 3166 code; None when there is none."""
        return self.locale.territories.get(code)

    def _first_of_month(self, day: date, written: str) -> str:
        """Write the first of a month as French does, "1er novembre". The patterns of CLDR leave that out."""
        return written.replace("1 ", "1er ", 1) if self.locale.language == "fr" and day.day == 1 else written

    def _in_unit(self, value: Decimal, unit: str, places: int) -> str:
        pattern = self.locale.decimal_formats[None].pattern.replace(".###", f".{'#' * places}")
        with localcontext(_PRECISE):
            return format_unit(_rounded(value, places), unit, "short", pattern, self.locale)


@cache
def formats_of(tag: str) -> Formats:
    """Return the formats of a locale that `locales.resolve_locale` returned."""
    return Formats(Locale.parse(tag, sep="-"))


@cache
def _with_places(pattern: str, least: int, most: int) -> NumberPattern:
    changed = parse_pattern(pattern)
    changed.frac_prec = (least, most)
    return changed


def _rounded(value: Decimal, places: int) -> Decimal:
    """Round half up, as everywhere. The pattern would round half to even."""
    return value.quantize(Decimal(1).scaleb(-places), ROUND_HALF_UP, _PRECISE)
