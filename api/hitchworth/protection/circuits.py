"""The checks of a low-voltage circuit. Each compares what you entered with a custom of the trade."""

from collections.abc import Callable, Sequence
from decimal import Decimal
from typing import Literal

from msgspec.structs import replace

from hitchworth.model.build import Circuit
from hitchworth.model.protection import CircuitCheck, CircuitFinding, CircuitResult
from hitchworth.protection.conductor import (
    Conductor,
    conductor_of,
    printed_area,
    rounded,
    voltage_drop,
    voltage_drop_share,
)
from hitchworth.reference.circuits import CircuitRule, FuseSizing, circuit_rules

Check = Callable[[Circuit, Conductor | None], CircuitFinding]


def circuit_results(circuits: Sequence[Circuit]) -> tuple[CircuitResult, ...]:
    """Return every circuit with its findings, in the order given."""
    return tuple(_result(circuit) for circuit in circuits)


def _result(circuit: Circuit) -> CircuitResult:
    wire = conductor_of(circuit)
    return CircuitResult(
        name=circuit.name,
        role=circuit.role,
        area_mm2=rounded(wire.area, 3) if wire else None,
        resistance_ohm_per_km=rounded(wire.resistance, 3) if wire else None,
        rating_amps=wire.rating if wire else None,
        voltage_drop=rounded(voltage_drop(circuit, wire), 3) if wire else None,
        voltage_drop_share=voltage_drop_share(circuit, wire) if wire else None,
        findings=tuple(check(circuit, wire) for check in CHECKS),
    )


def _conductor_for_load(circuit: Circuit, wire: Conductor | None) -> CircuitFinding:
    finding = _finding(circuit, "conductor_for_load", circuit_rules().conductor_ratings)
    return _within_rating(finding, circuit.load_amps, wire)


def _customary_conductor(circuit: Circuit, wire: Conductor | None) -> CircuitFinding:
    minimum = circuit_rules().minimum_gauge
    gauge = minimum.main if circuit.role == "main" else minimum.branch
    finding = _finding(circuit, "customary_conductor", minimum, awg=str(gauge))
    return _at_least(finding, rounded(wire.area, 3) if wire else None, printed_area(gauge), "mm2")


def _dedicated_fuse(circuit: Circuit, _: Conductor | None) -> CircuitFinding:
    has_fuse = True if circuit.fuse_amps is not None else None
    return _stated(circuit, "dedicated_fuse", has_fuse if circuit.dedicated_fuse is None else circuit.dedicated_fuse)


def _fuse_carries_load(circuit: Circuit, _: Conductor | None) -> CircuitFinding:
    sizing = circuit_rules().fuse_sizing
    finding = _finding(circuit, "fuse_carries_load", sizing, load=str(circuit.load_amps))
    return _at_least(finding, circuit.fuse_amps, circuit.load_amps * sizing.minimum_multiple, "A")


def _fuse_sized_to_load(circuit: Circuit, _: Conductor | None) -> CircuitFinding:
    sizing = circuit_rules().fuse_sizing
    finding = _finding(circuit, "fuse_sized_to_load", sizing, load=str(circuit.load_amps))
    return _at_most(finding, circuit.fuse_amps, _largest_fuse(circuit.load_amps, sizing), "A")


def _largest_fuse(load: Decimal, sizing: FuseSizing) -> Decimal:
    """Return the smallest size sold at or above the maximum multiple of the load, or that multiple above all sizes."""
    target = load * sizing.maximum_multiple
    return min((size for size in sizing.sizes if size >= target), default=target)


def _fuse_within_conductor(circuit: Circuit, wire: Conductor | None) -> CircuitFinding:
    finding = _finding(circuit, "fuse_within_conductor", circuit_rules().fuse_protects_conductor)
    return _within_rating(finding, circuit.fuse_amps, wire)


def _voltage_drop(circuit: Circuit, wire: Conductor | None) -> CircuitFinding:
    limit = circuit_rules().voltage_drop
    maximum = limit.critical if circuit.critical or circuit.role == "main" else limit.other
    entered = {"load": str(circuit.load_amps), "length": str(circuit.length_m)}
    drop = {"volts": str(rounded(voltage_drop(circuit, wire), 3))} if wire else {}
    finding = _finding(circuit, "voltage_drop", limit, **entered, **drop)
    return _at_most(finding, voltage_drop_share(circuit, wire) if wire else None, maximum, "share")


def _fuse_block_covered(circuit: Circuit, _: Conductor | None) -> CircuitFinding:
    return _stated(circuit, "fuse_block_covered", circuit.fuse_block_covered)


def _no_sharp_bends(circuit: Circuit, _: Conductor | None) -> CircuitFinding:
    return _stated(circuit, "no_sharp_bends", circuit.no_sharp_bends)


def _chafe_protection(circuit: Circuit, _: Conductor | None) -> CircuitFinding:
    return _stated(circuit, "chafe_protection", circuit.chafe_protection)


CHECKS: tuple[Check, ...] = (
    _conductor_for_load,
    _customary_conductor,
    _dedicated_fuse,
    _fuse_carries_load,
    _fuse_sized_to_load,
    _fuse_within_conductor,
    _voltage_drop,
    _fuse_block_covered,
    _no_sharp_bends,
    _chafe_protection,
)


def _finding(circuit: Circuit, check: CircuitCheck, rule: CircuitRule, **parameters: str) -> CircuitFinding:
    return CircuitFinding(
        circuit=circuit.name,
        check=check,
        holds=None,
        source=rule.source,
        provenance=rule.provenance,
        parameters=parameters,
    )


def _stated(circuit: Circuit, check: CircuitCheck, holds: bool | None) -> CircuitFinding:
    return replace(_finding(circuit, check, circuit_rules().workmanship), holds=holds)


def _within_rating(finding: CircuitFinding, measured: Decimal | None, wire: Conductor | None) -> CircuitFinding:
    """Compare with the rating. A conductor thinner than the table covers can fail, but never hold."""
    if wire is None or wire.rating is not None:
        return _at_most(finding, measured, wire.rating if wire else None, "A")
    compared = _at_most(finding, measured, min(circuit_rules().conductor_ratings.amps.values()), "A")
    return replace(compared, holds=None) if compared.holds else compared


def _at_least(
    finding: CircuitFinding, measured: Decimal | None, required: Decimal, unit: Literal["A", "mm2"]
) -> CircuitFinding:
    holds = None if measured is None else measured >= required
    return replace(finding, holds=holds, measured=measured, required=required, bound="at_least", unit=unit)


def _at_most(
    finding: CircuitFinding, measured: Decimal | None, required: Decimal | None, unit: Literal["A", "share"]
) -> CircuitFinding:
    holds = None if measured is None or required is None else measured <= required
    return replace(finding, holds=holds, measured=measured, required=required, bound="at_most", unit=unit)
