"""Whether to send a request again, and how long to wait first. Pure functions: no clock, no random numbers, no sleep.

The pause doubles with every attempt, with some jitter, so that many clients do not come back at the same moment. When
the server says how long to wait (Retry-After), the client waits that long; when that is longer than the longest pause,
it does not try again.
"""

from hitchworth_sdk._messages import Response
from hitchworth_sdk.errors import ProxyError, TransportError

RETRIED_STATUSES = frozenset({429, 502, 503, 504})
"""The answers of a busy server, or of a gateway in front of it. A 500 would only come again."""
FIRST_PAUSE = 0.5
"""Seconds before the first retry, at most."""
LONGEST_PAUSE = 60.0
"""Seconds before any retry, at most; a Retry-After of exactly this long is still waited for."""


def pause_before_retry(outcome: Response | TransportError, attempt: int, jitter: float) -> float | None:
    """Return the seconds to wait before the next attempt; None when there should be none.

    attempt: number of the attempt that had this outcome, from 0.
    jitter: a random number from 0 to 1.
    """
    if isinstance(outcome, ProxyError) and outcome.status is not None and outcome.status not in RETRIED_STATUSES:
        return None
    if isinstance(outcome, TransportError):
        return backoff(attempt, jitter)
    if outcome.status not in RETRIED_STATUSES:
        return None
    retry_after = outcome.retry_after
    if retry_after is None:
        return backoff(attempt, jitter)
    return retry_after if retry_after <= LONGEST_PAUSE else None


def backoff(attempt: int, jitter: float) -> float:
    """Return the seconds to wait after an attempt: twice as long after each, of which the jitter decides half."""
    return min(LONGEST_PAUSE, FIRST_PAUSE * 2.0**attempt) * (0.5 + jitter / 2)
