"""Faults of facts: outside the vocabulary, of another type, unit or range, or against each other."""

from pathlib import Path

import msgspec
import pytest

from hitchworth.model.build import FactValue, Measurement
from hitchworth.reference.condition import contradictions, parse_comparison
from hitchworth.reference.facts import vocabulary
from hitchworth.validation.facts import fact_faults

SCENARIOS = [
    scenario
    for path in sorted(Path(__file__).parents[1].joinpath("classing").glob("scenarios_*.yaml"))
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


def test_every_fault_is_told_at_once() -> None:
    faults = fact_faults({"has_gas": 1, "width_m": "x", "nothing": None}, "/build/facts")
    assert [fault.pointer for fault in faults] == [
        "/build/facts/has_gas",
        "/build/facts/width_m",
        "/build/facts/nothing",
    ]


def test_berths_of_none_and_quarters_to_sleep_in_contradict_each_other() -> None:
    (fault,) = fact_faults({"sleeping_berths": 0, "temporary_living_quarters": True}, "/facts")
    assert fault.pointer == "/facts/temporary_living_quarters"
    assert "sleeping_berths: 0" in fault.expected


def test_a_body_is_no_longer_than_its_trailer_in_any_unit() -> None:
    assert list(fact_faults({"body_length_m": "16 ft", "overall_length_m": 4.8768}, "/facts")) == []
    (fault,) = fact_faults({"body_length_m": "16 ft 1 in", "overall_length_m": 4.8768}, "/facts")
    assert fault.pointer == "/facts/overall_length_m"


def test_a_plan_does_not_contradict_what_stands() -> None:
    planned = Measurement(value=True, planned=True)
    assert list(fact_faults({"has_toilet": False, "toilet_fixed": planned}, "/facts")) == []
    nowhere = Measurement(value=False, planned=True)
    assert len(list(fact_faults({"has_toilet": nowhere, "toilet_fixed": planned}, "/facts"))) == 1


@pytest.mark.parametrize(
    "given", [True, 3, 2.5908, "8' 6\"", "102 in", None, Measurement(value=None), Measurement(value=30, unit="cm")]
)
def test_facts_as_people_give_them_pass(given: FactValue) -> None:
    name = "has_gas" if given is True else "width_m"
    assert list(fact_faults({name: given}, "/facts")) == []


@pytest.mark.parametrize("scenario", SCENARIOS, ids=lambda scenario: scenario["id"])
def test_no_trailer_of_the_scenarios_contradicts_itself(scenario: dict[str, dict[str, FactValue]]) -> None:
    assert list(fact_faults(scenario["facts"], "/facts")) == []


@pytest.mark.parametrize("rule", [entry for entry, _ in contradictions()], ids=lambda rule: rule.id)
def test_every_contradiction_is_of_two_known_facts_and_is_found(rule: object) -> None:
    together: tuple[str, ...] = getattr(rule, "mutually_exclusive", ())
    ascending: tuple[str, ...] = getattr(rule, "ascending", ())
    assert bool(together) != bool(ascending)
    facts: dict[str, FactValue] = dict(zip(ascending, (2, 1), strict=True)) if ascending else _meeting(together)
    assert len(facts) == 2
    assert set(facts) <= set(vocabulary())
    assert len(list(fact_faults(facts, "/facts"))) == 1


def _meeting(together: tuple[str, ...]) -> dict[str, FactValue]:
    """A value for each comparison that meets it: its threshold, or one more."""
    facts: dict[str, FactValue] = {}
    for comparison in map(parse_comparison, together):
        threshold = comparison.threshold
        met = threshold if isinstance(threshold, bool) else int(str(threshold)) + (comparison.operator == ">")
        facts[comparison.fact] = met
    return facts
