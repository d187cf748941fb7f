"""What is to go away: an operation that is deprecated, and from when on it is gone.

A field is marked at its type, `Meta(extra_json_schema={"deprecated": True})`; its description says what takes its
place.
"""

from datetime import UTC, date, datetime, time
from email.utils import format_datetime

from msgspec import Struct


class Deprecation(Struct, frozen=True, kw_only=True):
    """Since when an operation is deprecated, and what takes its place. The days begin at midnight UTC."""

    since: date
    sunset: date | None = None
    """From this day on it may not answer any more. None: not decided."""
    instead: str
    """What to call in its place, a sentence."""

    @property
    def headers(self) -> dict[str, str]:
        """Deprecation has seconds since 1970 (RFC 9745, 2.1), Sunset a date of HTTP (RFC 8594, 3)."""
        sunset = {} if self.sunset is None else {"sunset": format_datetime(_midnight(self.sunset), usegmt=True)}
        return {"deprecation": f"@{int(_midnight(self.since).timestamp())}", **sunset}

    @property
    def sentence(self) -> str:
        """What the description of the operation says about it."""
        until = "" if self.sunset is None else f"; gone from {self.sunset} on"
        return f"Deprecated since {self.since}{until}. {self.instead}"


def _midnight(day: date) -> datetime:
    return datetime.combine(day, time(), tzinfo=UTC)
