"""The waits between attempts, by hand: 10 seconds, then four times as long each time, at most a day."""

from datetime import timedelta

import pytest

from hitchworth.webhooks.retry import wait_after


@pytest.mark.parametrize(
    ("attempt", "seconds"),
    [(1, 10), (2, 40), (3, 160), (4, 640), (5, 2_560), (6, 10_240), (7, 40_960), (8, 86_400), (9, 86_400)],
)
def test_each_wait_is_four_times_the_one_before_up_to_a_day(attempt: int, seconds: int) -> None:
    assert wait_after(attempt, 0.5) == timedelta(seconds=seconds)


def test_after_ten_attempts_a_message_is_given_up() -> None:
    assert wait_after(10, 0.5) is None


@pytest.mark.parametrize(("chance", "seconds"), [(0, 7.5), (1, 12.5), (0.25, 8.75)])
def test_chance_moves_the_wait_by_a_quarter_at_most(chance: float, seconds: float) -> None:
    assert wait_after(1, chance) == timedelta(seconds=seconds)
