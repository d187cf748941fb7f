"""Cursors: sent back, they lead to the place where the page ended; what is none of the list is refused.

The cursors are worked by hand: base64 (RFC 4648, section 5) of the place as JSON, without padding.
"""

from base64 import urlsafe_b64encode
from datetime import UTC, datetime
from typing import Any

import msgspec
import pytest

from hitchworth.model.access import Instant
from hitchworth.operations.paging import Page, cut, next_page, place_of
from hitchworth.validation import InvalidInputError


@pytest.mark.parametrize(
    ("found", "items", "last"),
    [((), (), None), ((7, 8), (7, 8), None), ((7, 8, 9), (7, 8), 8)],
)
def test_a_page_ends_where_one_more_was_found(found: tuple[int, ...], items: tuple[int, ...], last: int | None) -> None:
    assert cut(found, 2) == (items, last)


def test_the_next_page_has_the_parameters_that_were_given_and_the_place() -> None:
    given = {"name": None, "trashed": True, "sort": "-name", "text": "a&b"}
    assert next_page("/v1/builds", given, 2, 3) == "/v1/builds?trashed=true&sort=-name&text=a%26b&limit=2&cursor=Mw"


@pytest.mark.parametrize(
    ("cursor", "kind", "place"),
    [
        (None, int, None),
        ("Mw", int, 3),
        ("Mw==", int, 3),
        ("WyJhIiwxXQ", tuple[str, int], ("a", 1)),
        (
            urlsafe_b64encode(b'["2026-06-01T01:30:00+02:00","x"]').decode(),
            tuple[Instant, str],
            (datetime(2026, 5, 31, 23, 30, tzinfo=UTC), "x"),
        ),
    ],
)
def test_a_cursor_leads_to_its_place(cursor: str | None, kind: Any, place: Any) -> None:
    assert place_of(cursor, kind) == place
    if isinstance(place, tuple) and isinstance(place[0], datetime):
        assert place_of(cursor, kind)[0].tzinfo is UTC


@pytest.mark.parametrize(
    "place",
    [b"", b"x", b"[3]", b'"\\u0000"', b'["a\\u0000",1]', b'["0001-01-01T00:00:00+23:59","x"]'],
)
def test_what_leads_to_no_place_is_refused(place: bytes) -> None:
    kind: Any = tuple[Instant, str] if b"0001" in place else tuple[str, int] if b"[" in place else str
    cursor = urlsafe_b64encode(place).decode()
    with pytest.raises(InvalidInputError) as refused:
        place_of(cursor, kind)
    (fault,) = refused.value.faults
    assert (fault.pointer, fault.detail, fault.found) == ("/cursor", "The cursor is not of this list", cursor)


def test_a_long_cursor_is_told_in_part() -> None:
    with pytest.raises(InvalidInputError) as refused:
        place_of("!" * 61, int)
    assert refused.value.faults[0].found == "!" * 60


def test_a_page_has_as_many_items_as_its_description_says() -> None:
    (limit, _) = msgspec.json.schema(Page)["$defs"]["Page"]["properties"].values()
    assert limit["description"].endswith(f"Default: {Page().limit}.")


@pytest.mark.parametrize("cursor", ["é", "M", "!!!!"])
def test_what_is_no_cursor_is_refused(cursor: str) -> None:
    with pytest.raises(InvalidInputError):
        place_of(cursor, int)
