"""Every fault of a body at once, with its place: faults of types, of bounds and of rules together."""

from datetime import UTC, date, datetime
from typing import Any

import msgspec
import pytest

from faulty_requests import COMPONENT, build_with, error_of, faults_of, gap_request, only_fault, places, put
from hitchworth import validation
from hitchworth.demo import demo_body
from hitchworth.model.build import Build
from hitchworth.model.fault import Fault
from hitchworth.model.request import EstimateRequest, GapRequest
from hitchworth.validation.errors import MAX_COUNTED, MAX_FAULTS, other_rows, told_once
from hitchworth.validation.fault_texts import describe_type

Json = Any


def demo() -> Json:
    return msgspec.json.decode(demo_body())


def pointers(body: Json, kind: Any = GapRequest) -> list[str]:
    with pytest.raises(validation.InvalidInputError) as caught:
        validation.read(msgspec.json.encode(body), kind)
    return [pointer for fault in caught.value.faults for pointer in (fault.pointer, *fault.also_at)]


def test_valid_body() -> None:
    assert validation.read(demo_body(), GapRequest).build.currency == "USD"


def test_faults_of_many_kinds_together() -> None:
    body = demo()
    build, lines = body["build"], body["build"]["components"]
    wrong: dict[str, Json] = {
        "/build/components/0/quantity": -1,
        "/build/components/1/unit_cost": "1E999999",
        "/build/components/2/unit_cost": "NaN",
        "/build/components/3/acquired_on": "2024-13-01",
        "/build/components/4/removed_on": "2001-01-01",
        "/build/components/18/id": lines[5]["id"],
        "/build/components/7/schedule": "of_no_such_name",
        "/build/components/8/schedule": {"method": "straight_line"},
        "/build/components/9/schedule": {"method": "by_the_moon"},
        "/build/components/11/colour": "red",
        "/build/components/13/quantity": True,
        "/build/components/14/currency": "XXQ",
        "/build/components/15/description": "",
        "/build/components/16/price_index": "of_no_such_name",
        "/build/labor/0/component_id": "of_no_such_id",
        "/build/labor/1/hours": "a lot",
        "/build/facts/no_such_fact": True,
        "/build/facts/wheels": -4,
        "/build/jurisdiction": "US-ZZ",
        "/build/indirect_costs/overhead_rate": 101,
        "/policies/0/order": ["limit", "limit"],
        "/policies/1/name": body["policies"][0]["name"],
        "/policies/2/amount": -4,
        "/losses/2/damage": [{"fraction": "0.5"}, {"fraction": 2, "id": lines[0]["id"]}],
        "/options": {"confidence": "1"},
        "/locale": "Klingon",
        "/answers": [{"fact": "wheels", "value": "many"}],
    }
    for pointer, value in wrong.items():
        put(body, pointer, value)
    lines[10] |= {"low": "500", "high": "400"}
    del lines[12]["unit_cost"]
    build["price_indexes"] = {"a/b": [{"month": "2020-02", "value": 1}, {"month": "2020-02", "value": 0}]}

    expected = set(wrong) - {"/build/components/8/schedule", "/build/components/9/schedule", "/policies/0/order"}
    expected -= {"/losses/2/damage", "/options", "/answers"}
    expected |= {
        "/build/components/8/schedule/life_years",
        "/build/components/9/schedule/method",
        "/build/components/10/low",
        "/build/components/12/unit_cost",
        "/build/components/14/exchange_rate",
        "/build/price_indexes/a~1b/1/month",
        "/build/price_indexes/a~1b/1/value",
        "/policies/0/order/1",
        "/losses/2/damage/0",
        "/losses/2/damage/1/fraction",
        "/options/confidence",
        "/answers/0/value",
    }
    found = pointers(body)
    assert set(found) == expected
    assert len(found) == len(expected)


