"""What does not fit its kind is told in our words: none of the library that decodes, and what the field wants."""

import re
from typing import Any

import msgspec
import pytest

from hitchworth import validation
from hitchworth.demo import demo_body
from hitchworth.model.fault import Fault
from hitchworth.model.request import GapRequest

OF_THE_LIBRARY = re.compile(r"`|regex|RFC3339|Expected|enum|JSON is malformed|decimal string|length [<>]")


def fault_of(pointer: str, value: Any) -> Fault:
    """The one fault of the demo's request with a value at a place."""
    body = msgspec.json.decode(demo_body())
    *way, last = pointer.split("/")[1:]
    record = body
    for name in way:
        record = record.setdefault(name, {}) if isinstance(record, dict) else record[int(name)]
    record[last] = value
    with pytest.raises(validation.InvalidInputError) as caught:
        validation.read(msgspec.json.encode(body), GapRequest)
    (fault,) = (fault for fault in caught.value.faults if fault.pointer == pointer)
    return fault


@pytest.mark.parametrize(
    ("pointer", "value", "detail", "expected"),
    [
        ("/build/currency", "dollars", "Not of the right form", "a code of ISO 4217: three capital letters, as USD"),
        ("/build/name", "", "Too short", "a line of 1 to 300 characters, with at least one visible character"),
        ("/build/name", "a" * 301, "Too long", "a line of 1 to 300 characters, with at least one visible character"),
        (
            "/build/name",
            None,
            "Null has no meaning here",
            "a line of 1 to 300 characters, with at least one visible character",
        ),
        ("/build/components/0/acquired_on", "2026-02-30", "Not a date", "a date: YYYY-MM-DD"),
        ("/build/components/0/quantity", "many", "Not a number", 'a decimal number, best as text: "12.50"'),
        ("/build/components/0/quantity", [], "Of the wrong type", 'a decimal number, best as text: "12.50"'),
        (
            "/build/components/0/evidence_grade",
            "hearsay",
            "None of the values that there are",
            "one of receipt, written_quote, own_estimate",
        ),
        ("/policies/0/excluded_perils", ["hail"] * 101, "Too long", "an array of at most 100 items"),
        ("/policies", [], "Too short", "an array of 1 to 50 items"),
        ("/policies/0/holdback_days", -1, "Number out of bounds", "a whole number from 0 to 3,650 or null"),
        (
            "/build/jurisdiction",
            "Ohio",
            "Not of the right form",
            "a code of ISO 3166 for a country or a part of it: US-WA, GB, DE or null",
        ),
        ("/locale", "klingon", "Not of the right form", "a language, and a region where it matters: de, en-US, de-AT"),
    ],
)
def test_a_misfit_is_told_in_our_words(pointer: str, value: Any, detail: str, expected: str) -> None:
    fault = fault_of(pointer, value)
    assert (fault.detail, fault.expected) == (detail, expected)


@pytest.mark.parametrize(
    "value", [None, True, -5, 1e300, "", "x" * 5000, "\u202e", [], {}, [{}], {"a": 1}, "2026-13-01"]
)
def test_no_word_of_the_library_gets_through(value: Any) -> None:
    body = msgspec.json.decode(demo_body())
    for part in (body, body["build"], body["build"]["components"][0], body["policies"][0], body["losses"][0]):
        for name in part:
            before, part[name] = part[name], value
            try:
                validation.read(msgspec.json.encode(body), GapRequest)
            except validation.InvalidInputError as caught:
                told = [text for fault in caught.faults for text in (fault.detail, fault.expected)]
                assert [text for text in told if OF_THE_LIBRARY.search(text)] == []
            part[name] = before


@pytest.mark.parametrize(
    ("body", "told"),
    [
        (b"", "empty"),
        (b'{"build": {', "breaks off"),
        (b'{"build": nil}', "wrong at byte 14"),
        ("{}".encode("utf-16"), "UTF-16"),
        (b'"\xff"', "not UTF-8"),
    ],
)
def test_a_body_that_is_no_json_is_told_in_our_words(body: bytes, told: str) -> None:
    with pytest.raises(validation.MalformedBodyError, match=told) as caught:
        validation.read(body, GapRequest)
    assert not OF_THE_LIBRARY.search(str(caught.value))


def test_a_byte_order_mark_is_passed_over() -> None:
    assert validation.read(b"\xef\xbb\xbf" + demo_body(), GapRequest) == validation.read(demo_body(), GapRequest)


@pytest.mark.parametrize("text", [" 1000.50", "+1000.5", "1_000.5", "1000.50 "])
def test_a_number_in_a_text_is_read_kindly(text: str) -> None:
    body = msgspec.json.decode(demo_body())
    body["build"]["components"][0]["unit_cost"] = text
    found = validation.read(msgspec.json.encode(body), GapRequest).build.components[0].unit_cost
    assert str(found).rstrip("0") == "1000.5"
