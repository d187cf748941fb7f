"""Depreciation rules: which schedule, which age, and the three rules for labor."""

from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from msgspec.structs import replace

from hitchworth.model.entry import Component
from hitchworth.model.options import Options
from hitchworth.model.schedule import Schedule
from valuation_parts import BOUGHT, DAY, codes, part, valued, work

HALVED = Schedule(method="straight_line", life_years=Decimal(8))
"""What is four years old is worth a half."""


def good(entry: Component, **terms: Any) -> tuple[str, str]:
    """Schedule and percent good of the only line."""
    found = valued(entry, **terms)
    return found.lines[0].schedule, str(found.lines[0].percent_good)


def test_age_runs_from_the_day_of_service() -> None:
    ages = [
        str(valued(entry).lines[0].age_years)
        for entry in (
            part(),
            part(in_service_on=date(2024, 6, 15)),
            part(in_service_on=date(2027, 1, 1)),
            part(effective_age_years=Decimal("2.5")),
        )
    ]
    assert ages == ["4.000", "1.999", "0.000", "2.500"]


def test_a_second_hand_part_has_the_age_of_its_service() -> None:
    assert str(valued(part(in_service_on=date(2016, 6, 15))).lines[0].age_years) == "9.999"


@pytest.mark.parametrize(
    ("as_of", "age"),
    [("2026-06-15", "4.499"), ("2024-06-15", "2.500"), ("2023-01-01", "2.500"), ("2025-06-15", "3.499")],
)
def test_an_effective_age_grows_from_the_day_for_which_it_was_judged(as_of: str, age: str) -> None:
    judged = part(effective_age_years=Decimal("2.5"), effective_age_on=date(2024, 6, 15))
    assert str(valued(judged, as_of=date.fromisoformat(as_of)).lines[0].age_years) == age


def test_the_day_count_is_selectable() -> None:
    bought = part(acquired_on=date(2024, 12, 20))
    ages = [
        str(valued(bought, options=Options(day_count=count)).lines[0].age_years)
        for count in ("days_365_25", "complete_months", "complete_years")
    ]
    assert ages == ["1.484", "1.417", "1.000"]


def test_a_line_goes_by_its_own_schedule_by_name_or_by_category() -> None:
    chassis: dict[str, Any] = {"category": "chassis"}
    assert good(part(**chassis)) == ("chassis", "0.872000")
    assert good(part(**chassis, schedule="windows")) == ("windows", "0.746667")
    assert good(part(**chassis, schedule=HALVED)) == ("straight_line", "0.500000")


def test_a_schedule_of_the_build_goes_before_the_library() -> None:
    mine = {"schedules": {"chassis": HALVED, "body": HALVED}}
    assert good(part(category="chassis"), **mine) == ("chassis", "0.500000")
    assert good(part(category="axle", schedule="chassis"), **mine) == ("chassis", "0.500000")
    assert good(part(category="frame"), **mine) == ("chassis", "0.500000")


def test_a_category_without_schedule_follows_the_general_one_and_a_note_says_so() -> None:
    found = valued(part(category="theft_protection"), part("other", category="theft_protection"))
    assert {line.schedule for line in found.lines} == {"general"}
    assert [(note.code, note.about) for note in found.notes] == [("category_without_schedule", "theft_protection")]


def test_work_of_a_category_without_schedule_is_offered_no_category_of_parts() -> None:
    """Carpentry is spelled like carpet, but nobody sews it: the note says what the work goes by instead."""
    found = valued(work(category="carpentry"), work("other", category="carpentry"))
    assert [(note.code, note.about, note.parameters) for note in found.notes if "schedule" in note.code] == [
        ("work_without_schedule", "carpentry", {"schedule": "general"})
    ]
    assert {
        line.schedule for line in valued(work(category="carpentry"), options=Options(labor_depreciation="own")).lines
    } == {"general"}


