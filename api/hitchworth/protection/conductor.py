"""A copper conductor: its area, its resistance at 20 C, and its rating."""

from decimal import ROUND_DOWN, ROUND_HALF_UP, Context, Decimal, localcontext
from functools import cache
from typing import NamedTuple

from hitchworth.model.build import Circuit
from hitchworth.reference.circuits import circuit_rules

_PI = Decimal("3.14159265358979323846264338327950288")
_PRECISE = Context(prec=40)
_GAUGE_36_MM, _STEP, _STEPS = Decimal("0.127"), Decimal(92), 39
_AS_PRINTED = Decimal("0.01")


class Conductor(NamedTuple):
    """Area in mm2, resistance in ohm/km, rating in amperes; no rating if it is thinner than the table covers."""

    area: Decimal
    resistance: Decimal
    rating: Decimal | None


def conductor_of(circuit: Circuit) -> Conductor | None:
    """Return the conductor of a circuit, or None when neither its gauge nor its area is known."""
    if circuit.area_mm2 is not None:
        return conductor(circuit.area_mm2)
    return None if circuit.awg is None else conductor(gauge_area(circuit.awg))


def conductor(area: Decimal) -> Conductor:
    """Return the conductor of an area in mm2, more than 0."""
    with localcontext(_PRECISE):
        return Conductor(area, circuit_rules().copper.resistivity / area * 1000, _rating(area))


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


def _rating(area: Decimal) -> Decimal | None:
    """Return the rating of the thickest gauge of the table that is not thicker than the area."""
    ratings = circuit_rules().conductor_ratings.amps
    return max((amps for awg, amps in ratings.items() if printed_area(awg) <= area), default=None)
