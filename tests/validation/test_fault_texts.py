"""The texts of faults: what a field expects, in plain words, and nothing of the wording of msgspec."""

import re
from decimal import Decimal
from typing import Annotated, Any, Literal

import msgspec
import pytest
from msgspec import Meta

from faulty_requests import faults_of, put
from hitchworth import validation
from hitchworth.demo import demo_body
from hitchworth.model.document import Locale
from hitchworth.model.fault import Fault
from hitchworth.model.request import GapRequest
from hitchworth.model.strings import CurrencyCode, Jurisdiction, ShortText
from hitchworth.validation.fault_texts import describe_type, describe_type_error, shorten, with_suggestions

MSGSPEC_WORDING = re.compile(r"`|regex|RFC3339|Expected|enum|JSON is malformed|decimal string|length [<>]")


def fault_of(pointer: str, value: Any) -> Fault:
    """Return the fault at a place of the demo request when a value is put there."""
    body = msgspec.json.decode(demo_body())
    put(body, pointer, value)
    (fault,) = (fault for fault in faults_of(body, GapRequest) if fault.pointer == pointer)
    return fault


@pytest.mark.parametrize(
    ("pointer", "value", "detail", "expected"),
    [
        ("/build/currency", "dollars", "Wrong format", describe_type(CurrencyCode)),
        ("/build/name", "", "Required field is missing", describe_type(ShortText)),
        ("/build/name", "a" * 301, "Too long", describe_type(ShortText)),
        ("/build/name", None, "null is not allowed here", describe_type(ShortText)),
        ("/build/components/0/acquired_on", "2026-02-30", "Not a valid date", "a date: YYYY-MM-DD"),
        ("/build/components/0/quantity", "many", "Not a number", 'a decimal number, preferably as text: "12.50"'),
        ("/build/components/0/quantity", [], "Wrong type", 'a decimal number, preferably as text: "12.50"'),
        (
            "/build/components/0/evidence_grade",
            "hearsay",
            "Not one of the allowed values",
            "one of receipt, written_quote, own_estimate or null",
        ),
        ("/build/model_year", 2950, "Number is out of range", "a whole number from 1900 to 2200 or null"),
        ("/policies/0/excluded_perils", ["hail"] * 101, "Too long", "an array of at most 100 items or null"),
        ("/policies/0/holdback_days", -1, "Number is out of range", "a whole number from 0 to 3,650 or null"),
        ("/build/jurisdiction", "Ohio", "Wrong format", f"{describe_type(Jurisdiction)} or null"),
        ("/locale", "klingon", "Wrong format", describe_type(Locale)),
    ],
)
def test_text_of_a_type_error(pointer: str, value: Any, detail: str, expected: str) -> None:
    fault = fault_of(pointer, value)
    assert (fault.detail, fault.expected) == (detail, expected)


@pytest.mark.parametrize(
    ("pointer", "value", "found"),
    [
        ("/policies/0/excluded_perils", ["hail"] * 1101, "1,101 items"),
        ("/policies/0/excluded_perils", "x", '"x"'),
        ("/build/name", ["x"], "an array"),
    ],
)
def test_of_a_list_that_is_too_long_its_length_is_found(pointer: str, value: Any, found: str) -> None:
    assert fault_of(pointer, value).found == found


@pytest.mark.parametrize(
    "value", [None, True, -5, 1e300, "", "x" * 5000, "\u202e", [], {}, [{}], {"a": 1}, "2026-13-01"]
)
def test_no_wording_of_msgspec(value: Any) -> None:
    body = msgspec.json.decode(demo_body())
    for part in (body, body["build"], body["build"]["components"][0], body["policies"][0], body["losses"][0]):
        for name in part:
            before, part[name] = part[name], value
            try:
                validation.read(msgspec.json.encode(body), GapRequest)
            except validation.InvalidInputError as caught:
                texts = [text for fault in caught.faults for text in (fault.detail, fault.expected)]
                assert [text for text in texts if MSGSPEC_WORDING.search(text)] == []
            part[name] = before


@pytest.mark.parametrize(
    ("body", "message"),
    [
        (b"", "empty"),
        (b'{"build": {', "ends too early"),
        (b'{"build": nil}', "error at byte 14"),
        ("{}".encode("utf-16"), "UTF-16"),
        (b'"\xff"', "not UTF-8"),
    ],
)
def test_text_of_a_malformed_body(body: bytes, message: str) -> None:
    with pytest.raises(validation.MalformedBodyError, match=message) as caught:
        validation.read(body, GapRequest)
    assert not MSGSPEC_WORDING.search(str(caught.value))


