"""Dates to come: what a law, or a person, will say then is not known."""

from collections.abc import Iterator, Sequence
from datetime import date

from hitchworth.model.fault import Fault
from hitchworth.model.policy import Answer


def date_to_come(day: date | None, today: date | None, pointer: str) -> Iterator[Fault]:
    """A class is judged by definitions in force. No date stands for today; without a clock nothing is to come."""
    if day is not None and today is not None and day > today:
        yield Fault(
            pointer=pointer,
            detail="The definitions of a day to come are not known",
            expected=f"{today.isoformat()} or earlier",
            found=day.isoformat(),
        )


def said_in_future(answers: Sequence[Answer], today: date | None) -> Iterator[Fault]:
    """Nobody has answered on a day to come."""
    for index, answer in enumerate(answers):
        if answer.said_on is not None and today is not None and answer.said_on > today:
            yield Fault(
                pointer=f"/answers/{index}/said_on",
                detail="An answer of a day to come",
                expected=f"{today.isoformat()} or earlier",
                found=answer.said_on.isoformat(),
            )
