"""Read the dates of a column as people write them. The order of day and month is decided by all its cells, or asked.

A closed list of forms: a reader that takes any text for a date finds one in 12.50 and in May.
"""

import re
from collections.abc import Iterable, Sequence
from datetime import date, timedelta
from decimal import Decimal
from functools import cache, lru_cache

from babel.dates import get_day_names, get_month_names

from hitchworth.localization.locales import available
from hitchworth.model.receipt_import import DateOrder
from hitchworth.reference.words import words_of
from hitchworth.workbooks.cells import Cell, Unreadable

ORDERS: tuple[DateOrder, ...] = ("year-first", "day-first", "month-first")

_DIGITS = re.compile(r"([0-9]{1,4})([./-]) ?([0-9]{1,2})\2 ?([0-9]{1,4})\.?")
_WITHOUT_YEAR = re.compile(r"[0-3]?[0-9] ?[./-] ?[0-3]?[0-9]\.?")
_COMPACT = re.compile(r"(?:19|20)[0-9]{6}")
_TIME = re.compile(
    r"[ T,]+[0-9]{1,2}:[0-9]{2}(:[0-9]{2}([.,][0-9]+)?)?( ?[AaPp]\.?[Mm]\.?)?( ?(Z|[+-][0-9]{2}:?[0-9]{2}))?$"
)
_EPOCH = date(1899, 12, 30)
_DAYS_TO_1904 = 1462
_SERIALS = range(20_000, 80_001)
"""1954 to 2119. The first day of the year 1900 or 1904 does not matter there."""


def read_date(cell: Cell, order: DateOrder, *, from_1904: bool = False) -> date | None:
    """Return the date of a cell; None where it is none. A time of day after it is not used.

    The order matters to dates that can be read in several ways: 3/14/2025 is one day only.
    """
    match cell:
        case date():
            return cell
        case Decimal():
            return _from_serial(cell, from_1904=from_1904)
        case str():
            text = _day_part(cell)
            found = _from_digits(text, order) or _from_words(text) or _from_text_serial(text, from_1904=from_1904)
            readings = _readings(text) if found is None else frozenset()
            return next(iter(readings)) if len(readings) == 1 else found
    return None


def is_ambiguous(cell: Cell) -> bool:
    """Return whether a cell is different dates in different orders."""
    return isinstance(cell, str) and len(_readings(_day_part(cell))) > 1


def _readings(text: str) -> frozenset[date]:
    """Return the dates that digits can be, in any order."""
    return frozenset(found for order in ORDERS if (found := _from_digits(text, order)) is not None)


def date_orders(cells: Iterable[Cell]) -> tuple[DateOrder, ...]:
    """Return the orders in which every cell in digits is a date, those with the same dates as an earlier one left out.

    One: decided. Several: nothing in the column decides. None: the cells contradict each other.
    """
    written = [_day_part(cell) for cell in cells if isinstance(cell, str)]
    in_digits = [text for text in written if _DIGITS.fullmatch(text)]
    found: dict[tuple[date | None, ...], DateOrder] = {}
    for order in ORDERS:
        dates = tuple(_from_digits(text, order) for text in in_digits)
        if None not in dates:
            found.setdefault(dates, order)
    return tuple(found.values())


def date_share(cells: Sequence[Cell]) -> float:
    """Return how many of the filled cells are dates in some order, as a share; a plain number counts as none."""
    filled = [cell for cell in cells if cell is not None and not isinstance(cell, Unreadable)]
    dates = sum(1 for cell in filled if not isinstance(cell, Decimal) and is_date(cell))
    return dates / len(filled) if filled else 0.0


def is_date(cell: Cell) -> bool:
    """Return whether a cell is a date in some order, other than a number that counts days."""
    if isinstance(cell, str):
        text = _day_part(cell)
        return _from_words(text) is not None or any(_from_digits(text, order) for order in ORDERS)
    return isinstance(cell, date)


def lacks_year(cell: Cell) -> bool:
    """Return whether a cell is a day and a month in digits, without a year: 15/2."""
    return isinstance(cell, str) and _WITHOUT_YEAR.fullmatch(_day_part(cell)) is not None


