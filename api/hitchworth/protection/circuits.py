"""The checks of a low-voltage circuit. Each compares what you entered with a custom of the trade."""

from collections.abc import Callable, Sequence
from decimal import Decimal
from typing import Literal

from msgspec.structs import replace

from hitchworth.model.circuit import Circuit
from hitchworth.model.protection import CircuitCheck, CircuitFinding, CircuitResult
from hitchworth.protection.conductor import (
    Conductor,
    conductor_of,
    printed_area,
    rounded,
    voltage_drop,
    voltage_drop_share,
)
from hitchworth.reference.circuits import CircuitRule, circuit_rules

Check = Callable[[Circuit, Conductor | None], CircuitFinding]


def circuit_results(circuits: Sequence[Circuit]) -> tuple[CircuitResult, ...]:
    """Return every circuit with its findings, in the order given."""
    return tuple(_result(circuit) for circuit in circuits)


def _result(circuit: Circuit) -> CircuitResult:
    wire = conductor_of(circuit)
    ratings = wire.ratings if wire else None
    return CircuitResult(
        name=circuit.name,
        role=circuit.role,
        area_mm2=rounded(wire.area, 3) if wire else None,
        resistance_ohm_per_km=rounded(wire.resistance, 3) if wire else None,
        rating_amps=ratings.least if ratings else None,
        rating_amps_at_most=ratings.most if ratings else None,
        voltage_drop=rounded(voltage_drop(circuit, wire), 3) if wire else None,
        voltage_drop_share=voltage_drop_share(circuit, wire) if wire else None,
        findings=tuple(check(circuit, wire) for applies, check in CHECKS if applies(circuit)),
    )


def _conductor_for_load(circuit: Circuit, wire: Conductor | None) -> CircuitFinding:
    finding = _finding(circuit, "conductor_for_load", circuit_rules().thick_conductors)
    return _within_rating(finding, circuit.load_amps, wire)


def _thinnest_conductor(circuit: Circuit, wire: Conductor | None) -> CircuitFinding:
    thinnest = circuit_rules().thinnest_conductor
    finding = _finding(circuit, "thinnest_conductor", thinnest, awg=str(thinnest.awg))
    return _at_least(finding, rounded(wire.area, 3) if wire else None, printed_area(thinnest.awg), "mm2")


def _fused(circuit: Circuit, _: Conductor | None) -> CircuitFinding:
    """A main circuit fails without a fuse on record: a short in it is fed by the whole battery."""
    unknown = False if circuit.role == "main" else None
    holds = unknown if circuit.fuse_amps is None else circuit.fuse_amps > 0
    return _stated(circuit, "fused", holds, circuit_rules().workmanship)


def _dedicated_fuse(circuit: Circuit, _: Conductor | None) -> CircuitFinding:
    has_fuse = True if circuit.fuse_amps is not None else None
    dedicated = has_fuse if circuit.dedicated_fuse is None else circuit.dedicated_fuse
    return _stated(circuit, "dedicated_fuse", dedicated, circuit_rules().workmanship)


def _fuse_carries_load(circuit: Circuit, _: Conductor | None) -> CircuitFinding:
    sizing = circuit_rules().fuse_sizing
    finding = _finding(circuit, "fuse_carries_load", sizing, load=str(circuit.load_amps))
    return _at_least(finding, circuit.fuse_amps, circuit.load_amps * sizing.minimum_multiple, "A")


def _fuse_within_conductor(circuit: Circuit, wire: Conductor | None) -> CircuitFinding:
    """A fuse guards the conductor; how far it is above the load does not matter."""
    finding = _finding(circuit, "fuse_within_conductor", circuit_rules().fuse_protects_conductor)
    return _within_rating(finding, circuit.fuse_amps, wire)


def _motor_start(circuit: Circuit, _: Conductor | None) -> CircuitFinding:
    rule = circuit_rules().motor_start
    finding = _finding(circuit, "motor_start", rule)
    stands = None if circuit.fuse_amps is None else circuit.fuse_amps * rule.multiple
    return _at_most(finding, circuit.start_amps, stands, "A")


def _fuse_near_battery(circuit: Circuit, _: Conductor | None) -> CircuitFinding:
    """Up to the shorter distance the fuse is near; up to the longer one, only if the cable to it is sheathed."""
    rule, away = circuit_rules().fuse_distance, circuit.fuse_distance_m
    finding = _finding(circuit, "fuse_near_battery", rule, sheathed=str(rule.sheathed))
    if away is None or away <= rule.bare or away > rule.sheathed:
        return _at_most(finding, away, rule.bare, "m")
    return replace(_at_most(finding, away, rule.bare, "m"), holds=circuit.sheathed_to_fuse)


def _interrupt_rating(circuit: Circuit, _: Conductor | None) -> CircuitFinding:
    """Compare with the short-circuit current of the battery; where that is not known, with the customs for its kind."""
    rule, rating = circuit_rules().interrupt_rating, circuit.fuse_interrupt_amps
    finding = _finding(circuit, "interrupt_rating", rule)
    if circuit.battery_fault_amps is not None:
        required = rule.enough if circuit.battery_fault_amps > rule.large_bank else circuit.battery_fault_amps
        return _at_least(finding, rating, required, "A")
    enough = rule.lead_acid if circuit.battery == "lead_acid" else rule.enough
    compared = _at_least(finding, rating, enough, "A")
    is_open = rating is not None and rule.least <= rating < enough
    return replace(compared, holds=None) if is_open else compared


