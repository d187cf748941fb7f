"""How many requests a key may make in a minute (RateLimit fields of the IETF draft for HTTP)."""

from collections import OrderedDict
from collections.abc import Callable
from math import ceil
from time import monotonic
from typing import NamedTuple

WINDOW_SECONDS = 60
MAX_KEYS = 10_000
"""More keys at once than this are forgotten, those not used for longest first, and begin anew."""


class Quota(NamedTuple):
    """What a key has left."""

    limit: int
    remaining: int
    """Below 0: this request is one too many."""
    seconds: int
    """Until the limit is whole again."""

    @property
    def headers(self) -> dict[str, str]:
        """The fields of the draft, version 10: the policy, and what is left of it."""
        return {
            "ratelimit-policy": f'"default";q={self.limit};w={WINDOW_SECONDS}',
            "ratelimit": f'"default";r={max(0, self.remaining)};t={self.seconds}',
        }


class RateLimit:
    """Counts the requests of each key, in windows of a minute that begin with the first request in them."""

    def __init__(self, limit: int, clock: Callable[[], float] = monotonic) -> None:
        self._limit = limit
        self._clock = clock
        self._windows: OrderedDict[str, tuple[float, int]] = OrderedDict()

    def take(self, key: str) -> Quota | None:
        """Count a request. Return what is left; None where there is no limit."""
        if not self._limit:
            return None
        now = self._clock()
        began, count = self._windows.pop(key, (now, 0))
        if now - began >= WINDOW_SECONDS:
            began, count = now, 0
        self._windows[key] = (began, count + 1)
        if len(self._windows) > MAX_KEYS:
            self._windows.popitem(last=False)
        return Quota(self._limit, self._limit - count - 1, ceil(began + WINDOW_SECONDS - now))
