"""A copper conductor: its area, its resistance at 20 C, and its ratings."""

from decimal import ROUND_DOWN, ROUND_HALF_UP, Context, Decimal, localcontext
from functools import cache
from typing import NamedTuple

from hitchworth.model.circuit import Circuit
from hitchworth.reference.circuits import CircuitRule, circuit_rules, rated_gauges

_PI = Decimal("3.14159265358979323846264338327950288")
_PRECISE = Context(prec=40)
_GAUGE_36_MM, _STEP, _STEPS = Decimal("0.127"), Decimal(92), 39
_AS_PRINTED = Decimal("0.01")


class Ratings(NamedTuple):
    """What a conductor carries in amperes: by the strictest and by the most generous table that may apply."""

    least: Decimal
    most: Decimal
    rule: CircuitRule
    """The table that decides."""


class Conductor(NamedTuple):
    """Area in mm2, resistance in ohm/km, ratings; no ratings if it is thinner than the tables cover."""

    area: Decimal
    resistance: Decimal
    ratings: Ratings | None


def conductor_of(circuit: Circuit) -> Conductor | None:
    """Return the conductor of a circuit, or None when neither its gauge nor its area is known."""
    if circuit.area_mm2 is not None:
        return conductor(circuit.area_mm2, circuit.insulation)
    return None if circuit.awg is None else conductor(gauge_area(circuit.awg), circuit.insulation)


def conductor(area: Decimal, insulation: int | None = None) -> Conductor:
    """Return the conductor of an area in mm2, more than 0, and of a class of insulation in C. None: not known."""
    with localcontext(_PRECISE):
        return Conductor(area, circuit_rules().copper.resistivity / area * 1000, _ratings(area, insulation))


@cache
def gauge_area(awg: int) -> Decimal:
    """Return the area of a gauge in mm2, from the diameter 0.127 mm x 92^((36 - n)/39) of ASTM B258."""
    with localcontext(_PRECISE):
        diameter = _GAUGE_36_MM * _STEP ** (Decimal(36 - awg) / _STEPS)
        return _PI / 4 * diameter**2


def printed_area(awg: int) -> Decimal:
    """Return the area of a gauge in mm2, cut to two decimals, so that an area from a printed table is not below it."""
    return gauge_area(awg).quantize(_AS_PRINTED, ROUND_DOWN)


def voltage_drop(circuit: Circuit, wire: Conductor) -> Decimal:
    """Return load x resistance of the conductor, out and back, in volts, to 40 digits."""
    with localcontext(_PRECISE):
        return 2 * circuit.length_m / 1000 * wire.resistance * circuit.load_amps


def voltage_drop_share(circuit: Circuit, wire: Conductor) -> Decimal:
    """Return the voltage drop as a share of the circuit's volts, to four places: compared as it is shown."""
    with localcontext(_PRECISE):
        return rounded(voltage_drop(circuit, wire) / circuit.volts, 4)


def rounded(value: Decimal, places: int) -> Decimal:
    """Round half up."""
    with localcontext(_PRECISE):
        return value.quantize(Decimal(1).scaleb(-places), ROUND_HALF_UP)


def _ratings(area: Decimal, insulation: int | None) -> Ratings | None:
    """Return the ratings of the thickest gauge of the tables that is not thicker than the area.

    A class of insulation between two columns has the lower one.
    """
    rules = circuit_rules()
    awg = min((awg for awg in rated_gauges() if printed_area(awg) <= area), default=None)
    if awg is None:
        return None
    if awg in rules.thin_conductors.amps:
        amps = rules.thin_conductors.amps[awg]
        return Ratings(amps, amps, rules.thin_conductors)
    insulated = rules.insulated_conductors
    known = max(each for each in insulated.amps_by_class if each <= (insulation or insulated.assumed_class))
    most = insulated.amps_by_class[known][awg]
    if insulation is not None:
        return Ratings(most, most, insulated)
    return Ratings(rules.thick_conductors.amps[awg], most, rules.thick_conductors)
