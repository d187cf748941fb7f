"""The register of serial numbers, and numbers looked up in a build."""

from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from hitchworth.documentation.register import by_subject, carries_number, found_numbers, serial_number_register
from hitchworth.model.build import Build, Component, Schedule
from hitchworth.model.evidence import Evidence

DAY = date(2026, 6, 1)


def part(name: str, **fields: Any) -> Component:
    given = {"category": "plywood", "quantity": Decimal(1), "unit_cost": Decimal(100), "acquired_on": date(2026, 1, 1)}
    return Component(id=name, description=f"The {name}", **(given | fields))


def file(name: str, *subjects: str, **fields: Any) -> Evidence:
    given = {"media_type": "image/jpeg", "size": 1, "kind": "photo", "file_name": f"{name}.jpg"}
    return Evidence(id=name, sha256=name[0] * 64, subjects=subjects, **(given | fields))


STOVE = part("stove", category="stove", serial_number="GS2-60418", model_number="GS2", number_location="left leg")
BATTERY = part("battery", category="battery", quantity=Decimal(2), serial_number="LF-1, LF-2", supplier="wholesaler")
BUILD = Build(
    name="Camper",
    currency="USD",
    vin="1HTCH0000AB000017",
    vin_location="plate on the tongue",
    components=(STOVE, part("plywood"), BATTERY, part("panel", category="solar"), part("pump", model_number="P3")),
)
EVIDENCE = (
    file("plate", "identification_plate", "trailer"),
    file("whole", "trailer"),
    file("label", "number:stove", "stove"),
    file("front", "stove"),
    file("bill", "stove", "number:stove", kind="receipt", media_type="application/pdf"),
    file("panels", "number:panel", kind=None),
    file("unsaid", "stove", kind=None),
)


def test_the_trailer_comes_first_then_every_part_with_a_number_or_with_what_shows_one() -> None:
    register = serial_number_register(BUILD, EVIDENCE, DAY)
    assert (register.as_of, register.name) == (DAY, "Camper")
    assert [entry.component for entry in register.items] == [None, "stove", "battery", "panel", "pump"]
    trailer, stove, battery, panel, pump = register.items
    assert (trailer.description, trailer.identification_number) == ("Camper", "1HTCH0000AB000017")
    assert (trailer.number_location, trailer.serial_number) == ("plate on the tongue", None)
    assert (stove.description, stove.serial_number, stove.model_number) == ("The stove", "GS2-60418", "GS2")
    assert (stove.number_location, stove.acquired_on, stove.supplier) == ("left leg", date(2026, 1, 1), None)
    assert (battery.quantity, battery.unit, battery.supplier) == (2, "piece", "wholesaler")
    assert (panel.serial_number, panel.identification_number, pump.model_number) == (None, None, "P3")


def test_what_shows_a_number_is_told_from_photos_of_the_thing() -> None:
    """The receipt shows the number and is no photo; what nobody called a photo is none."""
    trailer, stove, battery, panel, _ = serial_number_register(BUILD, EVIDENCE, DAY).items
    assert [each.id for each in trailer.shown_by] == ["plate"]
    assert [each.id for each in trailer.photos] == ["whole"]
    assert [each.id for each in stove.shown_by] == ["label", "bill"]
    assert [each.id for each in stove.photos] == ["front"]
    assert [each.id for each in panel.shown_by] == ["panels"]
    assert (battery.shown_by, battery.photos) == ((), ())
    shown = stove.shown_by[1]
    assert (shown.sha256, shown.media_type, shown.file_name, shown.kind) == (
        "b" * 64,
        "application/pdf",
        "bill.jpg",
        "receipt",
    )


def test_parts_without_a_number_are_counted_and_those_that_usually_carry_one_named() -> None:
    """Only the plywood is not listed; the panel has a photo of its number, and still no number on record."""
    register = serial_number_register(BUILD, EVIDENCE, DAY)
    assert register.without_number == 1
    assert [(each.component, each.description) for each in register.unnumbered] == [("panel", "The panel")]
    bare = serial_number_register(Build(name="Frame", currency="USD"), (), DAY)
    assert (len(bare.items), bare.items[0].identification_number, bare.without_number) == (1, None, 0)