def _day_part(text: str) -> str:
    """Return a text without a time of day after it, and without the name of the day before it."""
    plain = _TIME.sub("", text)
    first, _, rest = plain.partition(" ")
    in_digits = _DIGITS.fullmatch(rest.strip()) or _WITHOUT_YEAR.fullmatch(rest.strip())
    return rest.strip() if in_digits and first.casefold().strip(".,") in _fillers() else plain


def is_serial(cell: Cell) -> bool:
    """Return whether a cell is a number that may count days."""
    if isinstance(cell, Decimal):
        return _from_serial(cell, from_1904=False) is not None
    return isinstance(cell, str) and _from_text_serial(cell, from_1904=False) is not None


def _from_serial(number: Decimal, *, from_1904: bool) -> date | None:
    days = int(number) if number.is_finite() and abs(number) < 10**6 else 0
    if from_1904 and days + _DAYS_TO_1904 in _SERIALS:
        return _EPOCH + timedelta(days=days + _DAYS_TO_1904)
    return _EPOCH + timedelta(days=days) if days in _SERIALS and not from_1904 else None


def _from_text_serial(text: str, *, from_1904: bool) -> date | None:
    return _from_serial(Decimal(text), from_1904=from_1904) if re.fullmatch(r"[0-9]{5}", text) else None


def _from_digits(text: str, order: DateOrder) -> date | None:
    if _COMPACT.fullmatch(text):
        return _date(text[:4], text[4:6], text[6:])
    found = _DIGITS.fullmatch(text)
    if found is None:
        return None
    first, separator, second, third = found.groups()
    if len(first) in (3, 4) or len(third) == 3:
        return _date(first, second, third) if len(first) == 4 and len(third) < 3 else None
    if order == "year-first":
        return _date(first, second, third) if len(first) == len(third) == 2 and separator == "-" else None
    if order == "month-first" and separator == ".":
        return None  # nobody writes 3.14.2025
    return _date(third, second, first) if order == "day-first" else _date(third, first, second)


def _date(year: str, month: str, day: str) -> date | None:
    """Return the date; a year of two digits is one of this century."""
    if len(year) not in (2, 4):
        return None
    try:
        return date(int(year) + (2000 if len(year) == 2 else 0), int(month), int(day))
    except ValueError:
        return None


def _from_words(text: str) -> date | None:
    """Return a date with the name of its month: Mar 5, 2025; 5. März 2025; Tue 4-Mar-25; 1er mars 2025."""
    words = [word for word in re.split(r"[\s,./-]+", text.casefold()) if word]
    if not 3 <= len(words) <= 6:
        return None
    months = [(place, number) for place, word in enumerate(words) if (number := _month_number(word))]
    rest = [re.sub(r"(?<=[0-9])(st|nd|rd|th|er|º|ª)$", "", word) for word in words if not _month_number(word)]
    numbers = [word for word in rest if word.isdecimal()]
    if len(months) != 1 or len(numbers) != 2 or not all(word.isdecimal() or word in _fillers() for word in rest):
        return None
    first, second = numbers
    day, year = (second, first) if len(first) == 4 else (first, second)
    return _date(year, str(months[0][1]), day)


@lru_cache(maxsize=1000)
def _month_number(word: str) -> int | None:
    return _months().get("".join(words_of(word)))


@cache
def _months() -> dict[str, int]:
    """Return the number of each month by its names and abbreviations in the languages of the texts."""
    names = {
        "".join(words_of(name)): number
        for locale in available()
        for width in ("wide", "abbreviated")
        for context in ("format", "stand-alone")
        for number, name in get_month_names(width, context, locale.replace("-", "_")).items()
    }
    return {**names, "sept": 9, "mrz": 3}


@cache
def _fillers() -> frozenset[str]:
    """Return the words that may stand beside a date: names of days, and of, de."""
    names = (
        name.casefold().strip(".")
        for locale in available()
        for width in ("wide", "abbreviated")
        for name in get_day_names(width, "format", locale.replace("-", "_")).values()
    )
    return frozenset((*names, "de", "del", "of", "the", "le", "den", "el"))
