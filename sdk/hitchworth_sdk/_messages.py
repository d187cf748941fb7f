"""A request and a response as plain values, independent of the library that sends them."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from email.utils import parsedate_to_datetime
from pathlib import Path

from httpx2 import Headers


def partial_file(file: Path) -> Path:
    """Return where a file is written before it is complete."""
    return file.with_name(f"{file.name}.partial")


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
    into: Path | None = None
    """A file for the content of a good answer, which is empty then."""

    @property
    def id(self) -> str:
        """The request id that is sent; a retry keeps it."""
        return self.headers[REQUEST_ID]


@dataclass(frozen=True)
class Response:
    """An answer as it came, whatever its status."""

    status: int
    headers: Headers
    """By name, in any case."""
    content: bytes
    received_at: datetime
    request_id: str
    """The id by which the server knows the request."""

    @property
    def media_type(self) -> str:
        """The media type of the content, without parameters, in lower case; empty when there is none."""
        return self.headers.get("Content-Type", "").partition(";")[0].strip().lower()

    @property
    def text(self) -> str:
        """The content as text in UTF-8, in which the API writes; what is not UTF-8 is replaced by a mark."""
        return self.content.decode(errors="replace")

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