def test_expected_and_found() -> None:
    body = demo()
    body["build"]["components"][3]["evidence_grade"] = "hearsay"
    with pytest.raises(validation.InvalidInputError) as caught:
        validation.read(msgspec.json.encode(body), GapRequest)
    (fault,) = caught.value.faults
    assert fault.pointer == "/build/components/3/evidence_grade"
    assert fault.detail == "Not one of the allowed values"
    assert fault.expected == "one of receipt, written_quote, own_estimate or null"
    assert fault.found == '"hearsay"'


def test_most_faults_of_decoding() -> None:
    components: list[Json] = [{f"unknown {row}": row} for row in range(1000)]
    error = error_of({"build": {"name": "a", "currency": "USD", "components": components}}, EstimateRequest)
    assert error is not None
    # Of each row 6 required fields are missing, told once; and each has an unknown field of its own.
    assert len(error.faults) == MAX_FAULTS
    assert error.count == 7000
    assert error.summary == "7,000 faults, 6,094 of them listed"


def test_pointers_of_a_build_are_from_its_own_root() -> None:
    build = demo()["build"] | {"currency": "XXQ", "vin": 4}
    assert "/vin" in pointers(build, Build)
    assert "/currency" in pointers(demo()["build"] | {"currency": "ZZZ"}, Build)


@pytest.mark.parametrize("body", [[], "x", 3, None, True, [{}]])
def test_body_that_is_not_an_object(body: Json) -> None:
    assert pointers(body) == [""]


def test_field_beside_an_unread_one_has_no_fault() -> None:
    body = demo()
    body["build"]["components"][0]["acquired_on"] = "yesterday"
    body["build"]["components"][0]["removed_on"] = "1990-01-01"
    assert pointers(body) == ["/build/components/0/acquired_on"]


@pytest.mark.parametrize(
    "body",
    [
        b"",
        b"{",
        b"{]",
        b'{"a":NaN}',
        b'"\xff"',
        b"\xef\xbb\xbf",
        "{}".encode("utf-16"),
        b'"\\ud800"',
        b"[" * 100_000,
        b'{"a":' * 5000,
        b"1" * 9000,
    ],
    ids=lambda body: repr(body[:10]),
)
def test_malformed_body(body: bytes) -> None:
    with pytest.raises(validation.MalformedBodyError):
        validation.read(body, EstimateRequest)


@pytest.mark.parametrize("number", ["1E99999999999999999999", "1E-99999999999999999999", "9" * 5000])
def test_number_too_large_to_read(number: str) -> None:
    body = f'{{"build":{{"name":"a","currency":"USD","components":[{{"id":"a","quantity":{number}}}]}}}}'
    with pytest.raises((validation.MalformedBodyError, validation.InvalidInputError)):
        validation.read(body.encode(), EstimateRequest)


def test_most_faults_of_rules() -> None:
    body = {"build": build_with(*({"price_index": f"no {number}", "id": str(number)} for number in range(1312)))}
    error = error_of(body, EstimateRequest)
    assert error is not None
    # The first hundred unknown names come with similar ones or without, and the others without: all are one fault.
    assert (error.count, error.summary) == (1312, "1,312 faults")


def test_a_hundred_of_many_faults_are_listed() -> None:
    lines = ({"low": 2 + number, "high": 1 + number, "id": str(number)} for number in range(1312))
    error = error_of({"build": build_with(*lines)}, EstimateRequest)
    assert error is not None
    assert len(error.faults) == MAX_FAULTS
    assert error.summary == "1,312 faults, 100 of them listed"
    assert str(error) == "1,312 faults, first at /build/components/0/low"


def test_the_same_fault_of_many_rows_is_told_once() -> None:
    dates = ["03/15/2025", "2025-04-01", "4/2/2025", "soon"]
    lines = ({"acquired_on": day, "id": str(number)} for number, day in enumerate(dates))
    fault = only_fault({"build": build_with(*lines)}, EstimateRequest)
    assert (fault.pointer, fault.found) == ("/build/components/0/acquired_on", '"03/15/2025"')
    assert fault.also_at == ("/build/components/2/acquired_on", "/build/components/3/acquired_on")
    assert other_rows(fault) == "the same in 2 more rows: 2-3"


