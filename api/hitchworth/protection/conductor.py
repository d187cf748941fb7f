"""A copper conductor: its area, its resistance at 20 C, and what it carries."""

from decimal import ROUND_DOWN, ROUND_HALF_UP, Context, Decimal, localcontext
from functools import cache
from typing import NamedTuple

from hitchworth.model.build import Circuit
from hitchworth.reference.circuits import CIRCUIT_PRACTICE

_PI = Decimal("3.14159265358979323846264338327950288")
_PRECISE = Context(prec=40)
_GAUGE_36_MM, _STEP, _STEPS = Decimal("0.127"), Decimal(92), 39
_AS_PRINTED = Decimal("0.01")


class Conductor(NamedTuple):
    """Area in mm2, resistance in ohm/km, rating in amperes; no rating where it is thinner than the table goes."""

    area: Decimal
    resistance: Decimal
    rating: Decimal | None


def conductor_of(circuit: Circuit) -> Conductor | None:
    """The conductor of a circuit; None while neither its gauge nor its area is known."""
    if circuit.area_mm2 is not None:
        return conductor(circuit.area_mm2)
    return None if circuit.awg is None else conductor(gauge_area(circuit.awg))


def conductor(area: Decimal) -> Conductor:
    """The conductor with an area in mm2, more than 0."""
    with localcontext(_PRECISE):
        return Conductor(area, CIRCUIT_PRACTICE.copper.resistivity / area * 1000, _rating(area))


@cache
def gauge_area(awg: int) -> Decimal:
    """The area of a gauge in mm2, of the diameter 0.127 mm x 92^((36 - n)/39) (ASTM B258, which defines the gauge)."""
    with localcontext(_PRECISE):
        diameter = _GAUGE_36_MM * _STEP ** (Decimal(36 - awg) / _STEPS)
        return _PI / 4 * diameter**2


def printed_area(awg: int) -> Decimal:
    """The area of a gauge in mm2 without its third decimal, so that an area copied from a table is not below it."""
    return gauge_area(awg).quantize(_AS_PRINTED, ROUND_DOWN)


def volts_lost(circuit: Circuit, wire: Conductor) -> Decimal:
    """Load x resistance of the conductor there and back, in volts, exact to 40 digits."""
    with localcontext(_PRECISE):
        return 2 * circuit.length_m / 1000 * wire.resistance * circuit.load_amps


def share_lost(circuit: Circuit, wire: Conductor) -> Decimal:
    """The volts lost as a share of the circuit's volts, to four places: it is compared as it is shown."""
    with localcontext(_PRECISE):
        return rounded(volts_lost(circuit, wire) / circuit.volts, 4)


def rounded(value: Decimal, places: int) -> Decimal:
    """Half up."""
    with localcontext(_PRECISE):
        return value.quantize(Decimal(1).scaleb(-places), ROUND_HALF_UP)


def _rating(area: Decimal) -> Decimal | None:
    """That of the thickest gauge of the table that is not thicker."""
    ratings = CIRCUIT_PRACTICE.ratings.amps
    return max((amps for awg, amps in ratings.items() if printed_area(awg) <= area), default=None)
