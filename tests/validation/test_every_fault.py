"""Every fault of a body is named at once, with its place: those of type, of bounds and of sense together."""

from typing import Any

import msgspec
import pytest

from hitchworth import validation
from hitchworth.demo import demo_body
from hitchworth.model.build import Build
from hitchworth.model.request import ClassificationRequest, EstimateRequest, GapRequest
from hitchworth.validation.errors import MAX_FAULTS

Json = Any


def demo() -> Json:
    return msgspec.json.decode(demo_body())


def pointers(body: Json, kind: Any = GapRequest) -> list[str]:
    with pytest.raises(validation.InvalidInputError) as caught:
        validation.read(msgspec.json.encode(body), kind)
    return [fault.pointer for fault in caught.value.faults]


def test_a_sound_body_is_read() -> None:
    assert validation.read(demo_body(), GapRequest).build.currency == "USD"


def test_faults_of_many_kinds_are_named_together() -> None:
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
        "/policies/2/amount": None,
        "/losses/2/damage": [{"fraction": "0.5"}, {"fraction": 2, "id": lines[0]["id"]}],
        "/options": {"confidence": "1"},
        "/locale": "Klingon",
        "/answers": [{"fact": "wheels", "value": "many"}],
    }
    for pointer, value in wrong.items():
        put(body, pointer, value)
    lines[10] |= {"low": "500", "high": "400"}
    del lines[12]["unit_cost"]
    build["price_indexes"] = {"a/b": [{"month": "2020-02", "value": 1}, {"month": "2020-01", "value": 0}]}

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


def put(body: Json, pointer: str, value: Json) -> None:
    *way, last = pointer.split("/")[1:]
    for name in way:
        body = body.setdefault(name, {}) if isinstance(body, dict) else body[int(name)]
    body[last] = value


def test_a_fault_says_what_was_expected_and_found() -> None:
    body = demo()
    body["build"]["components"][3]["evidence_grade"] = "hearsay"
    with pytest.raises(validation.InvalidInputError) as caught:
        validation.read(msgspec.json.encode(body), GapRequest)
    (fault,) = caught.value.faults
    assert fault.pointer == "/build/components/3/evidence_grade"
    assert fault.expected == "one of receipt, written_quote, own_estimate"
    assert fault.found == '"hearsay"'


def test_reading_stops_after_so_many_faults() -> None:
    body = {"build": {"name": "a", "currency": "USD", "components": [{}] * 1000}}
    assert len(pointers(body, EstimateRequest)) == MAX_FAULTS


def test_a_build_by_itself_has_pointers_from_its_own_root() -> None:
    build = demo()["build"] | {"currency": "XXQ", "vin": 4}
    assert "/vin" in pointers(build, Build)
    assert "/currency" in pointers(demo()["build"] | {"currency": "ZZZ"}, Build)


@pytest.mark.parametrize("body", [[], "x", 3, None, True, [{}]])
def test_a_body_that_is_no_object_has_one_fault(body: Json) -> None:
    assert pointers(body) == [""]


def test_what_stands_beside_an_unread_value_is_not_blamed_for_it() -> None:
    body = demo()
    body["build"]["components"][0]["acquired_on"] = "yesterday"
    body["build"]["components"][0]["removed_on"] = "1990-01-01"
    assert pointers(body) == ["/build/components/0/acquired_on"]


def test_a_classification_has_a_build_or_facts_not_both() -> None:
    body = {"build": demo()["build"], "jurisdiction": "GB", "facts": {"wheels": 2}}
    assert pointers(body, ClassificationRequest) == ["/jurisdiction", "/facts"]


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
def test_what_is_no_json_is_a_bad_body(body: bytes) -> None:
    with pytest.raises(validation.MalformedBodyError):
        validation.read(body, EstimateRequest)


@pytest.mark.parametrize("number", ["1E99999999999999999999", "1E-99999999999999999999", "9" * 5000])
def test_a_number_beyond_all_range_is_refused(number: str) -> None:
    body = f'{{"build":{{"name":"a","currency":"USD","components":[{{"id":"a","quantity":{number}}}]}}}}'
    with pytest.raises((validation.MalformedBodyError, validation.InvalidInputError)):
        validation.read(body.encode(), EstimateRequest)