@pytest.mark.parametrize(
    ("pointer", "also_at", "words"),
    [
        ("/a/0/b", ["/a/4/b"], "the same in 1 more row: 4"),
        ("/a/9/b", ["/a/10/b", "/a/11/b", "/a/13/b"], "the same in 3 more rows: 10-11, 13"),
        ("/a/0/b/0", ["/a/0/b/1", "/a/1/b/0"], "the same in 2 more rows: /a/0/b/1, /a/1/b/0"),
        (
            "/a/1",
            [f"/a/{row}" for row in range(3, 2403, 2)],
            f"the same in 1,200 more rows: {', '.join(map(str, range(3, 43, 2)))}, and 1180 more",
        ),
    ],
)
def test_rows_in_words(pointer: str, also_at: list[str], words: str) -> None:
    assert other_rows(Fault(pointer=pointer, detail="a", also_at=tuple(also_at))) == words


def test_faults_that_say_something_else_are_told_apart() -> None:
    faults = [
        Fault(pointer="/a/0/b", detail="x", expected="y", found="1"),
        Fault(pointer="/a/1/b", detail="x", expected="z", found="1"),
        Fault(pointer="/a/2/b", detail="w", expected="y", found="1"),
        Fault(pointer="/a/3/c", detail="x", expected="y", found="1"),
        Fault(pointer="/a1/4/b", detail="x", expected="y", found="1"),
        Fault(pointer="/a/5/b", detail="x", expected="y", found="2"),
    ]
    together = faults[0].pointer, ("/a/5/b",)
    alone = [(fault.pointer, ()) for fault in faults[1:5]]
    assert [(fault.pointer, fault.also_at) for fault in told_once(faults)] == [together, *alone]


def test_counting_ends() -> None:
    lines = [{"id": str(number)} for number in range(3000)]
    error = error_of({"build": {"name": "a", "currency": "USD", "components": lines}}, EstimateRequest)
    assert error is not None
    assert (error.count, error.summary) == (MAX_COUNTED, "at least 10,000 faults")


def test_an_empty_text_counts_as_not_given() -> None:
    blank = {"serial_number": "", "removed_on": "", "tax": " ", "schedule": "\t", "evidence_grade": "", "note": ""}
    line = COMPONENT | blank
    body = {"build": {"name": "a", "currency": "USD", "components": [line], "vin": "", "facts": {"wheels": ""}}}
    plain = {"build": {"name": "a", "currency": "USD", "components": [COMPONENT]}}
    read = [validation.read(msgspec.json.encode(each), EstimateRequest) for each in (body, plain)]
    assert read[0] == read[1]


def test_an_empty_text_where_something_is_required_is_a_missing_field() -> None:
    fault = only_fault(build_with({"unit_cost": ""}), Build)
    assert (fault.pointer, fault.detail) == ("/components/0/unit_cost", "Required field is missing")


def test_an_empty_text_in_a_list_is_a_fault() -> None:
    assert places(gap_request(travels_to=[""]), GapRequest) == [("/travels_to/0", '""')]


def test_most_unknown_fields() -> None:
    assert len(faults_of({f"unknown {number}": 1 for number in range(200)}, EstimateRequest)) == MAX_FAULTS


def test_most_faults_of_a_mapping() -> None:
    schedules = {f"own {number}": {"method": "x"} for number in range(101)}
    assert len(faults_of(build_with(schedules=schedules), Build)) == MAX_FAULTS


def test_missing_field() -> None:
    fault = only_fault({}, EstimateRequest)
    assert (fault.pointer, fault.detail) == ("/build", "Required field is missing")
    assert (fault.expected, fault.found) == ("an object", "nothing")


def test_unknown_field() -> None:
    fault = only_fault({"build": build_with(), "option": {}}, EstimateRequest)
    assert (fault.pointer, fault.detail, fault.found) == ("/option", "Unknown field", '"option"')
    fields = (
        "format, build, policies, losses, coordination, travels_to, answers, sales_comparison, options, locale, photo, "
        "evidence, as_of"
    )
    assert fault.expected == f"one of {fields}; similar: options, coordination"


