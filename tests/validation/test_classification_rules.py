"""The rules for facts, jurisdictions and the date of the definitions."""

from datetime import date, timedelta
from fractions import Fraction
from pathlib import Path

import msgspec
import pytest

from faulty_requests import build_with, faults_of, gap_request, only_fault, places
from hitchworth.model.build import Build, FactValue, Measurement
from hitchworth.model.request import ClassificationRequest, GapRequest
from hitchworth.reference.condition import Contradiction, contradictions, parse_comparison
from hitchworth.reference.facts import vocabulary
from hitchworth.validation.classification_rules import fact_faults
from hitchworth.validation.rules import rule_faults

TODAY = date(2026, 11, 25)
SCENARIOS = [
    scenario
    for path in sorted(Path(__file__).parents[1].joinpath("classification").glob("scenarios_*.yaml"))
    for scenario in msgspec.yaml.decode(path.read_bytes(), type=list[dict[str, object]])
]


@pytest.mark.parametrize(
    ("name", "given", "pointer", "expected"),
    [
        ("sleeps", 2, "/facts/sleeps", "sleeping_berths"),
        ("a/b", 2, "/facts/a~1b", "GET /v1/facts"),
        ("has_gas", "yes", "/facts/has_gas", "true, false or null"),
        ("width_m", -2, "/facts/width_m", "from 0 to 100 m"),
        ("width_m", "wide", "/facts/width_m", "a number"),
        ("width_m", Measurement(value="wide"), "/facts/width_m/value", "a number"),
        ("width_m", Measurement(value=2, unit="lb"), "/facts/width_m/unit", "m, cm, mm, in, ft"),
        ("width_m", "2 lb", "/facts/width_m", "a unit of length"),
        ("sleeping_berths", 1.5, "/facts/sleeping_berths", "a whole number"),
        ("built_by", "nobody", "/facts/built_by", "manufacturer, owner, workshop"),
    ],
)
def test_a_fault_names_its_place_and_what_was_expected(
    name: str, given: FactValue, pointer: str, expected: str
) -> None:
    (fault,) = fact_faults({name: given}, "/facts")
    assert fault.pointer == pointer
    assert expected in fault.expected
    assert fault.found


def test_every_fault_is_found_at_once() -> None:
    faults = fact_faults({"has_gas": 1, "width_m": "x", "nothing": None}, "/build/facts")
    assert [fault.pointer for fault in faults] == [
        "/build/facts/has_gas",
        "/build/facts/width_m",
        "/build/facts/nothing",
    ]


def test_no_berths_contradict_living_quarters() -> None:
    (fault,) = fact_faults({"sleeping_berths": 0, "temporary_living_quarters": True}, "/facts")
    assert fault.pointer == "/facts/temporary_living_quarters"
    assert "sleeping_berths: 0" in fault.expected


def test_body_longer_than_the_trailer_in_another_unit() -> None:
    assert list(fact_faults({"body_length_m": "16 ft", "overall_length_m": 4.8768}, "/facts")) == []
    (fault,) = fact_faults({"body_length_m": "16 ft 1 in", "overall_length_m": 4.8768}, "/facts")
    assert fault.pointer == "/facts/overall_length_m"


def test_planned_facts_are_compared_with_planned_ones() -> None:
    planned = Measurement(value=True, planned=True)
    assert list(fact_faults({"has_toilet": False, "toilet_fixed": planned}, "/facts")) == []
    absent = Measurement(value=False, planned=True)
    assert len(list(fact_faults({"has_toilet": absent, "toilet_fixed": planned}, "/facts"))) == 1


@pytest.mark.parametrize(
    "given", [True, 3, 2.5908, "8' 6\"", "102 in", None, Measurement(value=None), Measurement(value=30, unit="cm")]
)
def test_valid_facts(given: FactValue) -> None:
    name = "has_gas" if given is True else "width_m"
    assert list(fact_faults({name: given}, "/facts")) == []


@pytest.mark.parametrize("scenario", SCENARIOS, ids=lambda scenario: scenario["id"])
def test_scenarios_have_no_faults(scenario: dict[str, dict[str, FactValue]]) -> None:
    assert list(fact_faults(scenario["facts"], "/facts")) == []


