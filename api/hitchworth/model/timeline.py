"""What counts on a day: the components in the trailer, quotes and market rates, and of several answers the newest."""

from collections.abc import Iterable
from datetime import date
from decimal import Decimal
from typing import Any

from hitchworth.model.answer import Answer
from hitchworth.model.entry import Component, Labor


def is_installed_on(component: Component, as_of: date) -> bool:
    """Return whether a component is in the trailer: acquired on the date or before it, and not yet removed.

    A refund never is.
    """
    if component.refund_of is not None:
        return False
    return component.acquired_on <= as_of and (component.removed_on is None or component.removed_on > as_of)


def quote_known_on(component: Component, as_of: date) -> Decimal | None:
    """Return the quote for one unit, unless it is of a later day."""
    later = component.quoted_on is not None and component.quoted_on > as_of
    return None if later else component.replacement_unit_cost


def market_rate_known_on(labor: Labor, as_of: date) -> Decimal | None:
    """Return the market rate for an hour, unless it is of a later day."""
    later = labor.market_rate_on is not None and labor.market_rate_on > as_of
    return None if later else labor.market_rate


def oldest_first(answers: Iterable[Answer]) -> tuple[Answer, ...]:
    """Return the answers by the day on which they were given, those of one day in the order of the list.

    An answer without a day comes before all others. The last answer about a thing is the one that counts.
    """
    return tuple(sorted(answers, key=day_said))


def newest_facts(answers: Iterable[Answer]) -> dict[str, Any]:
    """Return what was answered last about each fact; null leaves it open."""
    return {answer.fact: answer.value for answer in oldest_first(answers) if answer.fact is not None}


def day_said(answer: Answer) -> date:
    """Return the day by which answers are put in order."""
    return answer.said_on or date.min