def test_byte_order_mark_is_skipped() -> None:
    assert validation.read(b"\xef\xbb\xbf" + demo_body(), GapRequest) == validation.read(demo_body(), GapRequest)


@pytest.mark.parametrize("text", [" 1000.50", "+1000.5", "1_000.5", "1000.50 "])
def test_number_in_a_text(text: str) -> None:
    body = msgspec.json.decode(demo_body())
    body["build"]["components"][0]["unit_cost"] = text
    found = validation.read(msgspec.json.encode(body), GapRequest).build.components[0].unit_cost
    assert str(found).rstrip("0") == "1000.5"


@pytest.mark.parametrize(
    ("kind", "expected"),
    [
        (int | None, "a whole number or null"),
        (bool | str | None, "true or false or text or null"),
        (tuple[str, ...], "an array"),
        (dict[str, int], "an object"),
        (Fault, "an object"),
        (Literal["a", "b"] | None, "one of a, b or null"),
        (Annotated[int, Meta(ge=0, le=3650)], "a whole number from 0 to 3,650"),
        (Annotated[int, Meta(ge=0)], "a whole number"),
        (Annotated[str, Meta(max_length=1000)], "text of at most 1,000 characters"),
        (Annotated[tuple[str, ...], Meta(min_length=1, max_length=50)], "an array of 1 to 50 items"),
        (Annotated[dict[str, int], Meta(max_length=5)], "an object of at most 5 entries"),
        (Annotated[Annotated[int, Meta(ge=1, le=2)], Meta(description="A day.")], "a whole number from 1 to 2"),
        (Annotated[str, Meta(pattern="^x$", description="An X: x.")], "an X: x"),
        (Annotated[str, Meta(pattern="^x$")], "text"),
    ],
)
def test_describe_type(kind: Any, expected: str) -> None:
    assert describe_type(kind) == expected


@pytest.mark.parametrize(("length", "shown"), [(0, 0), (59, 59), (60, 60)])
def test_short_text_is_not_shortened(length: int, shown: int) -> None:
    assert shorten("x" * length) == "x" * shown


@pytest.mark.parametrize("length", [61, 62, 5000])
def test_long_text_is_shortened(length: int) -> None:
    assert shorten("x" * length) == "x" * 57 + "..."


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        ("solr", "a category; similar: solar"),
        ("  Solar ", "a category; similar: solar"),
        ("hand tools", "a category; similar: Hand Tools"),
        ("HAND_TOOL", "a category; similar: Hand Tools"),
        ("zzz", "a category"),
    ],
)
def test_with_suggestions(name: str, expected: str) -> None:
    assert with_suggestions(name, ["wheels", "solar", "Hand Tools"], "a category") == expected


def test_at_most_three_suggestions() -> None:
    known = {f"part {number}" for number in range(9)}
    assert with_suggestions("part", known, "an id").count("part") == 3


def test_long_names_and_long_lists_are_not_compared() -> None:
    assert "similar" in with_suggestions("x" * 80, ["x" * 80 + "y"], "a name")
    assert "similar" not in with_suggestions("x" * 81, ["x" * 80 + "y"], "a name")
    known = [f"part {number}" for number in range(501)]
    assert "similar" in with_suggestions("part 7x", known[:500], "an id")
    assert "similar" not in with_suggestions("part 7x", known, "an id")


def test_message_that_is_not_known() -> None:
    assert describe_type_error("Something new") == "Not a valid value"


@pytest.mark.parametrize(
    ("value", "kind", "detail"),
    [
        ([1], Annotated[tuple[int, ...], Meta(min_length=2, max_length=2)], "Too short"),
        (5, Annotated[int, Meta(ge=6)], "Number is out of range"),
        (5, Annotated[int, Meta(multiple_of=2)], "Number is out of range"),
        ([1, 2], tuple[int], "Wrong length"),
        (None, int, "null is not allowed here"),
        ("a", int, "Wrong type"),
        ("a", Decimal, "Not a number"),
    ],
)
def test_describe_type_error(value: object, kind: Any, detail: str) -> None:
    with pytest.raises(msgspec.ValidationError) as caught:
        msgspec.convert(value, kind)
    assert describe_type_error(str(caught.value)) == detail
