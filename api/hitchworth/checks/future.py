"""Dates to come: what a law will say then is not known."""

from collections.abc import Iterator
from datetime import date

from hitchworth.model.fault import Fault


def date_to_come(day: date | None, today: date, pointer: str) -> Iterator[Fault]:
    """A class is judged by definitions that are in force. Null stands for today, and is no fault."""
    if day is not None and day > today:
        yield Fault(
            pointer=pointer,
            detail="The definitions of a day to come are not known",
            expected=f"{today.isoformat()} or earlier",
            found=day.isoformat(),
        )
