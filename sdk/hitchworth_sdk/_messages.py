"""A request as it goes out and a response as it came in, whichever client carries them."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from email.utils import parsedate_to_datetime

from httpx2 import Headers

REQUEST_ID = "X-Request-Id"


@dataclass(frozen=True)
class Request:
    """A request. The path is from the root of the API, the query is what follows it."""

    method: str
    path: str
    query: Mapping[str, str]
    headers: Headers
    content: bytes | None

    @property
    def id(self) -> str:
        """The name under which it goes; kept when it is sent again."""
        return self.headers[REQUEST_ID]


@dataclass(frozen=True)
class Response:
    """A response, and when it came."""

    status: int
    headers: Headers
    content: bytes
    received_at: datetime

    @property
    def media_type(self) -> str:
        return self.headers.get("Content-Type", "").partition(";")[0].strip().lower()

    @property
    def retry_after(self) -> float | None:
        """The seconds for which the server asks to wait: told as such or as a date (RFC 9110, section 10.2.3)."""
        told = self.headers.get("Retry-After", "").strip()
        if told.isascii() and told.isdigit():
            return float(told)
        try:
            until = parsedate_to_datetime(told)
        except ValueError:
            return None
        until = until if until.tzinfo else until.replace(tzinfo=UTC)
        return max(0.0, (until - self.received_at).total_seconds())
