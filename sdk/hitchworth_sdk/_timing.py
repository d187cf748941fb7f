"""How long a call may take: for each silence of the server, and in total. Pure: the clock is an argument."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Timing:
    """The limits of a call."""

    timeout: float
    """Seconds for connecting, and for each silence of the server."""
    deadline: float = float("inf")
    """Seconds for the whole call, with everything that is sent again."""
    until: float | None = None
    """When the deadline has passed, on the clock of time.monotonic. None: no deadline."""

    def silence(self, now: float) -> float:
        """Return the seconds that a silence may last from now on: no longer than to the deadline."""
        return self.timeout if self.until is None else min(self.timeout, max(0.001, self.until - now))

    def allows(self, pause: float, now: float) -> bool:
        """Say whether there is time to wait that long and to send again."""
        return self.until is None or now + pause < self.until


def timing_of(timeout: float, deadline: float | None, now: float) -> Timing:
    """Return the limits of a call that begins now."""
    return Timing(timeout) if deadline is None else Timing(timeout, deadline, now + deadline)
