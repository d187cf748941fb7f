"""A serial number of the base is offered as the VIN when it has the shape of one, and never taken silently."""

from datetime import date
from decimal import Decimal

import pytest

from hitchworth import appraisal
from hitchworth.localization.localize import localize
from hitchworth.model.assessment import Assessment
from hitchworth.model.build import Build
from hitchworth.model.entry import Component
from hitchworth.model.request import ClassificationRequest

AS_OF = date(2026, 11, 25)
NUMBER = "1M8GDM9AXKP042788"
"""A widely printed example; its check digit, X, is right by 49 CFR 565.15."""
WRONG = "1M8GDM9A1KP042788"
"""The same with another ninth character."""


def component(serial_number: str | None, category: str = "chassis", name: str = "frame") -> Component:
    return Component(
        id=name,
        description="Flatbed trailer",
        category=category,
        quantity=Decimal(1),
        unit_cost=Decimal(3000),
        acquired_on=date(2026, 1, 1),
        serial_number=serial_number,
    )


def build(*components: Component, place: str = "US-WA", vin: str | None = None) -> Build:
    return Build(name="a", currency="USD", jurisdiction=place, vin=vin, components=components)


def classified(trailer: Build) -> Assessment:
    return appraisal.classify(ClassificationRequest(build=trailer), AS_OF)


def test_the_serial_number_of_the_base_is_suggested_and_to_be_confirmed() -> None:
    found = classified(build(component("r-118", "appliances", "fridge"), component(" 1m8 gdm9axkp042788")))
    number = found.vin_check
    assert number
    assert (number.number, number.suggested_from) == (NUMBER, "frame")
    assert number.notes[0].code == "vin_suggested"
    worded = localize(found, "en-US").vin_check
    assert worded
    assert worded.notes[0].text == (
        f"The base's serial number, {NUMBER}, has the shape of a VIN; confirm it, then enter it as the identification "
        "number."
    )


def test_a_vin_that_is_entered_is_not_replaced() -> None:
    number = classified(build(component(NUMBER), vin="HB-1")).vin_check
    assert number
    assert (number.number, number.suggested_from) == ("HB-1", None)


@pytest.mark.parametrize(
    ("part", "place"),
    [
        (component(None), "US-WA"),
        (component("FB-714-70"), "US-WA"),
        (component(NUMBER[:-1]), "US-WA"),
        (component(NUMBER.replace("G", "I")), "DE"),
        (component(WRONG), "US-WA"),
        (component(WRONG), "CA-ON"),
        (component(NUMBER, "appliances"), "US-WA"),
    ],
)
def test_what_has_not_the_shape_or_is_not_of_the_base_is_not_suggested(part: Component, place: str) -> None:
    assert classified(build(part, place=place)).vin_check is None


def test_where_no_check_digit_is_required_its_place_is_free() -> None:
    number = classified(build(component(WRONG), place="DE")).vin_check
    assert number
    assert number.suggested_from == "frame"


def test_without_a_build_nothing_is_suggested() -> None:
    assert appraisal.classify(ClassificationRequest(jurisdiction="US-WA"), AS_OF).vin_check is None
