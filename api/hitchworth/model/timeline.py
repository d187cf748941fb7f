"""What counts on a day: the components in the trailer, and of several answers the newest."""

from collections.abc import Iterable
from datetime import date

from hitchworth.model.build import Component
from hitchworth.model.policy import Answer


def is_installed_on(component: Component, as_of: date) -> bool:
    """Return whether a component is in the trailer: acquired on the date or before it, and not yet removed.

    A refund never is.
    """
    if component.refund_of is not None:
        return False
    return component.acquired_on <= as_of and (component.removed_on is None or component.removed_on > as_of)


def oldest_first(answers: Iterable[Answer]) -> tuple[Answer, ...]:
    """Return the answers by the day on which they were given, those of one day in the order of the list.

    An answer without a day comes before all others. The last answer about a thing is the one that counts.
    """
    return tuple(sorted(answers, key=day_said))


def day_said(answer: Answer) -> date:
    """Return the day by which answers are put in order."""
    return answer.said_on or date.min
