"""Read the numbers of columns of text as people write them: currencies, signs, groups of digits, a decimal mark.

What a mark means is decided by all the cells of a column, and where these do not say, by those of the other columns. It
is never taken from a locale: 1,234 alone may be either.
"""

import re
from collections.abc import Iterable, Iterator, Sequence
from decimal import Decimal, InvalidOperation

from msgspec import Struct

from hitchworth.model.numbers import SIGNIFICANT_DIGITS
from hitchworth.model.receipt_import import DecimalMark
from hitchworth.reference.currencies import exponent_of
from hitchworth.reference.receipt_words import receipt_words
from hitchworth.workbooks.cells import Cell, Unreadable

MARKS: dict[DecimalMark, str] = {"point": ".", "comma": ","}

_SPACES = re.compile(r"[\s\u00a0\u202f\u2009]+")
_SIGNS = "$€£¥₹₩₺₽₴₪฿"
_CURRENCY = rf"(?:[A-Z]{{1,3}}\$|[A-Za-zł]{{1,4}}\.?|[{_SIGNS}])"
_NUMBER = re.compile(
    rf"(?P<open>\()?(?P<sign>[-+\u2212\u2013])?(?P<before>{_CURRENCY})?(?P<inner>[-+\u2212\u2013])?"
    r"(?P<digits>[0-9][0-9.,'’]*|[.,][0-9]+)"
    rf"(?P<late>[-\u2212\u2013])?(?P<after>{_CURRENCY})?(?P<last>[-\u2212\u2013])?(?P<close>\))?"
)
_NO_CENTS = re.compile(r"(?<=[0-9])[.,][-\u2013\u2014]+(?=$|[^0-9])")
"""12,- and 12.–, as prices without cents are written."""

_MINUS = "-\u2212\u2013"
_GROUPED = {
    mark: re.compile(
        rf"([0-9]{{1,3}}([{other}'’][0-9]{{3}})+|[0-9]{{1,2}}({other}[0-9]{{2}})+{other}[0-9]{{3}}|[0-9]*)"
        rf"(\{mark}[0-9]*)?"
    )
    for mark, other in ((".", ","), (",", r"."))
}

_WITH_UNIT = re.compile(r"(?P<number>[0-9][0-9.,]*)\s*(?P<unit>[x×]|(?:[^\W\d_]|[²³\"'.]){1,12})?")
_TIMES = ("x", "×")

CURRENCY_SIGNS = {
    "$": ("USD", "CAD", "AUD", "NZD", "MXN"),
    "US$": ("USD",),
    "CA$": ("CAD",),
    "C$": ("CAD",),
    "AU$": ("AUD",),
    "A$": ("AUD",),
    "NZ$": ("NZD",),
    "MX$": ("MXN",),
    "€": ("EUR",),
    "£": ("GBP",),
    "¥": ("JPY", "CNY"),
    "₹": ("INR",),
    "kr": ("SEK", "NOK", "DKK"),
    "kr.": ("DKK", "NOK", "SEK"),
    "zł": ("PLN",),
    "Fr.": ("CHF",),
    "Fr": ("CHF",),
    "R": ("ZAR",),
}
"""The currencies that a sign can stand for."""


class Written(Struct, frozen=True):
    """A number as it is written, its digits not read yet."""

    digits: str
    is_negative: bool = False
    currency: str = ""
    """The sign or the code beside it."""
    is_credit: bool = False


def written(text: str) -> Written | None:
    """Return the parts of a number; None for a text that is none. CR after it, as on statements, is a credit."""
    compact = _SPACES.sub("", text)
    is_credit = compact.upper().endswith("CR")
    compact = re.sub(r"(?i)(cr|dr)$", "", compact)
    compact = _NO_CENTS.sub("", compact)
    found = _NUMBER.fullmatch(compact)
    if found is None or bool(found["open"]) != bool(found["close"]):
        return None
    signs = [sign for sign in (found["sign"], found["inner"], found["late"], found["last"]) if sign]
    currencies = [part for part in (found["before"], found["after"]) if part]
    if len(signs) > 1 or (signs and found["open"]) or not all(map(_is_currency, currencies)):
        return None
    if len(set(currencies)) > 1 and not _are_same_currency(currencies):
        return None
    is_negative = bool(found["open"]) or bool(signs and signs[0] in _MINUS) or is_credit
    currency = max(currencies, key=len, default="")
    return Written(found["digits"], is_negative, currency, is_credit)


