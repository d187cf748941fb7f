"""The rules that low-voltage circuits are checked against: copper, ratings of conductors, customs of the trade."""

from decimal import Decimal
from functools import cache

from msgspec import Struct

from hitchworth.model.assessment import Provenance
from hitchworth.reference.load import read


class CircuitRule(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A rule with its source."""

    source: str
    provenance: Provenance


class Copper(CircuitRule, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Annealed copper; resistivity in ohm mm2/m at 20 C."""

    resistivity: Decimal


class ConductorRatings(CircuitRule, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The amperes that a conductor may carry, by gauge, from thin to thick."""

    amps: dict[int, Decimal]


class MinimumGauge(CircuitRule, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The thinnest gauge that is customary, for each role of a circuit."""

    branch: int
    main: int


class FuseSizing(CircuitRule, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The smallest and the largest rating as multiples of the load, and the sizes that are sold, in amperes."""

    minimum_multiple: Decimal
    maximum_multiple: Decimal
    sizes: tuple[Decimal, ...]


class VoltageDropLimit(CircuitRule, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The largest voltage drop, as a share of the circuit's volts."""

    critical: Decimal
    other: Decimal


class CircuitRules(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Every rule for circuits."""

    copper: Copper
    conductor_ratings: ConductorRatings
    minimum_gauge: MinimumGauge
    fuse_sizing: FuseSizing
    fuse_protects_conductor: CircuitRule
    voltage_drop: VoltageDropLimit
    workmanship: CircuitRule


@cache
def circuit_rules() -> CircuitRules:
    """Return every rule for circuits."""
    return read("circuits.yaml", CircuitRules)
