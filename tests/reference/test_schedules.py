"""The library of schedules: every record is whole, falls with age, and says where it is from."""

from fractions import Fraction

import pytest

from hitchworth.reference.schedules import (
    ScheduleRecord,
    ScheduleWords,
    base_categories,
    general_schedule,
    library_schedules,
    other_schedule,
    schedule_for,
    schedule_named,
    schedule_words,
)
from hitchworth.valuation.percent_good import percent_good

every_record = pytest.mark.parametrize("record", library_schedules(), ids=lambda record: record.name)


@every_record
def test_percent_good_never_rises(record: ScheduleRecord) -> None:
    left = [percent_good(record.schedule, Fraction(quarters, 4)) for quarters in range(140)]
    assert 1 >= left[0] > 0
    assert left == sorted(left, reverse=True)
    assert left[-1] >= Fraction(record.schedule.residual)


@every_record
def test_a_published_record_names_its_source_and_common_practice_none(record: ScheduleRecord) -> None:
    assert bool(record.source) is (record.provenance == "published")
    assert record.title


@every_record
def test_a_record_is_found_by_its_name_and_its_categories(record: ScheduleRecord) -> None:
    assert schedule_named(record.name) is record
    assert all(schedule_for(category) is record for category in record.categories)
    assert record.provenance == "published" or record.name in record.categories


def test_names_and_categories_are_there_once() -> None:
    categories = [category for record in library_schedules() for category in record.categories]
    assert len(set(categories)) == len(categories)
    assert len({record.name for record in library_schedules()}) == len(library_schedules())


def test_at_least_forty_records_are_for_the_parts_of_a_trailer() -> None:
    assert len([record for record in library_schedules() if record.categories]) >= 40


def test_what_a_plain_trailer_comes_with() -> None:
    base = base_categories()
    assert {"chassis", "axle_and_brakes", "tires_and_wheels", "coupler", "road_lights"} <= base
    assert not {"refrigerator", "mattress", "labor", "general"} & base


def test_what_the_library_does_not_know() -> None:
    assert schedule_for("periscope") is general_schedule()
    assert schedule_named("periscope") is None


def test_words_of_descriptions_name_schedules_of_the_library() -> None:
    for entry in schedule_words():
        assert schedule_named(entry.schedule) is not None
        assert all(schedule_named(name) is not None for name in entry.instead_of)
        assert entry.schedule not in entry.instead_of
        assert entry.phrases
    names = [entry.schedule for entry in schedule_words()]
    assert len(set(names)) == len(names)


@pytest.mark.parametrize("entry", schedule_words(), ids=lambda entry: entry.schedule)
def test_every_phrase_is_found_in_a_description_of_its_own(entry: ScheduleWords) -> None:
    for phrase in entry.phrases:
        found = other_schedule("general", phrase.upper())
        assert found is not None, phrase
        assert found.schedule == entry.schedule
