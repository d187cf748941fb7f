"""Circuits for tests, and strategies that make them."""

from decimal import Decimal

from hypothesis import strategies as st

from hitchworth.model.circuit import Circuit
from hitchworth.model.protection import CircuitCheck, CircuitFinding
from hitchworth.protection.circuits import circuit_results
from hitchworth.reference.circuits import rated_gauges

GAUGES = rated_gauges()
"""From thin to thick."""

FAN = Circuit(name="fan", load_amps=Decimal(4), length_m=Decimal(3), awg=14, fuse_amps=Decimal(5))

amperes = st.decimals("0.1", 300, places=1)
meters = st.decimals("0.1", 30, places=1)
areas = st.decimals("0.1", 200, places=2)


def made(
    awg: int | None = None,
    area: Decimal | None = None,
    fuse: Decimal | None = None,
    load: Decimal = Decimal(4),
    length: Decimal = Decimal(3),
) -> Circuit:
    """A circuit of these figures."""
    return Circuit(name="any", load_amps=load, length_m=length, awg=awg, area_mm2=area, fuse_amps=fuse)


def finding(circuit: Circuit, check: CircuitCheck) -> CircuitFinding:
    """What one check of the circuit came to."""
    (result,) = circuit_results([circuit])
    (found,) = (each for each in result.findings if each.check == check)
    return found
