"""The checks of circuits: each holds, fails or is not known, and the properties that no figure may break."""

from decimal import Decimal
from itertools import pairwise
from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from circuit_examples import FAN, GAUGES, amperes, areas, finding, made, meters
from hitchworth.model.circuit import BatteryChemistry, Circuit
from hitchworth.model.protection import CircuitCheck
from hitchworth.protection.circuits import circuit_results
from hitchworth.protection.conductor import conductor, gauge_area, printed_area, voltage_drop
from hitchworth.reference.circuits import circuit_rules

STRICT = circuit_rules().thin_conductors.amps | circuit_rules().thick_conductors.amps
MAIN = replace(FAN, name="main", role="main", awg=6, fuse_amps=Decimal(50))
INVERTER = replace(MAIN, name="inverter", awg=-3, load_amps=Decimal(160), fuse_amps=Decimal(250))
OF_FUSE = {"dedicated_fuse", "fuse_carries_load", "fuse_within_conductor", "motor_start"}
OF_MAIN = {"fuse_near_battery", "interrupt_rating"}


def checks(circuit: Circuit) -> tuple[CircuitCheck, ...]:
    (result,) = circuit_results([circuit])
    assert {each.circuit for each in result.findings} == {circuit.name}
    return tuple(each.check for each in result.findings)


@pytest.mark.parametrize(
    ("circuit", "missing"),
    [
        (MAIN, set()),
        (replace(MAIN, fuse_amps=None), set()),
        (FAN, OF_MAIN),
        (replace(FAN, has_motor=False), OF_MAIN | {"motor_start"}),
        (replace(FAN, has_motor=False, start_amps=Decimal(9)), OF_MAIN),
        (replace(MAIN, fuse_amps=Decimal(0)), OF_MAIN | OF_FUSE),
    ],
)
def test_every_check_that_applies_is_made_once(circuit: Circuit, missing: set[str]) -> None:
    assert checks(circuit) == tuple(check for check in get_args(CircuitCheck) if check not in missing)


def test_a_thin_lamp_circuit_on_a_small_fuse_fails_nothing() -> None:
    lamp = Circuit(name="lamp", load_amps=Decimal(2), length_m=Decimal(4), awg=18, fuse_amps=Decimal(3))
    (result,) = circuit_results([lamp])
    assert [each.check for each in result.findings if each.holds is False] == []
    holding = {"conductor_for_load", "thinnest_conductor", "fused", "fuse_within_conductor", "voltage_drop"}
    assert holding <= {each.check for each in result.findings if each.holds}


def test_a_fuse_far_above_the_load_is_no_fault_of_the_circuit() -> None:
    circuit = replace(FAN, load_amps=Decimal(2), fuse_amps=Decimal(15))  # 14 AWG carries 15 A
    assert [each.check for each in circuit_results([circuit])[0].findings if each.holds is False] == []


@pytest.mark.parametrize(
    ("insulation", "fuse", "holds"),
    [
        (None, 195, True),  # by the strictest table
        (None, 250, None),
        (None, 445, None),  # by the table for 105 C
        (None, 446, False),
        (60, 250, True),  # 33 CFR 183.425, table 5: 300 A at 60 C, 360 A at 75 C, 445 A at 105 C
        (60, 301, False),
        (75, 360, True),
        (75, 361, False),
        (70, 300, True),  # between two classes: the lower
        (70, 301, False),
        (105, 445, True),
        (105, 446, False),
    ],
)
def test_the_insulation_of_a_thick_conductor_decides(insulation: int | None, fuse: int, holds: bool | None) -> None:
    circuit = replace(INVERTER, insulation=insulation, fuse_amps=Decimal(fuse))
    assert finding(circuit, "fuse_within_conductor").holds is holds
    assert finding(replace(circuit, load_amps=Decimal(fuse)), "conductor_for_load").holds is holds


