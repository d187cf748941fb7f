"""Which of several answers to one thing stands: the newest."""

from collections.abc import Iterable
from datetime import date

from hitchworth.model.policy import Answer


def oldest_first(answers: Iterable[Answer]) -> tuple[Answer, ...]:
    """The answers by the day on which they were given, as they stand in the list where it is the same.

    One without a day comes before all others. So each answer stands over those before it.
    """
    return tuple(sorted(answers, key=day_said))


def day_said(answer: Answer) -> date:
    """The day by which answers are put in order."""
    return answer.said_on or date.min
