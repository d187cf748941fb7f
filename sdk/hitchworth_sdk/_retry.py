"""Whether to send a request again, and how long to wait before: no clock, no chance, no sleep in here.

The wait doubles with every attempt and is spread by chance, so that many clients do not come back at once. When the
server says how long to wait (Retry-After), that counts; when it asks for longer than we are ready to wait, we give up.
"""

from hitchworth_sdk._messages import Response
from hitchworth_sdk.errors import TransportError

RETRIED_STATUSES = frozenset({429, 502, 503, 504})
"""Said by a server that is busy, or by a gateway before it. A 500 would only come again."""
FIRST_PAUSE = 0.5
LONGEST_PAUSE = 60.0


def pause_before_retry(outcome: Response | TransportError, attempt: int, chance: float) -> float | None:
    """Seconds to wait after the attempt of that number (from 0), or None when it is not to be tried again.

    `chance` lies between 0 and 1.
    """
    if isinstance(outcome, TransportError):
        return backoff(attempt, chance)
    if outcome.status not in RETRIED_STATUSES:
        return None
    told = outcome.retry_after
    if told is None:
        return backoff(attempt, chance)
    return told if told <= LONGEST_PAUSE else None


def backoff(attempt: int, chance: float) -> float:
    return min(LONGEST_PAUSE, FIRST_PAUSE * 2.0**attempt) * (0.5 + chance / 2)
