"""Classification over HTTP: as built, as planned, abroad, with an identification number; and bad input."""

import json
from collections.abc import Iterator
from typing import Any

import pytest
from litestar import Litestar
from litestar.testing import TestClient

from web_server import assert_problem, client, example

Api = TestClient[Litestar]
PLANNED = {"value": True, "planned": True}


@pytest.fixture(scope="module")
def api() -> Iterator[Api]:
    with client() as api:
        yield api


def test_as_built_as_planned_and_across_a_border(api: Api) -> None:
    facts: dict[str, Any] = {"self_propelled": False, "built_for_road": True, "temporary_living_quarters": PLANNED}
    facts |= {"carries_property": True, "vehicular_structure": True, "special_permit_needed": False}
    facts |= {"floor_area_m2": {"value": 60, "unit": "ft2"}, "collapsible": False}
    body = {
        "jurisdiction": "US-ID",
        "registered_class": "Utility Trailer",
        "facts": facts,
        "travels_to": ["DE", "CA-BC"],
    }
    found = api.post("/v1/classifications", json={**body, "vin": "1ZZBF1215M1234567"}).json()
    views = {(view["outlook"], view["jurisdiction"]): view["verdict"] for view in found["views"]}
    assert found["verdict"] == "undetermined"
    assert views["as_planned", "US-ID"] == "mismatch"
    assert {("insurer", "INS"), ("across_border", "DE"), ("across_border", "CA-BC")} <= set(views)
    assert found["vin_check"]["check_digit"]["holds"] is True
    assert (
        found["vin_check"]["notes"][-1]["text"]
        == "An identification number does not say what the trailer is built for."
    )


def test_a_gap_statement_takes_travel_and_the_identification_number(api: Api) -> None:
    body: dict[str, Any] = json.loads(example("gap-statement"))
    body |= {"travels_to": ["GB"], "build": {**body["build"], "vin": "UBILT-7"}}
    assessment = api.post("/v1/gap-statements", json=body).json()["assessment"]
    assert "GB" in {view["jurisdiction"] for view in assessment["views"]}
    assert assessment["vin_check"]["shape"] == "other"


def test_a_document_is_classified_as_in_its_gap_statement(api: Api) -> None:
    # Where it is registered, the answer about the quarters decides; the trailer alone leaves it open.
    document: dict[str, Any] = json.loads(example("gap-statement"))
    facts = {**document["build"]["facts"], "temporary_living_quarters": None}
    document["build"]["facts"] = facts
    alone = api.post("/v1/classifications", json=document).json()
    document["answers"] = [{"fact": "temporary_living_quarters", "value": True, "said_by": "builder"}]
    answered = api.post("/v1/classifications", json=document).json()
    assert answered == api.post("/v1/gap-statements", json=document).json()["assessment"]
    assert answered != alone
    assert answered == api.post("/v1/classifications", json={**document, "policies": [], "losses": []}).json()


def test_a_fault_of_a_policy_is_told_as_by_every_computation_of_the_document(api: Api) -> None:
    document: dict[str, Any] = json.loads(example("gap-statement"))
    document["policies"].append(document["policies"][0])
    problems = [api.post(path, json=document) for path in ("/v1/classifications", "/v1/estimates")]
    assert [problem.status_code for problem in problems] == [422, 422]
    assert problems[0].json()["errors"] == problems[1].json()["errors"]


def test_what_belongs_to_a_build_is_refused_without_one(api: Api) -> None:
    document: dict[str, Any] = json.loads(example("gap-statement"))
    body = {name: document[name] for name in ("policies", "losses")} | {"jurisdiction": "US-WA"}
    problem = api.post("/v1/classifications", json=body)
    assert_problem(problem, 422, "invalid-input")
    assert [fault["pointer"] for fault in problem.json()["errors"]] == ["/policies", "/losses"]


@pytest.mark.parametrize(
    ("changes", "pointer", "expected"),
    [
        ({"jurisdiction": "XX"}, "/jurisdiction", "a code of GET /v1/jurisdictions"),
        ({"travels_to": ["US", "XX"]}, "/travels_to/1", "a code of GET /v1/jurisdictions"),
        ({"facts": {"sleeps": 2}}, "/facts/sleeps", "sleeping_berths"),
        ({"facts": {"has_gas": "yes"}}, "/facts/has_gas", "true, false or null"),
        ({"facts": {"has_gas": {"value": "yes", "planned": True}}}, "/facts/has_gas/value", "true, false or null"),
        ({"facts": {"width_m": {"value": 3, "unit": "lb"}}}, "/facts/width_m/unit", "m, cm, mm, in, ft"),
        ({"facts": {"width_m": "3 lb"}}, "/facts/width_m", "a unit of length"),
        (
            {"facts": {"sleeping_berths": 0, "temporary_living_quarters": True}},
            "/facts/temporary_living_quarters",
            "sleeping_berths: 0",
        ),
        ({"facts": {"sleeping_berths": 0, "used_as_residence": True}}, "/facts/used_as_residence", "berths: 0"),
        (
            {"facts": {"empty_weight_kg": "1000 lb", "loaded_weight_kg": 400}},
            "/facts/loaded_weight_kg",
            "empty_weight_kg: 1000 lb",
        ),
        ({"as_of": "2999-01-01"}, "/as_of", "or earlier"),
        ({"build": {"name": "a", "currency": "USD"}}, "/jurisdiction", "either build or jurisdiction"),
    ],
)
def test_bad_input_is_a_problem_that_says_what_was_expected(
    api: Api, changes: dict[str, Any], pointer: str, expected: str
) -> None:
    response = api.post("/v1/classifications", json={"jurisdiction": "US-WA", **changes})
    assert_problem(response, 422, "invalid-input")
    (fault,) = response.json()["errors"]
    assert fault["pointer"] == pointer
    assert expected in fault["expected"]
    assert fault["found"]


@pytest.mark.parametrize(("day", "longest"), [("2017-08-31", "12.192"), ("2017-09-01", "13.716")])
def test_an_older_date_is_judged_by_what_held_then(api: Api, day: str, longest: str) -> None:
    body = {"jurisdiction": "US-TX", "registered_class": "travel trailer", "as_of": day}
    elements = api.post("/v1/classifications", json=body).json()["registered"]["elements"]
    length = next(test for element in elements for test in element["tests"] if test["fact"].endswith("length_m"))
    assert length["threshold"] == longest
