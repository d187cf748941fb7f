"""The pages of a list: which part is asked for, and the address of the next.

A cursor is the place after which a page begins, as JSON in base64. Callers send it back as they got it.
"""

from base64 import urlsafe_b64decode, urlsafe_b64encode
from collections.abc import Mapping
from datetime import UTC, datetime
from typing import Annotated, Any, TypeVar
from urllib.parse import urlencode

import msgspec
from msgspec import Meta, Struct

from hitchworth import validation
from hitchworth.model.fault import Fault

T = TypeVar("T")


class Page(Struct, frozen=True, kw_only=True):
    """Which part of a list."""

    limit: Annotated[int, Meta(ge=1, le=200, description="How many a page has at most. Default: 50.")] = 50
    cursor: Annotated[
        Annotated[str, Meta(max_length=2000)] | None,
        Meta(description="Where the page begins: as the page before it says in `next`. Left out: the first page."),
    ] = None


def place_of(cursor: str | None, kind: Any) -> Any:
    """Return the place, of this type, after which a page begins; None for the first page.

    Raises InvalidInputError when the cursor is not one of this list.
    """
    if cursor is None:
        return None
    try:
        text = urlsafe_b64decode(cursor + "==")
        return _comparable(msgspec.json.decode(text, type=kind))
    except (ValueError, OverflowError, msgspec.MsgspecError):
        raise foreign_cursor(cursor) from None


def cut(found: tuple[T, ...], limit: int) -> tuple[tuple[T, ...], T | None]:
    """Return the items of a page, and the last of them where there are more. found: then one more than the limit."""
    return found[:limit], found[limit - 1] if len(found) > limit else None


def next_page(path: str, given: Mapping[str, Any], limit: int, place: Any) -> str:
    """Return the address of the page that begins after a place. given: the parameters of the list; None is left out."""
    cursor = urlsafe_b64encode(msgspec.json.encode(place)).decode().rstrip("=")
    told = {name: _text(value) for name, value in given.items() if value is not None}
    return f"{path}?{urlencode({**told, 'limit': limit, 'cursor': cursor})}"


def foreign_cursor(cursor: str) -> validation.InvalidInputError:
    """Return the error for a cursor that is not one of this list."""
    fault = Fault(
        pointer="/cursor",
        detail="The cursor is not of this list",
        expected="the one in `next` of the page before, with the same parameters",
        found=cursor[:60],
    )
    return validation.InvalidInputError([fault])


def _comparable(place: Any) -> Any:
    """Return a place that every database can compare: times in UTC, and no text with U+0000. Raises ValueError."""
    match place:
        case datetime():
            return place.astimezone(UTC)
        case tuple():
            return tuple(map(_comparable, place))
        case str() if "\0" in place:
            raise ValueError(place)
        case _:
            return place


def _text(value: Any) -> Any:
    return str(value).lower() if isinstance(value, bool) else value
