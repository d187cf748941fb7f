"""Dates to come: what a law will say then is not known."""

from collections.abc import Iterator
from datetime import date

from hitchworth.model.fault import Fault


def date_to_come(day: date | None, today: date | None, pointer: str) -> Iterator[Fault]:
    """A class is judged by definitions in force. No date stands for today; without a clock nothing is to come."""
    if day is not None and today is not None and day > today:
        yield Fault(
            pointer=pointer,
            detail="The definitions of a day to come are not known",
            expected=f"{today.isoformat()} or earlier",
            found=day.isoformat(),
        )