@pytest.mark.parametrize(
    ("value", "found"),
    [
        ("x" * 301, '"' + "x" * 56 + "..."),
        ("\u202e" + "x" * 57, '"\u202e' + "x" * 57 + '"'),  # 60 characters with the quotation marks
        ("\u202e" + "x" * 58, '"\u202e' + "x" * 55 + "..."),
        (7, "7"),
        (True, "true"),
        ({"a": 1}, "an object"),
        ([], "an array"),
    ],
)
def test_found_is_at_most_60_characters(value: object, found: str) -> None:
    assert only_fault(build_with() | {"name": value}, Build).found == found


def test_found_number_keeps_its_digits() -> None:
    with pytest.raises(validation.InvalidInputError) as caught:
        validation.read(b'{"name": 1.10, "currency": "USD"}', Build)
    assert [fault.found for fault in caught.value.faults] == ["1.10"]


def test_numbers_out_of_range_do_not_hide_other_faults_of_the_record() -> None:
    line = {"quantity": "1E7", "removed_on": "2025-04-30", "low": "NaN", "high": 3}
    assert [pointer for pointer, _ in places(build_with(line), Build)] == [
        "/components/0/quantity",
        "/components/0/low",
        "/components/0/removed_on",
    ]


def test_optional_field_that_cannot_be_read_is_at_its_default() -> None:
    body = {"build": build_with({"currency": "EUR"}), "options": {"exchange_rates": 7}}
    found = [("/options/exchange_rates", "7"), ("/build/components/0/exchange_rate", "nothing")]
    assert places(body, EstimateRequest) == found


def test_message_of_the_error() -> None:
    with pytest.raises(validation.InvalidInputError, match=r"^1 fault, first at /build$"):
        validation.read(b"{}", EstimateRequest)
    with pytest.raises(validation.InvalidInputError, match=r"^2 faults, first at /build$"):
        validation.read(b'{"x": 1}', EstimateRequest)
    with pytest.raises(validation.InvalidInputError, match=r"^1 fault, first at the body$"):
        validation.read(b"[]", EstimateRequest)


@pytest.mark.parametrize(
    ("text", "kind", "expected", "found"),
    [
        ("2026-02-30", date, "a date: YYYY-MM-DD", "2026-02-30"),
        ("x" * 60, int, "a whole number", "x" * 60),
        ("x" * 61, int, "a whole number", "x" * 57 + "..."),
    ],
)
def test_read_text(text: str, kind: object, expected: str, found: str) -> None:
    with pytest.raises(validation.InvalidInputError) as caught:
        validation.read_text(text, kind)
    (fault,) = caught.value.faults
    assert (fault.pointer, fault.expected, fault.found) == ("", expected, found)
    assert validation.read_text("7", int) == 7


@pytest.mark.parametrize("text", ["5", "-5", "5e-3", "-1e-5", "2026-01-01"])
def test_a_number_is_no_point_in_time(text: str) -> None:
    """It would be taken for seconds since 1970."""
    with pytest.raises(validation.InvalidInputError) as caught:
        validation.read_text(text, datetime)
    (fault,) = caught.value.faults
    assert (fault.expected, fault.found) == (describe_type(datetime), text)
    assert validation.read_text("2026-01-01T00:00:00Z", datetime) == datetime(2026, 1, 1, tzinfo=UTC)


def test_the_same_fault_of_many_cells_is_told_once() -> None:
    def fault(cell: str, detail: str = "Nothing stands here") -> Fault:
        return Fault(pointer="", cell=cell, detail=detail)

    error = validation.InvalidInputError(
        [fault("S!D2"), fault("S!E2"), fault("S!D3"), fault("S!D4"), fault("T!D3"), fault("S!D9")]
    )
    assert [(each.cell, each.also_at) for each in error.faults] == [
        ("S!D2", ("S!D3", "S!D4", "S!D9")),
        ("S!E2", ()),
        ("T!D3", ()),
    ]
    assert error.count == 6
    assert other_rows(error.faults[0]) == "the same in 3 more rows: 3-4, 9"
