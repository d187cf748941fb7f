"""Circuits that can be reckoned with: nothing is zero, and the conductor is stated once, by a size that is known."""

from collections.abc import Iterator
from decimal import Decimal

from hitchworth.model.build import Build, Circuit
from hitchworth.model.fault import Fault
from hitchworth.reference.circuits import circuit_rules


def circuit_figures_zero(build: Build) -> Iterator[Fault]:
    """A circuit has a load, a length, a conductor, a fuse and volts of more than zero."""
    for index, circuit in enumerate(build.circuits):
        for name, figure in _figures(circuit).items():
            if figure is not None and not figure:
                yield Fault(
                    pointer=f"/circuits/{index}/{name}",
                    detail="A circuit cannot have zero here",
                    expected="a number more than 0",
                    found=str(figure),
                )


def conductors_unclear(build: Build) -> Iterator[Fault]:
    """The conductor is a gauge of the table, or an area, not both."""
    gauges = circuit_rules().conductor_ratings.amps
    for index, circuit in enumerate(build.circuits):
        at = f"/circuits/{index}"
        if circuit.awg is not None and circuit.awg not in gauges:
            yield Fault(
                pointer=f"{at}/awg",
                detail="No rating of this gauge",
                expected=f"one of {', '.join(map(str, gauges))} (0 is 1/0, -1 is 2/0, and so on), or area_mm2",
                found=str(circuit.awg),
            )
        if circuit.awg is not None and circuit.area_mm2 is not None:
            yield Fault(
                pointer=f"{at}/area_mm2", detail="The gauge says this", expected="either awg or area_mm2", found="both"
            )


def _figures(circuit: Circuit) -> dict[str, Decimal | None]:
    return {
        "load_amps": circuit.load_amps,
        "length_m": circuit.length_m,
        "area_mm2": circuit.area_mm2,
        "fuse_amps": circuit.fuse_amps,
        "volts": circuit.volts,
    }