def test_the_ratings_and_their_source() -> None:
    results = circuit_results([INVERTER, replace(INVERTER, insulation=105), FAN])
    assert [(str(each.rating_amps), str(each.rating_amps_at_most)) for each in results] == [
        ("195", "445"),
        ("445", "445"),
        ("15", "15"),
    ]
    sources = [next(e.source for e in each.findings if e.check == "fuse_within_conductor") for each in results]
    assert [source[:18] for source in sources] == ["NFPA 70, table 310", "33 CFR 183.425, ta", "NFPA 70, low-volta"]


@pytest.mark.parametrize("insulation", [None, 60, 105])
@pytest.mark.parametrize(("awg", "fuse"), [(14, 20), (16, 15)])
def test_the_fuse_of_a_thin_conductor_is_judged_whatever_its_insulation(
    awg: int, fuse: int, insulation: int | None
) -> None:
    circuit = replace(FAN, awg=awg, fuse_amps=Decimal(fuse), insulation=insulation)
    assert finding(circuit, "fuse_within_conductor").holds is False


@pytest.mark.parametrize(
    ("check", "changes", "holds"),
    [
        ("conductor_for_load", {"load_amps": Decimal(15)}, True),
        ("conductor_for_load", {"load_amps": Decimal("15.1")}, False),
        ("conductor_for_load", {"awg": None}, None),
        ("thinnest_conductor", {}, True),
        ("thinnest_conductor", {"awg": 18}, True),
        ("thinnest_conductor", {"awg": None, "area_mm2": Decimal("0.75")}, False),
        ("thinnest_conductor", {"awg": None}, None),
        ("fused", {}, True),
        ("fused", {"fuse_amps": None}, None),
        ("fused", {"fuse_amps": Decimal(0)}, False),
        ("fused", {"fuse_amps": None, "role": "main"}, False),
        ("fused", {"fuse_amps": Decimal(0), "role": "main"}, False),
        ("motor_start", {"start_amps": Decimal(10)}, True),  # twice 5 A
        ("motor_start", {"start_amps": Decimal("10.1")}, False),
        ("motor_start", {"start_amps": Decimal(10), "fuse_amps": None}, None),
        ("motor_start", {"has_motor": True}, None),
        ("motor_start", {}, None),
        ("apart_from_line_voltage", {"apart_from_line_voltage": True}, True),
        ("apart_from_line_voltage", {"apart_from_line_voltage": False}, False),
        ("apart_from_line_voltage", {}, None),
        ("dedicated_fuse", {}, True),
        ("dedicated_fuse", {"dedicated_fuse": False}, False),
        ("dedicated_fuse", {"fuse_amps": None}, None),
        ("dedicated_fuse", {"fuse_amps": None, "dedicated_fuse": True}, True),
        ("fuse_carries_load", {}, True),  # 1.25 x 4 A = 5 A
        ("fuse_carries_load", {"load_amps": Decimal("4.1")}, False),
        ("fuse_carries_load", {"fuse_amps": None}, None),
        ("fuse_within_conductor", {"fuse_amps": Decimal(15)}, True),
        ("fuse_within_conductor", {"fuse_amps": Decimal(20)}, False),
        ("fuse_within_conductor", {"awg": None}, None),
        ("voltage_drop", {}, True),  # 0.199 V, 1.66 %
        ("voltage_drop", {"length_m": Decimal(6)}, True),  # 3.31 %, at most 10 %
        ("voltage_drop", {"length_m": Decimal(6), "critical": True}, False),
        ("voltage_drop", {"length_m": Decimal(6), "role": "main"}, False),
        ("voltage_drop", {"length_m": Decimal(6), "critical": True, "volts": Decimal(24)}, True),
        ("voltage_drop", {"length_m": Decimal(20)}, False),
        ("voltage_drop", {"awg": None}, None),
        ("fuse_block_covered", {"fuse_block_covered": True}, True),
        ("fuse_block_covered", {"fuse_block_covered": False}, False),
        ("no_sharp_bends", {}, None),
        ("no_sharp_bends", {"no_sharp_bends": False}, False),
        ("chafe_protection", {"chafe_protection": True}, True),
    ],
)
def test_a_check_comes_out(check: CircuitCheck, changes: dict[str, object], holds: bool | None) -> None:
    assert finding(replace(FAN, **changes), check).holds is holds


