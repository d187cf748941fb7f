"""When a message is sent again: later and later, each time at another moment than the others."""

from datetime import timedelta

MAX_ATTEMPTS = 10
"""With the waits between them, a message is given up after two and a half days."""

FIRST = timedelta(seconds=10)
FACTOR = 4
LONGEST = timedelta(days=1)
SPREAD = 0.25


def wait_after(attempt: int, chance: float) -> timedelta | None:
    """Return how long to wait after an attempt, counted from 1, that has failed; None: no more are made.

    chance: a random number from 0 to 1, by which the wait is a quarter shorter to a quarter longer.
    """
    if attempt >= MAX_ATTEMPTS:
        return None
    wait = min(FIRST * int(FACTOR ** (attempt - 1)), LONGEST)
    return wait * (1 - SPREAD + 2 * SPREAD * chance)
