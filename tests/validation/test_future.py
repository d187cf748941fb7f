"""A date to come is no date of an assessment."""

from datetime import date, timedelta

import pytest

from hitchworth.model.policy import Answer
from hitchworth.validation.future import date_to_come, said_in_future

TODAY = date(2026, 11, 25)


@pytest.mark.parametrize("day", [None, TODAY, date(1990, 1, 1)])
def test_today_and_before_pass(day: date | None) -> None:
    assert list(date_to_come(day, TODAY, "/as_of")) == []


def test_tomorrow_does_not() -> None:
    (fault,) = date_to_come(TODAY + timedelta(days=1), TODAY, "/as_of")
    assert (fault.pointer, fault.expected, fault.found) == ("/as_of", "2026-11-25 or earlier", "2026-11-26")


def test_nobody_has_answered_tomorrow() -> None:
    days = (None, TODAY, TODAY + timedelta(days=1))
    answers = [Answer(fact="wheels", value=2, said_on=day) for day in days]
    (fault,) = said_in_future(answers, TODAY)
    assert (fault.pointer, fault.found) == ("/answers/2/said_on", "2026-11-26")
    assert list(said_in_future(answers, None)) == []
