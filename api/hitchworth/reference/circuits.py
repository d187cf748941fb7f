"""What the checks of low-voltage circuits compare with: copper, ratings of conductors, customs of the trade."""

from decimal import Decimal

from msgspec import Struct

from hitchworth.model.assessment import Provenance
from hitchworth.reference.load import read


class Practice(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A rule with its source."""

    source: str
    provenance: Provenance


class Copper(Practice, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Annealed copper; resistivity in ohm mm2/m at 20 C."""

    resistivity: Decimal


class Ratings(Practice, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Amperes that a conductor carries, by gauge, from thin to thick."""

    amps: dict[int, Decimal]


class CustomaryConductor(Practice, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The thinnest gauge by custom, for each role of a circuit."""

    branch: int
    main: int


class FuseSizing(Practice, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Least and greatest rating as multiples of the load, and the sizes that are sold, in amperes."""

    least: Decimal
    most: Decimal
    sizes: tuple[Decimal, ...]


class DropLimit(Practice, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The most that a circuit may lose, as a share of its volts."""

    critical: Decimal
    other: Decimal


class CircuitPractice(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Everything that a circuit is held against."""

    copper: Copper
    ratings: Ratings
    customary: CustomaryConductor
    fuse: FuseSizing
    within: Practice
    voltage_drop: DropLimit
    workmanship: Practice


CIRCUIT_PRACTICE: CircuitPractice = read("circuits.yaml", CircuitPractice)
