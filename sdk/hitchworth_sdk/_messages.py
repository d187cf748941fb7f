"""A request and a response as plain values, independent of the library that sends them."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from email.utils import parsedate_to_datetime
from pathlib import Path

from httpx2 import Headers

REQUEST_ID = "X-Request-Id"


@dataclass(frozen=True)
class Request:
    """A request. The path starts at the root of the API; the query is not part of it."""

    method: str
    path: str
    query: Mapping[str, str | list[str]]
    headers: Headers
    content: bytes | Path | None
    """A path: the file is sent piece by piece."""

    @property
    def id(self) -> str:
        """The request id that is sent; a retry keeps it."""
        return self.headers[REQUEST_ID]


@dataclass(frozen=True)
class Response:
    """A response, and when it was received."""

    status: int
    headers: Headers
    content: bytes
    received_at: datetime

    @property
    def media_type(self) -> str:
        """The media type of the content, without parameters, in lower case; empty when there is none."""
        return self.headers.get("Content-Type", "").partition(";")[0].strip().lower()

    @property
    def retry_after(self) -> float | None:
        """The seconds that the server asks to wait; None when it does not say.

        The header has either the seconds or a date (RFC 9110, section 10.2.3).
        """
        value = self.headers.get("Retry-After", "").strip()
        if value.isascii() and value.isdigit():
            return float(value)
        try:
            until = parsedate_to_datetime(value)
        except ValueError:
            return None
        until = until if until.tzinfo else until.replace(tzinfo=UTC)
        return max(0.0, (until - self.received_at).total_seconds())