def test_a_category_like_a_listed_one_offers_it() -> None:
    (note,) = valued(part(category="chasis")).notes
    assert (note.code, note.about) == ("category_similar_to_listed", "chasis")
    assert note.parameters["similar"].split(", ")[0] == "chassis"


@pytest.mark.parametrize(
    ("category", "description", "other"),
    [
        ("battery", "12 V 100 Ah LiFePO4", "battery_lithium LiFePO4"),
        ("battery_lead_acid", "Batería de litio", "battery_lithium litio"),
        ("battery_lithium", "AGM battery 95 Ah", "battery_agm agm"),
        ("materials", "Roof mattress", "mattress mattress"),
        ("heater", "Warmwasserboiler 10 l", "water_heater warmwasserboiler"),
        ("battery_lithium", "LiFePO4 battery", None),
        ("battery", "Battery 100 Ah", None),
        ("wiring", "LiFePO4 battery cable", None),  # a word only counts where the schedules exclude each other
        ("charging", "Solar panel controller 20 A", None),
        ("tent", "Awning tent", None),  # it is both
    ],
)
def test_a_description_that_names_another_schedule_raises_a_note(
    category: str, description: str, other: str | None
) -> None:
    notes = valued(part("p", category=category, description=description)).notes
    found = [(note.about, f"{note.parameters['other']} {note.parameters['words']}".casefold()) for note in notes]
    assert found == ([("p", other.casefold())] if other else [])
    assert all(note.code == "description_names_other_schedule" for note in notes)


def test_a_schedule_of_your_own_is_not_judged_by_the_description() -> None:
    schedule = Schedule(method="straight_line", life_years=Decimal(6))
    line = part(category="battery", description="LiFePO4")
    assert valued(replace(line, schedule=schedule)).notes == ()
    assert valued(line, schedules={"battery": schedule}).notes == ()
    assert [note.code for note in valued(line, schedules={"other": schedule}).notes] == [
        "description_names_other_schedule"
    ]


def test_a_name_that_is_no_schedule_leaves_it_to_the_category() -> None:
    found = valued(part(schedule="nonsense"))
    assert found.lines[0].schedule == "permits"
    assert codes(found) == ["schedule_not_known"]


def test_condition_multiplies_and_may_go_below_the_residual() -> None:
    floored = Schedule(method="straight_line", life_years=Decimal(1), residual=Decimal("0.4"))
    line = valued(part(schedule=floored, condition=Decimal("0.5"))).lines[0]
    assert str(line.percent_good) == "0.200000"
    assert str(line.actual_cash_value) == "20.00"


@pytest.mark.parametrize(
    ("rule", "component_id", "expected"),
    [
        ("none", "roof", ("none", "1.000000")),
        ("with_component", "roof", ("straight_line", "0.450000")),
        ("with_component", None, ("labor", "0.820000")),
        ("with_component", "no such part", ("labor", "0.820000")),
        ("own", "roof", ("labor", "0.820000")),
    ],
)
def test_labor_rules(rule: str, component_id: str | None, expected: tuple[str, str]) -> None:
    roof = part("roof", schedule=HALVED, condition=Decimal("0.9"))
    options = Options(labor_depreciation=rule)  # type: ignore[arg-type]
    line = valued(roof, work(component_id=component_id), options=options).lines[1]
    assert (line.schedule, str(line.percent_good)) == expected


def test_labor_that_served_a_part_since_removed_stays_and_ages_with_it() -> None:
    roof = part("roof", schedule=HALVED, removed_on=date(2025, 1, 1))
    found = valued(roof, work(component_id="roof"), options=Options(labor_depreciation="with_component"))
    assert [(line.id, str(line.percent_good)) for line in found.lines] == [("work", "0.500000")]


def test_percent_good_of_the_same_entry_differs_on_two_days() -> None:
    chassis = part(category="chassis")
    assert good(chassis, as_of=BOUGHT)[1] == "1.000000"
    assert good(chassis, as_of=DAY)[1] == "0.872000"