@pytest.mark.parametrize(
    ("changes", "holds"),
    [
        ({"fuse_distance_m": Decimal(0)}, True),  # on the battery itself
        ({"fuse_distance_m": Decimal("0.46")}, True),  # 18 inches
        ({"fuse_distance_m": Decimal("0.47")}, None),
        ({"fuse_distance_m": Decimal("0.47"), "sheathed_to_fuse": True}, True),
        ({"fuse_distance_m": Decimal("0.47"), "sheathed_to_fuse": False}, False),
        ({"fuse_distance_m": Decimal("1.83"), "sheathed_to_fuse": True}, True),  # 72 inches
        ({"fuse_distance_m": Decimal("1.84"), "sheathed_to_fuse": True}, False),
        ({}, None),
        ({"sheathed_to_fuse": True}, None),
    ],
)
def test_the_distance_of_the_main_fuse(changes: dict[str, object], holds: bool | None) -> None:
    found = finding(replace(MAIN, **changes), "fuse_near_battery")
    assert (found.holds, found.unit, found.required) == (holds, "m", Decimal("0.46"))


@pytest.mark.parametrize(
    ("rating", "battery", "fault", "holds", "required"),
    [
        (20000, "lithium", None, True, 20000),
        (19999, "lithium", None, None, 20000),
        (1500, "lithium", None, None, 20000),
        (1499, "lithium", None, False, 20000),
        (5000, "lead_acid", None, True, 5000),
        (4999, "lead_acid", None, None, 5000),
        (20000, None, None, True, 20000),
        (5000, None, None, None, 20000),
        (1000, None, None, False, 20000),  # a blade fuse
        (None, "lithium", None, None, 20000),
        (2000, "lithium", 2000, True, 2000),
        (2000, "lithium", 2001, False, 2001),
        (10000, "lithium", 10000, True, 10000),
        (10000, "lithium", 10001, False, 20000),
        (20000, "lead_acid", 30000, True, 20000),
        (None, "lithium", 2000, None, 2000),
    ],
)
def test_the_interrupt_rating_of_the_main_fuse(
    rating: int | None, battery: BatteryChemistry | None, fault: int | None, holds: bool | None, required: int
) -> None:
    found = finding(
        replace(
            MAIN,
            battery=battery,
            fuse_interrupt_amps=None if rating is None else Decimal(rating),
            battery_fault_amps=None if fault is None else Decimal(fault),
        ),
        "interrupt_rating",
    )
    assert (found.holds, found.required) == (holds, Decimal(required))


def test_a_voltage_drop_to_the_last_digit() -> None:
    # 2 x 50 m x (1/58 ohm mm2/m) / 2.5 mm2 x 100 A = 68.966 V, of 120 V 57.47 percent (with 0.01724138 for 1/58)
    circuit = made(area=Decimal("2.5"), load=Decimal(100), length=Decimal(50))
    (result,) = circuit_results([replace(circuit, volts=Decimal(120))])
    assert (result.voltage_drop, result.voltage_drop_share) == (Decimal("68.966"), Decimal("0.5747"))
    assert finding(replace(circuit, volts=Decimal(120)), "voltage_drop").parameters["volts"] == "68.966"
    assert (result.area_mm2, result.resistance_ohm_per_km) == (Decimal("2.500"), Decimal("6.897"))


def test_the_figures_of_a_circuit_whose_conductor_is_not_known_are_null() -> None:
    (result,) = circuit_results([made()])
    assert result.area_mm2 is result.resistance_ohm_per_km is result.rating_amps is result.rating_amps_at_most is None
    assert result.voltage_drop is result.voltage_drop_share is None


