"""Plausible prices of a new plain trailer, by the length of its body and the number of its axles."""

from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction
from functools import cache, lru_cache
from typing import Literal

from msgspec import Struct

from hitchworth.model.build import FactValue
from hitchworth.reference.facts import vocabulary
from hitchworth.reference.load import read
from hitchworth.reference.parsed_facts import InvalidFactError, parse_fact
from hitchworth.reference.plausible_terms import times_in_currency


class PriceRow(Struct, frozen=True, forbid_unknown_fields=True):
    """The least, a usual and the greatest price of trailers up to a length, with so many axles."""

    axles: int
    up_to_m: str
    prices: tuple[str, str, str]
    provenance: Literal["common_practice"]
    source: str


class _Prices(Struct, frozen=True, forbid_unknown_fields=True):
    rows: tuple[PriceRow, ...]
    tongue_m: str
    tongue_source: str


@cache
def _data() -> _Prices:
    return read("plain_trailer_prices.yaml", _Prices)


def price_rows() -> tuple[PriceRow, ...]:
    """Return every row, as it is in the data file."""
    return _data().rows


def plausible_prices(facts: Mapping[str, FactValue], currency: str) -> tuple[Decimal, ...]:
    """Return plausible prices of a plain trailer of this size, the least first; of every size where none is known.

    `facts`: body_length_m, or overall_length_m less the tongue, and wheels: more than two are on two axles.
    """
    return _prices_of(_length(facts), _number(facts, "wheels"), currency)


@lru_cache(maxsize=1024)
def _prices_of(length: Fraction | None, wheels: Fraction | None, currency: str) -> tuple[Decimal, ...]:
    fitting = [row for row in price_rows() if wheels is None or (row.axles > 1) == (wheels > 2)]
    if length is not None:
        first: dict[int, PriceRow] = {}
        for row in fitting:
            if length <= Fraction(row.up_to_m):
                first.setdefault(row.axles, row)
        fitting = list(first.values()) or fitting
    times = times_in_currency(currency)
    columns = zip(*(map(Decimal, row.prices) for row in fitting), strict=True)
    least, usual, greatest = columns
    return tuple(dict.fromkeys(times * price for price in (min(least), sorted(usual)[len(usual) // 2], max(greatest))))


def _length(facts: Mapping[str, FactValue]) -> Fraction | None:
    body, overall = _number(facts, "body_length_m"), _number(facts, "overall_length_m")
    if body is not None or overall is None:
        return body
    return max(overall - Fraction(_data().tongue_m), Fraction(0))


def _number(facts: Mapping[str, FactValue], name: str) -> Fraction | None:
    """Return a fact in its own unit; None for one that is not known or not valid."""
    given = facts.get(name)
    if given is None:
        return None
    try:
        value = parse_fact(vocabulary()[name], given).value
    except InvalidFactError:
        return None
    return value if isinstance(value, Fraction) else None
