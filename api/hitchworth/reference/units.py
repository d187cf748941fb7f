"""The closed list of units of measurement, and conversion by exact ratios: a threshold never flips by rounding."""

from fractions import Fraction
from functools import cache

from msgspec import Struct

from hitchworth.reference.load import read


class Unit(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A unit of one quantity. `ratio` is how many base units of the quantity one of it is, as a ratio of integers."""

    name: str
    quantity: str
    ratio: str
    also: tuple[str, ...] = ()


@cache
def units() -> tuple[Unit, ...]:
    """Every unit in which a fact may be given."""
    return read("units.yaml", tuple[Unit, ...])


@cache
def _by_name() -> dict[str, Unit]:
    return {name.casefold(): unit for unit in units() for name in (unit.name, *unit.also)}


def find_unit(name: str) -> Unit | None:
    """The unit that goes by this name or sign: lb, lbs and pounds are the same."""
    return _by_name().get(name.strip().casefold())


def units_like(unit: Unit) -> tuple[str, ...]:
    """The names of the units that measure the same quantity."""
    return tuple(other.name for other in units() if other.quantity == unit.quantity)


def convert(value: Fraction, given: Unit, wanted: Unit) -> Fraction:
    """The same quantity in another unit, exactly. Raises ValueError between two quantities."""
    if given.quantity != wanted.quantity:
        raise ValueError(f"{given.name} is no unit of {wanted.quantity}")
    return value * Fraction(given.ratio) / Fraction(wanted.ratio)
