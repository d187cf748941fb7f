"""What stands: a component on a day, and of several answers to one thing the newest. Every room reads it the same."""

from collections.abc import Iterable
from datetime import date

from hitchworth.model.build import Component
from hitchworth.model.policy import Answer


def is_installed_on(component: Component, as_of: date) -> bool:
    """Whether a component is part of the trailer: acquired on the date or before, and not yet removed."""
    return component.acquired_on <= as_of and (component.removed_on is None or component.removed_on > as_of)


def oldest_first(answers: Iterable[Answer]) -> tuple[Answer, ...]:
    """The answers by the day on which they were given, as they stand in the list where it is the same.

    One without a day comes before all others. So each answer stands over those before it.
    """
    return tuple(sorted(answers, key=day_said))


def day_said(answer: Answer) -> date:
    """The day by which answers are put in order."""
    return answer.said_on or date.min
