"""Measures of a build: what they slow, what proves them, which layers are uncovered, and their cautions."""

from datetime import date
from decimal import Decimal
from typing import get_args

import pytest

from circuit_examples import FAN
from hitchworth.model.build import Build, Protection
from hitchworth.model.entry import Component
from hitchworth.model.protection import Hazard, Layer, ProtectionReport
from hitchworth.protection.report import protection_report
from hitchworth.reference.protections import ProtectionMeasure, protection_measures

DAY = date(2026, 6, 1)
LOCK = Protection(name="coupler_lock", installed_on=DAY, evidence="receipt")


def report(*protections: Protection, components: tuple[Component, ...] = ()) -> ProtectionReport:
    build = Build(name="a", currency="USD", protections=protections, components=components)
    return protection_report(build, (), DAY)


def part(description: str, category: str) -> Component:
    return Component(
        id=description,
        description=description,
        category=category,
        quantity=Decimal(1),
        unit_cost=Decimal(20),
        acquired_on=date(2026, 1, 1),
    )


def slowed(found: ProtectionReport, peril: str) -> tuple[tuple[str, ...], tuple[str, ...]]:
    (one,) = (each for each in found.perils if each.peril == peril)
    return one.measures, one.evidenced


def test_a_peril_names_what_slows_it_and_what_of_that_is_proved() -> None:
    found = report(LOCK, Protection(name="gps_tracker"), Protection(name="smoke_alarm"))
    assert slowed(found, "theft") == (("coupler_lock", "gps_tracker"), ("coupler_lock",))
    assert slowed(found, "fire") == (("smoke_alarm",), ())
    assert slowed(found, "hail") == ((), ())


def test_two_of_a_kind_count_as_one_measure() -> None:
    assert slowed(report(LOCK, LOCK), "theft") == (("coupler_lock",), ("coupler_lock",))


def test_a_measure_installed_later_is_planned_and_slows_nothing_yet() -> None:
    found = report(Protection(name="coupler_lock", installed_on=date(2026, 6, 2), evidence="order"))
    assert not found.measures[0].in_place
    assert slowed(found, "theft") == ((), ())
    assert "locks_and_couplers" in {uncovered.layer for uncovered in found.uncovered_layers}


def test_blank_evidence_proves_nothing() -> None:
    assert not report(Protection(name="coupler_lock", evidence="  \n")).measures[0].evidenced


def test_a_custom_measure_goes_by_its_name() -> None:
    own = report(Protection(name="geese in the yard")).measures[0]
    assert (own.title, own.layer, own.slows, own.ask) == ("geese in the yard", None, (), "discount_or_condition")


def test_measures_that_were_not_entered_leave_nothing_unprotected() -> None:
    found = protection_report(Build(name="a", currency="USD"), (), DAY)
    assert (found.entered, found.measures, found.perils, found.uncovered_layers) == (False, (), (), ())


def test_no_measures_are_an_entry_too() -> None:
    found = report()
    assert found.entered
    assert {each.measures for each in found.perils} == {()}


def test_what_the_inventory_suggests_is_to_be_confirmed_and_not_in_place() -> None:
    found = report(LOCK, components=(part("Smoke alarm", "alarms"),))
    assert [(each.measure, each.component) for each in found.suggestions] == [("smoke_alarm", "Smoke alarm")]
    (fire,) = (each for each in found.perils if each.peril == "fire")
    assert (fire.measures, fire.to_confirm) == ((), ("smoke_alarm",))
    assert [measure.name for measure in found.measures] == ["coupler_lock"]
    assert {"locks_and_couplers", "fire_and_gas_alarms"}.isdisjoint(each.layer for each in found.uncovered_layers)


def test_without_measures_every_layer_is_uncovered_and_lists_the_usual_measures() -> None:
    uncovered = report().uncovered_layers
    assert [each.layer for each in uncovered] == list(get_args(Layer))
    assert [name for each in uncovered for name in each.usual] == [measure.name for measure in protection_measures()]


@pytest.mark.parametrize("measure", protection_measures(), ids=lambda measure: measure.name)
def test_a_measure_covers_its_layer_and_brings_its_cautions(measure: ProtectionMeasure) -> None:
    found = report(Protection(name=measure.name))
    assert measure.layer not in {uncovered.layer for uncovered in found.uncovered_layers}
    assert [note.code for note in found.cautions] == ["insurer_decides", *measure.touches]


def test_circuits_bring_the_caution_of_wiring() -> None:
    found = protection_report(Build(name="a", currency="USD", circuits=(FAN,)), (), DAY)
    assert [note.code for note in found.cautions] == ["insurer_decides", "wiring", "circuits"]


@pytest.mark.parametrize("hazard", get_args(Hazard))
def test_what_touches_a_hazard_says_so(hazard: Hazard) -> None:
    touching = [measure for measure in protection_measures() if hazard in measure.touches]
    assert touching
    assert [measure.name for measure in touching if not measure.caution] == []
