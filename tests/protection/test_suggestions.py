"""What an inventory suggests: by the words of category and description, never as a measure in place."""

from datetime import date
from decimal import Decimal

import pytest
from msgspec.structs import replace

from hitchworth.demo import demo_request
from hitchworth.model.build import Build, Protection
from hitchworth.model.entry import Component
from hitchworth.protection.suggestions import suggested_measures
from hitchworth.reference.protections import measures_by_name, protection_words

DAY = date(2026, 6, 1)


def part(description: str, category: str = "general") -> Component:
    return Component(
        id=description,
        description=description,
        category=category,
        quantity=Decimal(1),
        unit_cost=Decimal(20),
        acquired_on=DAY,
    )


def suggested(*parts: Component, entered: tuple[Protection, ...] | None = None) -> list[tuple[str, str]]:
    build = Build(name="a", currency="USD", components=parts, protections=entered)
    return [(each.measure, each.component) for each in suggested_measures(build, DAY)]


def test_a_lock_alarms_and_an_extinguisher_in_the_inventory_suggest_exactly_these_measures() -> None:
    """The inventory of a builder who had entered no protections, with parts that are no measures between them."""
    inventory = (
        part("Coupler lock", "locks"),
        part("LP/CO alarm", "alarms"),
        part("Fire extinguisher", "safety"),
        part("Block of wood", "materials"),
        part("Door latch", "hardware"),
        part("Charge controller with maximum power point tracking", "solar"),
        part("Battery 100 Ah", "battery"),
    )
    assert suggested(*inventory) == [
        ("coupler_lock", "Coupler lock"),
        ("gas_alarm", "LP/CO alarm"),
        ("co_alarm", "LP/CO alarm"),
        ("fire_extinguisher", "Fire extinguisher"),
    ]


@pytest.mark.parametrize(
    ("description", "category", "measures"),
    [
        ("SMOKE-DETECTORS, 10 years", "general", ["smoke_alarm"]),
        ("10 year battery", "smoke_alarm", ["smoke_alarm"]),
        ("Smoke and carbon monoxide alarm", "safety", ["smoke_alarm", "co_alarm"]),
        ("GPS tracker", "electronics", ["gps_tracker"]),
        ("Solar tracker, MPPT", "solar", []),
        ("Wheel clamp", "security", ["wheel_clamp"]),
        ("Locking nuts", "wheels", ["spare_wheel_lock"]),
        ("Wheel lock nuts, set of four", "wheels", ["spare_wheel_lock"]),
        ("Camera", "security", ["security_camera"]),
        ("Backup camera", "security", []),
        ("Camera", "electronics", []),
        ("Breakaway switch with battery", "brakes", ["breakaway_switch"]),
        ("Fuse block, 12 circuits", "electrical", ["fused_circuits"]),
        ("Block of wood", "body", []),
        ("Locker door", "cabinets", []),
        ("Feuerlöscher 1 kg", "general", ["fire_extinguisher"]),
        ("Détecteur de fumée", "general", ["smoke_alarm"]),
        ("Candado para el enganche", "general", ["coupler_lock"]),
    ],
)
def test_words_show_a_measure_however_they_are_written(description: str, category: str, measures: list[str]) -> None:
    assert [measure for measure, _ in suggested(part(description, category))] == measures


def test_a_measure_that_was_entered_is_not_suggested() -> None:
    assert suggested(part("Coupler lock"), entered=(Protection(name="coupler_lock"),)) == []
    assert suggested(part("Coupler lock"), entered=()) == [("coupler_lock", "Coupler lock")]


def test_only_what_is_in_the_trailer_on_the_day_suggests_a_measure() -> None:
    lock = part("Coupler lock")
    assert suggested(replace(lock, removed_on=DAY), replace(lock, acquired_on=date(2026, 6, 2))) == []


def test_the_demo_without_its_protections_suggests_those_that_its_inventory_shows() -> None:
    request = demo_request()
    assert request.build.protections
    entered = {protection.name for protection in request.build.protections}
    assert request.as_of
    found = {each.measure for each in suggested_measures(replace(request.build, protections=None), request.as_of)}
    # A gas test is no part; every other measure that was entered is on a line of its own.
    assert entered - found == {"gas_test"}


def test_words_are_for_measures_of_the_list_once_each() -> None:
    names = [entry.measure for entry in protection_words()]
    assert len(names) == len(set(names))
    assert set(names) <= measures_by_name().keys()