def test_a_conductor_below_the_table_can_fail_but_not_hold() -> None:
    thin = made(area=Decimal("0.75"), fuse=Decimal(5))
    assert finding(thin, "fuse_within_conductor").holds is None
    assert finding(thin, "fuse_within_conductor").required is None
    assert finding(replace(thin, fuse_amps=Decimal("7.5")), "fuse_within_conductor").holds is False
    assert finding(replace(thin, load_amps=Decimal(7)), "conductor_for_load").holds is False


@pytest.mark.parametrize("awg", GAUGES)
def test_an_area_copied_from_a_table_has_the_rating_of_its_gauge(awg: int) -> None:
    printed, computed = conductor(printed_area(awg)).ratings, conductor(gauge_area(awg)).ratings
    assert printed is not None
    assert printed == computed
    assert printed.least == STRICT[awg]


def test_the_table_of_ratings_rises_with_the_conductor() -> None:
    assert all(gauge_area(thin) < gauge_area(thick) for thin, thick in pairwise(GAUGES))
    for amps in (STRICT, *circuit_rules().insulated_conductors.amps_by_class.values()):
        assert all(less < more for less, more in pairwise(amps.values()))


@pytest.mark.parametrize("awg", circuit_rules().thick_conductors.amps)
def test_a_better_insulation_never_carries_less(awg: int) -> None:
    by_class = circuit_rules().insulated_conductors.amps_by_class
    amps = [circuit_rules().thick_conductors.amps[awg], *(by_class[each][awg] for each in sorted(by_class))]
    assert amps == sorted(amps)


@given(thin=areas, thick=areas, load=amperes, length=meters)
def test_a_thicker_conductor_never_loses_more(thin: Decimal, thick: Decimal, load: Decimal, length: Decimal) -> None:
    thin, thick = sorted((thin, thick))
    circuit = made(load=load, length=length)
    assert voltage_drop(circuit, conductor(thick)) <= voltage_drop(circuit, conductor(thin))
    before, after = (finding(replace(circuit, area_mm2=area), "voltage_drop") for area in (thin, thick))
    assert after.holds or not before.holds


@given(thin=areas, thick=areas)
def test_a_thicker_conductor_is_never_rated_less(thin: Decimal, thick: Decimal) -> None:
    less, more = (conductor(area).ratings for area in sorted((thin, thick)))
    assert less is None or (more is not None and less.least <= more.least and less.most <= more.most)


@given(awg=st.sampled_from(GAUGES), fuse=amperes, larger=amperes)
def test_a_bigger_fuse_never_mends_what_fails(awg: int, fuse: Decimal, larger: Decimal) -> None:
    small, big = (finding(made(awg=awg, fuse=amps), "fuse_within_conductor").holds for amps in sorted((fuse, larger)))
    assert small or not big


@given(awg=st.sampled_from(GAUGES), fuse=amperes)
def test_a_fuse_within_the_conductor_is_not_above_its_rating(awg: int, fuse: Decimal) -> None:
    (result,) = circuit_results([made(awg=awg, fuse=fuse)])
    least, most = result.rating_amps, result.rating_amps_at_most
    assert least is not None
    assert most is not None
    expected = True if fuse <= least else None if fuse <= most else False
    assert finding(made(awg=awg, fuse=fuse), "fuse_within_conductor").holds is expected


@given(load=amperes, length=meters, awg=st.sampled_from(GAUGES))
def test_every_finding_of_figures_can_be_redone_from_what_it_shows(load: Decimal, length: Decimal, awg: int) -> None:
    (result,) = circuit_results([made(awg=awg, load=load, length=length, fuse=load * 2)])
    for each in result.findings:
        if each.measured is not None and each.required is not None and "most" not in each.parameters:
            kept = each.measured >= each.required if each.bound == "at_least" else each.measured <= each.required
            assert each.holds is kept
            assert each.unit
