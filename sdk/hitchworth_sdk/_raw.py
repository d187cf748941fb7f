"""An answer as it comes, in any format that the API has for it, in the place of the record."""

from collections.abc import Awaitable, Callable
from dataclasses import dataclass, replace
from typing import Any, ParamSpec, TypeAlias
from urllib.parse import parse_qs, urlsplit

from hitchworth_sdk._exchange import Operation
from hitchworth_sdk._messages import Response

P = ParamSpec("P")
RawMethod: TypeAlias = Callable[P, Response]
AsyncRawMethod: TypeAlias = Callable[P, Awaitable[Response]]


@dataclass(frozen=True)
class Rendering:
    """In which form an answer is wanted."""

    media_type: str | None = None
    """None: the usual one."""
    table: str | None = None
    table_locale: str | None = None

    def operation(self, operation: Operation[Any]) -> Operation[Any]:
        """Return the operation with an answer in this form."""
        if self.media_type is None:
            return operation
        return replace(operation, media_type=self.media_type, further_types=())

    @property
    def arguments(self) -> dict[str, object]:
        """What the query says about it."""
        return {"table": self.table, "table_locale": self.table_locale}


def next_cursor(response: Response) -> str | None:
    """Return where the next page of a list begins, by the Link in its header; None after the last page."""
    for link in response.headers.get("Link", "").split(","):
        address, _, parameters = link.partition(">")
        if 'rel="next"' in parameters:
            return parse_qs(urlsplit(address.strip(" <")).query)["cursor"][0]
    return None
