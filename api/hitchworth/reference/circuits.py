"""The rules that low-voltage circuits are checked against: copper, ratings of conductors, customs of the trade."""

from decimal import Decimal
from functools import cache

from msgspec import Struct

from hitchworth.model.provenance import Provenance
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


class InsulatedConductors(CircuitRule, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The amperes that a conductor may carry, by temperature class of its insulation and by gauge."""

    assumed_class: int
    """The highest class that an unknown insulation may have."""
    amps_by_class: dict[int, dict[int, Decimal]]


class ThinnestConductor(CircuitRule, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The thinnest gauge of a low-voltage circuit."""

    awg: int


class FuseSizing(CircuitRule, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The smallest rating of a fuse as a multiple of the load."""

    minimum_multiple: Decimal


class MotorStart(CircuitRule, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The current of a starting motor that a fuse stands, as a multiple of its rating."""

    multiple: Decimal


class FuseDistance(CircuitRule, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The longest cable from the battery to its fuse in meters: bare, and in a sheath or conduit."""

    bare: Decimal
    sheathed: Decimal


class InterruptRating(CircuitRule, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The interrupt rating of a main fuse in amperes.

    Below `least` none is right, from `enough` on every one is; `lead_acid` is enough for lead-acid batteries.
    A bank with a short-circuit current above `large_bank` needs `enough`.
    """

    least: Decimal
    lead_acid: Decimal
    large_bank: Decimal
    enough: Decimal


class VoltageDropLimit(CircuitRule, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The largest voltage drop, as a share of the circuit's volts."""

    critical: Decimal
    other: Decimal


class CircuitRules(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Every rule for circuits."""

    copper: Copper
    thin_conductors: ConductorRatings
    thick_conductors: ConductorRatings
    insulated_conductors: InsulatedConductors
    thinnest_conductor: ThinnestConductor
    fuse_sizing: FuseSizing
    fuse_protects_conductor: CircuitRule
    motor_start: MotorStart
    fuse_distance: FuseDistance
    interrupt_rating: InterruptRating
    line_voltage: CircuitRule
    voltage_drop: VoltageDropLimit
    workmanship: CircuitRule


def rated_gauges() -> tuple[int, ...]:
    """Return every gauge with a rating, from thin to thick."""
    return (*circuit_rules().thin_conductors.amps, *circuit_rules().thick_conductors.amps)


@cache
def circuit_rules() -> CircuitRules:
    """Return every rule for circuits."""
    return read("circuits.yaml", CircuitRules)
