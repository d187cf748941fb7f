"""Numbers among the lines that were read off a plate. The plates are made up; the words on them are common practice."""

from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from hitchworth.documentation.plate_reading import proposed_numbers
from hitchworth.model.build import Build
from hitchworth.model.entry import Component
from hitchworth.model.plate_reading import ProposedNumber, TextLine

PLATE = (
    "TRAILER MFD BY: EXAMPLE WORKS",
    "VIN: 1M8GDM9AXKP042788",
    "GVWR 1361 KG (3000 LB)",
    "TIRES ST205/75D15 350 KPA (50 PSI)",
    "DATE 06/2019",
)


def part(name: str, **more: Any) -> Component:
    day = date(2026, 1, 1)
    return Component(
        id=name,
        description=name,
        category="stove",
        quantity=Decimal(1),
        unit_cost=Decimal(1),
        acquired_on=day,
        **more,
    )


def build(vin: str | None) -> Build:
    return Build(
        name="Box", currency="USD", vin=vin, components=(part("panel"), part("stove", serial_number="SN-0O17"))
    )


def proposed(
    *lines: str, subjects: tuple[str, ...] = ("identification_plate",), vin: str | None = None
) -> list[ProposedNumber]:
    read = [TextLine(text=text, confidence=0.9, left=0, top=0, width=9, height=9) for text in lines]
    return list(proposed_numbers(read, subjects, build(vin)))


def told(found: list[ProposedNumber]) -> list[tuple[str, str, int, str]]:
    return [(each.kind, each.number, each.line, each.clue) for each in found]


def test_the_number_of_a_plate_is_found_among_weights_tires_and_dates() -> None:
    (found,) = proposed(*PLATE, vin=None)
    assert (found.pointer, found.component, found.number, found.line) == ("/build/vin", None, "1M8GDM9AXKP042788", 1)
    assert (found.clue, found.on_record, found.agreement) == ("label", None, "missing")


@pytest.mark.parametrize(
    ("line", "number", "clue"),
    [
        ("V.I.N. 1M8GDM9AXKP042788", "1M8GDM9AXKP042788", "label"),
        ("VIN1M8GDM9AXKP042788", "1M8GDM9AXKP042788", "label"),
        ("VEHICLEIDENTIFICATIONNUMBER 1M8GDM9AXKP042788", "1M8GDM9AXKP042788", "label"),
        ("Fahrzeug-Ident.-Nr. 1M8GDM9AXKP042788", "1M8GDM9AXKP042788", "label"),
        ("Numéro d’identification du véhicule: 1M8GDM9AXKP042788", "1M8GDM9AXKP042788", "label"),
        ("VIN 1M8 GDM9AX KP042788", "1M8GDM9AXKP042788", "label"),
        ("VIN lM8GDM9AXKPo42788", "1M8GDM9AXKP042788", "label"),  # a small L, which a plate does not have
        ("VIN IM8GDM9AXKPO42788", "1M8GDM9AXKP042788", "label"),
        ("VIN IM8GDM9AXKPQ42788", "1M8GDM9AXKP042788", "label"),
        ("VIN ＷＡ-４７１１", "WA-4711", "label"),  # as a home-built trailer has it, read in wide letters
        ("1M8GDM9AXKP042788", "1M8GDM9AXKP042788", "shape"),
        ("* 1M8GDM9AXKP042788 *", "1M8GDM9AXKP042788", "shape"),
        ("ABCDEFGHJKLMNPRST", "", ""),  # a word has no digit
        ("1M8GDM9AXKP04278", "", ""),  # sixteen
        ("1M8GDM9AXKP0427888", "", ""),  # eighteen
        ("VINYL FLOOR 40 MM", "", ""),
        ("VIN", "", ""),
        ("VIN: PENDING", "", ""),
        ("VIN 4", "", ""),
    ],
)
def test_identification_numbers(line: str, number: str, clue: str) -> None:
    expected = [("identification_number", number, 0, clue)] if number else []
    assert told(proposed(line, vin=None)) == expected


@pytest.mark.parametrize(
    ("lines", "expected"),
    [
        (("MODEL TB-200 S/N 0047 1182",), [("model_number", "TB-200", 0), ("serial_number", "0047 1182", 0)]),
        (("SERIALNO.12345 MADE IN 2024",), [("serial_number", "12345", 0)]),
        (("Ser. No: A-77", "Model No. 9X1"), [("serial_number", "A-77", 0), ("model_number", "9X1", 1)]),
        (("Seriennummer", "4711-08"), [("serial_number", "4711-08", 1)]),  # the label stands above its number
        (("Modell", "Serien-Nr. 4711"), [("serial_number", "4711", 1)]),
        (("N° de série : F 2024 118",), [("serial_number", "F 2024 118", 0)]),
        (("Número de serie 88-1",), [("serial_number", "88-1", 0)]),
        (("S/N 12",), []),  # two characters are no number
        (("SNOW LOAD 200",), []),
        (("SERVICE 24V",), []),
        (("Serial Number", "S/N 4711", "S/N 4711"), [("serial_number", "4711", 1)]),
        (("VIN 1M8GDM9AXKP042788",), []),  # of the trailer, not of the stove
    ],
)
def test_serial_and_model_numbers_of_one_component(
    lines: tuple[str, ...], expected: list[tuple[str, str, int]]
) -> None:
    found = proposed(*lines, subjects=("number:stove",))
    assert [(each.kind, each.number, each.line) for each in found] == expected
    assert {(each.component, each.clue) for each in found} <= {("stove", "label")}


def test_a_number_is_compared_with_the_one_on_record() -> None:
    def of_stove(number: str) -> ProposedNumber:
        (found,) = proposed(f"S/N {number}", subjects=("stove",))
        return found

    assert of_stove("SN-0O17").agreement == "exact"
    forgiven = of_stove("sn0017")
    assert (forgiven.agreement, forgiven.forgiven) == ("forgiven", ("spacing", "letter_case", "look_alikes"))
    other = of_stove("4711")
    assert (other.agreement, other.on_record, other.pointer) == (
        "different",
        "SN-0O17",
        "/build/components/1/serial_number",
    )


@pytest.mark.parametrize("subjects", [("stove", "panel"), ("gone",), ("trailer",)])
def test_a_photo_of_several_parts_or_of_none_says_of_no_part_whose_number_it_is(subjects: tuple[str, ...]) -> None:
    assert proposed("S/N 4711", subjects=subjects) == []


@pytest.mark.parametrize("subjects", [(), ("trailer",), ("ownership",), ("stove", "identification_plate")])
def test_the_number_of_the_trailer_is_looked_for_on_plate_papers_and_unnamed_photos(subjects: tuple[str, ...]) -> None:
    (found,) = proposed("VIN 1M8GDM9AXKP042788", subjects=subjects, vin="1M8GDM9AXKP042788")
    assert found.agreement == "exact"
    assert proposed("VIN 1M8GDM9AXKP042788", subjects=("stove",)) == []


def test_a_number_that_stands_there_twice_is_proposed_once() -> None:
    assert told(proposed("VIN 1M8GDM9AXKP042788", "1M8GDM9AXKP042788")) == [
        ("identification_number", "1M8GDM9AXKP042788", 0, "label")
    ]