def _voltage_drop(circuit: Circuit, wire: Conductor | None) -> CircuitFinding:
    limit = circuit_rules().voltage_drop
    maximum = limit.critical if circuit.critical or circuit.role == "main" else limit.other
    entered = {"load": str(circuit.load_amps), "length": str(circuit.length_m)}
    drop = {"volts": str(rounded(voltage_drop(circuit, wire), 3))} if wire else {}
    finding = _finding(circuit, "voltage_drop", limit, **entered, **drop)
    return _at_most(finding, voltage_drop_share(circuit, wire) if wire else None, maximum, "share")


def _apart_from_line_voltage(circuit: Circuit, _: Conductor | None) -> CircuitFinding:
    return _stated(circuit, "apart_from_line_voltage", circuit.apart_from_line_voltage, circuit_rules().line_voltage)


def _fuse_block_covered(circuit: Circuit, _: Conductor | None) -> CircuitFinding:
    return _stated(circuit, "fuse_block_covered", circuit.fuse_block_covered, circuit_rules().workmanship)


def _no_sharp_bends(circuit: Circuit, _: Conductor | None) -> CircuitFinding:
    return _stated(circuit, "no_sharp_bends", circuit.no_sharp_bends, circuit_rules().workmanship)


def _chafe_protection(circuit: Circuit, _: Conductor | None) -> CircuitFinding:
    return _stated(circuit, "chafe_protection", circuit.chafe_protection, circuit_rules().workmanship)


def _always(_: Circuit) -> bool:
    return True


def _may_have_fuse(circuit: Circuit) -> bool:
    return circuit.fuse_amps is None or circuit.fuse_amps > 0


def _may_start_motor(circuit: Circuit) -> bool:
    return _may_have_fuse(circuit) and (circuit.start_amps is not None or circuit.has_motor is not False)


def _may_have_main_fuse(circuit: Circuit) -> bool:
    return _may_have_fuse(circuit) and circuit.role == "main"


CHECKS: tuple[tuple[Callable[[Circuit], bool], Check], ...] = (
    (_always, _conductor_for_load),
    (_always, _thinnest_conductor),
    (_always, _fused),
    (_may_have_fuse, _dedicated_fuse),
    (_may_have_fuse, _fuse_carries_load),
    (_may_have_fuse, _fuse_within_conductor),
    (_may_start_motor, _motor_start),
    (_may_have_main_fuse, _fuse_near_battery),
    (_may_have_main_fuse, _interrupt_rating),
    (_always, _voltage_drop),
    (_always, _apart_from_line_voltage),
    (_always, _fuse_block_covered),
    (_always, _no_sharp_bends),
    (_always, _chafe_protection),
)
"""Each check, and the circuits that it applies to."""


def _finding(circuit: Circuit, check: CircuitCheck, rule: CircuitRule, **parameters: str) -> CircuitFinding:
    return CircuitFinding(
        circuit=circuit.name,
        check=check,
        holds=None,
        source=rule.source,
        provenance=rule.provenance,
        parameters=parameters,
    )


def _stated(circuit: Circuit, check: CircuitCheck, holds: bool | None, rule: CircuitRule) -> CircuitFinding:
    return replace(_finding(circuit, check, rule), holds=holds)


def _within_rating(finding: CircuitFinding, measured: Decimal | None, wire: Conductor | None) -> CircuitFinding:
    """Compare with the ratings. Between the strictest and the most generous one nothing is judged.

    A conductor thinner than the tables cover can fail, but never hold.
    """
    if wire is None:
        return _at_most(finding, measured, None, "A")
    if wire.ratings is None:
        thinnest = min(circuit_rules().thin_conductors.amps.values())
        compared = _at_most(finding, measured, thinnest, "A")
        return compared if compared.holds is False else replace(compared, holds=None, required=None)
    least, most, rule = wire.ratings
    sourced = replace(finding, source=rule.source, provenance=rule.provenance)
    compared = _at_most(sourced, measured, least, "A")
    if compared.holds or measured is None or measured > most:
        return compared
    return replace(compared, holds=None, parameters={**finding.parameters, "most": str(most)})


def _at_least(
    finding: CircuitFinding, measured: Decimal | None, required: Decimal, unit: Literal["A", "mm2"]
) -> CircuitFinding:
    holds = None if measured is None else measured >= required
    return replace(finding, holds=holds, measured=measured, required=required, bound="at_least", unit=unit)


def _at_most(
    finding: CircuitFinding, measured: Decimal | None, required: Decimal | None, unit: Literal["A", "m", "share"]
) -> CircuitFinding:
    holds = None if measured is None or required is None else measured <= required
    return replace(finding, holds=holds, measured=measured, required=required, bound="at_most", unit=unit)