@pytest.mark.parametrize("rule", [entry for entry, _ in contradictions()], ids=lambda rule: rule.id)
def test_every_contradiction_is_of_two_known_facts_and_is_found(rule: Contradiction) -> None:
    assert bool(rule.mutually_exclusive) != bool(rule.ascending)
    facts = _values_that_meet(rule.mutually_exclusive) or dict(zip(rule.ascending, (2, 1), strict=True))
    assert len(facts) == 2
    assert set(facts) <= set(vocabulary())
    assert len(list(fact_faults(facts, "/facts"))) == 1


def _values_that_meet(together: tuple[str, ...]) -> dict[str, FactValue]:
    """Return a value for each comparison that meets it: its threshold or one more, or a word of it."""
    facts: dict[str, FactValue] = {}
    for comparison in map(parse_comparison, together):
        threshold = comparison.threshold
        if isinstance(threshold, Fraction):
            facts[comparison.fact] = int(threshold) + (comparison.operator == ">")
        else:
            facts[comparison.fact] = threshold[0] if isinstance(threshold, tuple) else threshold
    return facts


def test_scenarios_are_read() -> None:
    assert len(SCENARIOS) > 50


def test_text_of_a_contradiction() -> None:
    (fault,) = fact_faults({"sleeping_berths": 0, "temporary_living_quarters": True}, "/facts")
    assert fault.detail == "sleeping_berths and temporary_living_quarters contradict each other"
    assert (fault.expected, fault.found) == ("a value that agrees with sleeping_berths: 0", "true")


def test_a_long_value_is_shortened() -> None:
    (fault,) = fact_faults({"width_m": "x" * 61}, "/facts")
    assert fault.found == "x" * 57 + "..."


def test_unknown_jurisdiction() -> None:
    fault = only_fault(build_with(jurisdiction="US-ZZ"), Build)
    assert (fault.pointer, fault.detail, fault.found) == ("/jurisdiction", "Unknown jurisdiction", "US-ZZ")
    assert fault.expected.startswith("a code of GET /v1/jurisdictions; similar: US-")
    assert places(build_with(jurisdiction="US-WA"), Build) == []


def test_destinations() -> None:
    assert places(gap_request(travels_to=["GB", "DE", "GB"]), GapRequest) == [("/travels_to/2", "GB")]
    unknown, duplicate = faults_of({"travels_to": ["GB", "US-ZZ", "GB"]}, ClassificationRequest)
    assert unknown.expected.startswith("a code of GET /v1/jurisdictions; similar: US-")
    assert duplicate.detail == "Duplicate jurisdiction, first used at /travels_to/0"


def test_classification_has_a_build_or_the_facts() -> None:
    stated = {"jurisdiction": "GB", "registered_class": "trailer", "vin": "1", "facts": {"wheels": 2}}
    assert places(stated, ClassificationRequest) == []
    assert places({"build": build_with()}, ClassificationRequest) == []
    found = [(f"/{name}", "both") for name in stated]
    assert places(stated | {"build": build_with()}, ClassificationRequest) == found


def test_faults_of_a_build_to_classify() -> None:
    found = [("/build/currency", "ZZZ")]
    assert places({"build": build_with(currency="ZZZ")}, ClassificationRequest) == found


def test_facts_and_jurisdiction_of_a_classification() -> None:
    body = {"jurisdiction": "US-ZZ", "facts": {"wings": 2}}
    assert places(body, ClassificationRequest) == [("/jurisdiction", "US-ZZ"), ("/facts/wings", "wings")]


@pytest.mark.parametrize("as_of", [None, TODAY, date(1990, 1, 1)])
def test_definitions_of_today_and_before(as_of: date | None) -> None:
    assert list(rule_faults(ClassificationRequest(as_of=as_of), TODAY)) == []


def test_definitions_of_tomorrow() -> None:
    request = ClassificationRequest(as_of=TODAY + timedelta(days=1))
    (fault,) = rule_faults(request, TODAY)
    assert (fault.pointer, fault.detail) == ("/as_of", "Date is in the future")
    assert (fault.expected, fault.found) == ("2026-11-25 or earlier", "2026-11-26")
    assert list(rule_faults(request)) == []
