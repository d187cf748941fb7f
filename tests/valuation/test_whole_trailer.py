"""The whole trailer by one schedule, next to the sum of its lines."""

from datetime import date
from decimal import Decimal

from hitchworth.model.options import Options
from hitchworth.model.schedule import Schedule
from valuation_parts import part, valued, work

HALF = Schedule(method="straight_line", life_years=Decimal(8))


def test_none_without_being_asked_and_none_of_nothing() -> None:
    assert valued(part()).whole_trailer_value is None
    assert (
        valued(work(), options=Options(whole_trailer_schedule="washington_travel_trailer")).whole_trailer_value is None
    )


def test_replacement_cost_times_percent_good_from_the_first_day_of_service() -> None:
    parts = (part("old", "700"), part("new", "300", acquired_on=date(2025, 6, 15)))
    found = valued(*parts, options=Options(whole_trailer_schedule="washington_travel_trailer")).whole_trailer_value
    assert found is not None
    assert (str(found.base), str(found.age_years), str(found.percent_good)) == ("1000.00", "4.000", "0.730000")
    assert (str(found.value), str(found.actual_cash_value)) == ("730.00", "1000.00")
    assert str(found.difference) == "-270.00"
    assert "82.50.425" in found.source
    assert found.title


def test_the_age_of_the_whole_can_be_stated() -> None:
    options = Options(whole_trailer_schedule="washington_travel_trailer", whole_trailer_in_service_on=date(2025, 7, 1))
    found = valued(part(), options=options).whole_trailer_value
    assert found is not None
    assert found.percent_good == 1


def test_a_schedule_of_the_build_has_no_published_source() -> None:
    found = valued(
        part(), options=Options(whole_trailer_schedule="chassis"), schedules={"chassis": HALF}
    ).whole_trailer_value
    assert found is not None
    assert (found.source, str(found.value)) == ("", "50.00")