@pytest.mark.parametrize(
    ("fields", "is_there"),
    [
        ({"acquired_on": DAY}, True),
        ({"acquired_on": date(2026, 6, 2)}, False),
        ({"removed_on": DAY}, False),
        ({"removed_on": date(2026, 6, 2)}, True),
    ],
)
def test_only_what_is_in_the_trailer_on_the_day_is_listed(fields: dict[str, Any], is_there: bool) -> None:
    build = Build(name="Camper", currency="USD", components=(part("stove", serial_number="1", **fields),))
    register = serial_number_register(build, (), DAY)
    assert [entry.component for entry in register.items[1:]] == (["stove"] if is_there else [])


@pytest.mark.parametrize(
    ("fields", "numbered"),
    [
        ({"category": "solar"}, True),
        ({"category": "plywood"}, False),
        ({"category": "something of my own"}, False),
        ({"category": "electrical"}, False),
        ({"category": "electrical", "schedule": "inverter"}, True),
        ({"category": "electrical", "schedule": "wiring"}, False),
        ({"category": "solar", "schedule": "nevada_assessor_10"}, True),
        ({"category": "electrical", "schedule": "my own"}, False),
        ({"category": "solar", "schedule": Schedule(method="none")}, True),
    ],
)
def test_what_usually_carries_a_number_follows_from_schedule_or_category(fields: Any, numbered: bool) -> None:
    assert carries_number(part("thing", **fields)) is numbered


def test_evidence_by_subject_is_in_the_order_of_the_document() -> None:
    tied = by_subject(EVIDENCE)
    assert [each.id for each in tied["stove"]] == ["label", "front", "bill", "unsaid"]
    assert "plywood" not in tied


def test_a_number_is_found_with_what_bears_it() -> None:
    (found,) = found_numbers(BUILD, "gs2 6o418")
    assert (found.name, found.component, found.description) == ("Camper", "stove", "The stove")
    assert (found.kind, found.number, found.match) == ("serial_number", "GS2-60418", "forgiven")
    assert (found.forgiven, found.removed_on) == (("spacing", "letter_case", "look_alikes"), None)
    assert (found.build, found.revision, found.trashed_at) == (None, None, None)


def test_the_number_of_the_trailer_is_found() -> None:
    (found,) = found_numbers(BUILD, "1HTCH0000AB000017")
    assert (found.component, found.description, found.kind) == (None, "Camper", "identification_number")
    assert (found.match, found.forgiven, found.removed_on) == ("exact", (), None)
    assert list(found_numbers(Build(name="Frame", currency="USD"), "1HTCH0000AB000017")) == []


def test_one_of_several_numbers_is_found_once_as_the_one_that_it_is() -> None:
    (found,) = found_numbers(BUILD, "LF-2")
    assert (found.component, found.number, found.match) == ("battery", "LF-2", "exact")
    (both,) = found_numbers(BUILD, "LF-1, LF-2")
    assert both.number == "LF-1, LF-2"
    build = Build(name="Camper", currency="USD", components=(part("pair", serial_number="a-1, A1, a1"),))
    (least,) = found_numbers(build, "a1")
    assert (least.number, least.match) == ("a1", "exact")


def test_exact_numbers_come_first_and_removed_parts_are_found_and_refunds_are_not() -> None:
    gone = date(2026, 5, 1)
    build = Build(
        name="Camper",
        currency="USD",
        components=(
            part("first", serial_number="b1", removed_on=gone),
            part("second", model_number="B1"),
            part("third", serial_number="B2"),
            part("back", serial_number="B1", quantity=Decimal(-1), unit_cost=Decimal(-1), refund_of="third"),
        ),
    )
    found = list(found_numbers(build, "B1"))
    assert [(each.component, each.kind, each.match, each.removed_on) for each in found] == [
        ("second", "model_number", "exact", None),
        ("first", "serial_number", "forgiven", gone),
    ]
