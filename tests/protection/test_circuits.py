"""The checks of circuits: each holds, fails or is not known, and the properties that no figure may break."""

from decimal import Decimal
from itertools import pairwise
from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from circuit_examples import FAN, GAUGES, amperes, areas, finding, made, meters
from hitchworth.model.protection import CircuitCheck
from hitchworth.protection.circuits import circuit_results
from hitchworth.protection.conductor import conductor, gauge_area, printed_area, voltage_drop
from hitchworth.reference.circuits import circuit_rules

RATINGS = circuit_rules().conductor_ratings.amps


def test_every_check_is_made_once() -> None:
    (result,) = circuit_results([FAN])
    assert tuple(each.check for each in result.findings) == get_args(CircuitCheck)
    assert {each.circuit for each in result.findings} == {"fan"}


@pytest.mark.parametrize(
    ("check", "changes", "holds"),
    [
        ("conductor_for_load", {"load_amps": Decimal(15)}, True),
        ("conductor_for_load", {"load_amps": Decimal("15.1")}, False),
        ("conductor_for_load", {"awg": None}, None),
        ("customary_conductor", {}, True),
        ("customary_conductor", {"awg": 16}, False),
        ("customary_conductor", {"role": "main"}, False),
        ("customary_conductor", {"role": "main", "awg": 12}, True),
        ("customary_conductor", {"awg": None}, None),
        ("dedicated_fuse", {}, True),
        ("dedicated_fuse", {"dedicated_fuse": False}, False),
        ("dedicated_fuse", {"fuse_amps": None}, None),
        ("dedicated_fuse", {"fuse_amps": None, "dedicated_fuse": True}, True),
        ("fuse_carries_load", {}, True),  # 1.25 x 4 A = 5 A
        ("fuse_carries_load", {"load_amps": Decimal("4.1")}, False),
        ("fuse_carries_load", {"fuse_amps": None}, None),
        ("fuse_sized_to_load", {"fuse_amps": Decimal("7.5")}, True),  # 1.5 x 4 A = 6 A, next size 7.5 A
        ("fuse_sized_to_load", {"fuse_amps": Decimal(10)}, False),
        ("fuse_sized_to_load", {"load_amps": Decimal(10), "fuse_amps": Decimal(15)}, True),  # 1.5 x 10 A = 15 A, sold
        ("fuse_sized_to_load", {"load_amps": Decimal(10), "fuse_amps": Decimal(20)}, False),
        ("fuse_sized_to_load", {"load_amps": Decimal(210), "fuse_amps": Decimal(315)}, True),  # no size: 1.5 x 210 A
        ("fuse_sized_to_load", {"load_amps": Decimal(210), "fuse_amps": Decimal("315.1")}, False),
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


def test_a_voltage_drop_to_the_last_digit() -> None:
    # 2 x 50 m x (1/58 ohm mm2/m) / 2.5 mm2 x 100 A = 68.966 V, of 120 V 57.47 percent (with 0.01724138 for 1/58)
    circuit = made(area=Decimal("2.5"), load=Decimal(100), length=Decimal(50))
    (result,) = circuit_results([replace(circuit, volts=Decimal(120))])
    assert (result.voltage_drop, result.voltage_drop_share) == (Decimal("68.966"), Decimal("0.5747"))
    assert (result.area_mm2, result.resistance_ohm_per_km) == (Decimal("2.500"), Decimal("6.897"))


def test_the_figures_of_a_circuit_whose_conductor_is_not_known_are_null() -> None:
    (result,) = circuit_results([made()])
    assert result.area_mm2 is result.resistance_ohm_per_km is result.rating_amps is None
    assert result.voltage_drop is result.voltage_drop_share is None


def test_a_conductor_below_the_table_can_fail_but_not_hold() -> None:
    thin = made(area=Decimal("0.75"), fuse=Decimal(5))
    assert finding(thin, "fuse_within_conductor").holds is None
    assert finding(replace(thin, fuse_amps=Decimal("7.5")), "fuse_within_conductor").holds is False
    assert finding(replace(thin, load_amps=Decimal(7)), "conductor_for_load").holds is False


@pytest.mark.parametrize("awg", GAUGES)
def test_an_area_copied_from_a_table_has_the_rating_of_its_gauge(awg: int) -> None:
    assert conductor(printed_area(awg)).rating == conductor(gauge_area(awg)).rating == RATINGS[awg]


def test_the_table_of_ratings_rises_with_the_conductor() -> None:
    assert all(gauge_area(thin) < gauge_area(thick) for thin, thick in pairwise(RATINGS))
    assert all(less < more for less, more in pairwise(RATINGS.values()))


@given(thin=areas, thick=areas, load=amperes, length=meters)
def test_a_thicker_conductor_never_loses_more(thin: Decimal, thick: Decimal, load: Decimal, length: Decimal) -> None:
    thin, thick = sorted((thin, thick))
    circuit = made(load=load, length=length)
    assert voltage_drop(circuit, conductor(thick)) <= voltage_drop(circuit, conductor(thin))
    before, after = (finding(replace(circuit, area_mm2=area), "voltage_drop") for area in (thin, thick))
    assert after.holds or not before.holds


@given(thin=areas, thick=areas)
def test_a_thicker_conductor_is_never_rated_less(thin: Decimal, thick: Decimal) -> None:
    less, more = (conductor(area).rating or Decimal(0) for area in sorted((thin, thick)))
    assert less <= more


@given(awg=st.sampled_from(GAUGES), fuse=amperes, larger=amperes)
def test_a_bigger_fuse_never_mends_what_fails(awg: int, fuse: Decimal, larger: Decimal) -> None:
    for check in ("fuse_within_conductor", "fuse_sized_to_load"):
        small, big = (finding(made(awg=awg, fuse=amps), check).holds for amps in sorted((fuse, larger)))
        assert small or not big


@given(awg=st.sampled_from(GAUGES), fuse=amperes)
def test_a_fuse_within_the_conductor_is_not_above_its_rating(awg: int, fuse: Decimal) -> None:
    assert finding(made(awg=awg, fuse=fuse), "fuse_within_conductor").holds is (fuse <= RATINGS[awg])


@given(load=amperes)
def test_a_size_that_is_sold_suits_every_load(load: Decimal) -> None:
    sizing = circuit_rules().fuse_sizing
    least = [size for size in sizing.sizes if size >= load * sizing.minimum_multiple]
    if least:
        assert finding(made(load=load, fuse=least[0]), "fuse_carries_load").holds
        assert finding(made(load=load, fuse=least[0]), "fuse_sized_to_load").holds


@given(load=amperes, length=meters, awg=st.sampled_from(GAUGES))
def test_every_finding_of_figures_can_be_redone_from_what_it_shows(load: Decimal, length: Decimal, awg: int) -> None:
    (result,) = circuit_results([made(awg=awg, load=load, length=length, fuse=load * 2)])
    for each in result.findings:
        if each.measured is not None and each.required is not None:
            kept = each.measured >= each.required if each.bound == "at_least" else each.measured <= each.required
            assert each.holds is kept
            assert each.unit
