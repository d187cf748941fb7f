"""The currencies of ISO 4217, each with the decimals of its minor unit."""

from functools import cache

from msgspec import Struct

from hitchworth.reference.load import read


class Currencies(Struct, frozen=True, forbid_unknown_fields=True):
    """The currencies with the source of the list. `exponents` are the decimals by currency code."""

    source: str
    exponents: dict[str, int]


@cache
def currencies() -> Currencies:
    """Return the list of ISO 4217."""
    return read("currencies.yaml", Currencies)


def exponent_of(code: str) -> int | None:
    """Return how many decimals an amount in this currency has, or None for a code that is not in the list."""
    return currencies().exponents.get(code)
