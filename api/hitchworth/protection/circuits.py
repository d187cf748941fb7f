"""The checks of a low-voltage circuit. Each compares what the user entered with a custom of the trade."""

from collections.abc import Callable, Sequence
from decimal import Decimal
from typing import Literal

from msgspec.structs import replace

from hitchworth.model.build import Circuit
from hitchworth.model.protection import CircuitCheck, CircuitFinding, CircuitResult
from hitchworth.protection.conductor import Conductor, conductor_of, printed_area, rounded, share_lost, volts_lost
from hitchworth.reference.circuits import CIRCUIT_PRACTICE, FuseSizing, Practice

Check = Callable[[Circuit, Conductor | None], CircuitFinding]


def circuit_results(circuits: Sequence[Circuit]) -> tuple[CircuitResult, ...]:
    """Every circuit with its findings, in the order given."""
    return tuple(_result(circuit) for circuit in circuits)


def _result(circuit: Circuit) -> CircuitResult:
    wire = conductor_of(circuit)
    return CircuitResult(
        name=circuit.name,
        role=circuit.role,
        area_mm2=rounded(wire.area, 3) if wire else None,
        resistance_ohm_per_km=rounded(wire.resistance, 3) if wire else None,
        rating_amps=wire.rating if wire else None,
        voltage_drop=rounded(volts_lost(circuit, wire), 3) if wire else None,
        voltage_drop_share=share_lost(circuit, wire) if wire else None,
        findings=tuple(check(circuit, wire) for check in CHECKS),
    )


def _conductor_for_load(circuit: Circuit, wire: Conductor | None) -> CircuitFinding:
    finding = _finding(circuit, "conductor_for_load", CIRCUIT_PRACTICE.ratings)
    return _within_rating(finding, circuit.load_amps, wire)


def _customary_conductor(circuit: Circuit, wire: Conductor | None) -> CircuitFinding:
    customary = CIRCUIT_PRACTICE.customary
    gauge = customary.main if circuit.role == "main" else customary.branch
    finding = _finding(circuit, "customary_conductor", customary, awg=str(gauge))
    return _at_least(finding, rounded(wire.area, 3) if wire else None, printed_area(gauge), "mm2")


def _own_fuse(circuit: Circuit, _: Conductor | None) -> CircuitFinding:
    given = True if circuit.fuse_amps is not None else None
    return _stated(circuit, "dedicated_fuse", given if circuit.dedicated_fuse is None else circuit.dedicated_fuse)


def _fuse_carries_load(circuit: Circuit, _: Conductor | None) -> CircuitFinding:
    sizing = CIRCUIT_PRACTICE.fuse
    finding = _finding(circuit, "fuse_carries_load", sizing, load=str(circuit.load_amps))
    return _at_least(finding, circuit.fuse_amps, circuit.load_amps * sizing.least, "A")


def _fuse_sized_to_load(circuit: Circuit, _: Conductor | None) -> CircuitFinding:
    sizing = CIRCUIT_PRACTICE.fuse
    finding = _finding(circuit, "fuse_sized_to_load", sizing, load=str(circuit.load_amps))
    return _at_most(finding, circuit.fuse_amps, _largest_fuse(circuit.load_amps, sizing), "A")


def _largest_fuse(load: Decimal, sizing: FuseSizing) -> Decimal:
    """The first size that is sold from the greatest multiple of the load on; above all sizes that multiple itself."""
    most = load * sizing.most
    return min((size for size in sizing.sizes if size >= most), default=most)


def _fuse_within_conductor(circuit: Circuit, wire: Conductor | None) -> CircuitFinding:
    finding = _finding(circuit, "fuse_within_conductor", CIRCUIT_PRACTICE.within)
    return _within_rating(finding, circuit.fuse_amps, wire)


def _voltage_drop(circuit: Circuit, wire: Conductor | None) -> CircuitFinding:
    limit = CIRCUIT_PRACTICE.voltage_drop
    most = limit.critical if circuit.critical or circuit.role == "main" else limit.other
    said = {"load": str(circuit.load_amps), "length": str(circuit.length_m)}
    lost = {"volts": str(rounded(volts_lost(circuit, wire), 3))} if wire else {}
    finding = _finding(circuit, "voltage_drop", limit, **said, **lost)
    return _at_most(finding, share_lost(circuit, wire) if wire else None, most, "share")


def _fuse_block_covered(circuit: Circuit, _: Conductor | None) -> CircuitFinding:
    return _stated(circuit, "fuse_block_covered", circuit.fuse_block_covered)


def _no_sharp_bends(circuit: Circuit, _: Conductor | None) -> CircuitFinding:
    return _stated(circuit, "no_sharp_bends", circuit.no_sharp_bends)


def _chafe_protection(circuit: Circuit, _: Conductor | None) -> CircuitFinding:
    return _stated(circuit, "chafe_protection", circuit.chafe_protection)


CHECKS: tuple[Check, ...] = (
    _conductor_for_load,
    _customary_conductor,
    _own_fuse,
    _fuse_carries_load,
    _fuse_sized_to_load,
    _fuse_within_conductor,
    _voltage_drop,
    _fuse_block_covered,
    _no_sharp_bends,
    _chafe_protection,
)


def _finding(circuit: Circuit, check: CircuitCheck, practice: Practice, **parameters: str) -> CircuitFinding:
    return CircuitFinding(
        circuit=circuit.name,
        check=check,
        holds=None,
        source=practice.source,
        provenance=practice.provenance,
        parameters=parameters,
    )


def _stated(circuit: Circuit, check: CircuitCheck, holds: bool | None) -> CircuitFinding:
    return replace(_finding(circuit, check, CIRCUIT_PRACTICE.workmanship), holds=holds)


def _within_rating(finding: CircuitFinding, measured: Decimal | None, wire: Conductor | None) -> CircuitFinding:
    """A conductor thinner than the table goes carries less than the thinnest of it: so it can fail, but not hold."""
    if wire is None or wire.rating is not None:
        return _at_most(finding, measured, wire.rating if wire else None, "A")
    against = _at_most(finding, measured, min(CIRCUIT_PRACTICE.ratings.amps.values()), "A")
    return replace(against, holds=None) if against.holds else against


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