def currencies_in(header: str) -> tuple[str, ...]:
    """Return the signs and codes of currencies that are words of a header."""
    words = re.findall(r"[^\s()\[\],/]+", header)
    return tuple(word for word in words if word in CURRENCY_SIGNS or (word.isupper() and exponent_of(word) is not None))


def _is_currency(text: str) -> bool:
    return text in CURRENCY_SIGNS or exponent_of(text) is not None


def _are_same_currency(currencies: Sequence[str]) -> bool:
    """Return whether a sign and a code can mean the same, as in $12.50 USD."""
    first, second = (frozenset(CURRENCY_SIGNS.get(part, (part,))) for part in currencies)
    return bool(first & second)


def decimal_marks(numbers: Iterable[str]) -> frozenset[DecimalMark]:
    """Return the decimal marks that the digits of a column can have: one when decided, none when contradictory."""
    can: set[DecimalMark] = set(MARKS)
    for digits in numbers:
        can &= {name for name, mark in MARKS.items() if _GROUPED[mark].fullmatch(digits)}
    return frozenset(can)


def value_of(number: Written, mark: DecimalMark) -> Decimal | None:
    """Return the number with this decimal mark; None where its groups of digits do not fit."""
    point = MARKS[mark]
    if not _GROUPED[point].fullmatch(number.digits):
        return None
    whole, _, fraction = number.digits.partition(point)
    digits = re.sub(r"[^0-9]", "", whole)
    value = Decimal(f"{digits or '0'}.{fraction or '0'}") if fraction else Decimal(digits or "0")
    return -value if number.is_negative and value else value


def texts(cells: Iterable[Cell]) -> Iterator[str]:
    """Yield the cells that are text."""
    return (cell for cell in cells if isinstance(cell, str))


def number_share(cells: Sequence[Cell]) -> float:
    """Return how many of the filled cells are numbers, as a share; 0 for an empty column."""
    filled = [cell for cell in cells if cell is not None and not isinstance(cell, Unreadable)]
    numbers = sum(1 for cell in filled if _is_number(cell))
    return numbers / len(filled) if filled else 0.0


def quantity_share(cells: Sequence[Cell]) -> float:
    """Return how many of the filled cells are numbers, with a unit behind them or without, as a share."""
    filled = [cell for cell in cells if cell is not None and not isinstance(cell, Unreadable)]
    quantities = sum(
        1 for cell in filled if _is_number(cell) or (isinstance(cell, str) and with_unit(cell) is not None)
    )
    return quantities / len(filled) if filled else 0.0


def with_unit(text: str) -> tuple[str, str] | None:
    """Return the digits and the unit of a quantity such as 2.5 m, 4 x or a pair; the unit is empty for a mere count."""
    found = _WITH_UNIT.fullmatch(text)
    if found is None:
        first, _, unit = text.casefold().partition(" ")
        return ("1", unit) if first in receipt_words().one and unit.isalpha() else None
    unit = (found["unit"] or "").rstrip(".")
    return found["number"], "" if unit in _TIMES else unit


def _is_number(cell: Cell) -> bool:
    return isinstance(cell, Decimal) or (isinstance(cell, str) and written(cell) is not None)


def short_number(text: str) -> Decimal | None:
    """Return a number as JSON writes one, if it is short enough to compute with; else null."""
    try:
        number = Decimal(text)
    except InvalidOperation:
        return None
    is_short = number.is_finite() and max(len(text), abs(number.adjusted())) <= SIGNIFICANT_DIGITS
    return number if is_short else None
