"""The currencies of ISO 4217, each with its minor unit."""

from msgspec import Struct

from hitchworth.reference.load import read


class Currencies(Struct, frozen=True, forbid_unknown_fields=True):
    """The list with its source."""

    source: str
    exponents: dict[str, int]


CURRENCIES: Currencies = read("currencies.yaml", Currencies)


def exponent_of(code: str) -> int | None:
    """How many decimals an amount in this currency has; None for a code that is not in the list."""
    return CURRENCIES.exponents.get(code)
