"""The rules for recorded answers."""

from datetime import date, timedelta
from typing import get_args

import msgspec
import pytest

from faulty_requests import POLICY, Json, gap_request, only_fault, places
from hitchworth.model.answer import Answer
from hitchworth.model.loss import Situation
from hitchworth.model.policy import AbsentTerm
from hitchworth.model.request import GapRequest
from hitchworth.validation.rules import rule_faults, sent_faults

TODAY = date(2026, 11, 25)


@pytest.mark.parametrize(
    ("answer", "expected"),
    [
        ({"policy": "one", "term": "deductible", "value": "250.00"}, []),
        ({"policy": "one", "term": "deductible", "value": 250.5}, []),
        ({"policy": "one", "term": "settles_as", "value": "built_use"}, []),
        ({"fact": "wheels", "value": 2}, []),
        ({"fact": "wheels", "value": "two"}, [("/answers/0/value", "two")]),
        ({"fact": "wings", "value": 2}, [("/answers/0/fact", "wings")]),
        ({"policy": "two", "term": "deductible", "value": 1}, [("/answers/0/policy", "two")]),
        ({"policy": "one", "term": "charm", "value": 1}, [("/answers/0/term", "charm")]),
        ({"policy": "one", "term": "name", "value": "x"}, [("/answers/0/term", "name")]),
        ({"policy": "one", "term": "excluded_perils", "value": "x"}, [("/answers/0/value", '"x"')]),
        ({"policy": "one", "term": "basis", "value": "agreed_value"}, []),
        ({"policy": "one", "term": "limit", "value": "none"}, []),
        ({"policy": "one", "term": "deductible", "value": "none"}, [("/answers/0/value", "none")]),
        ({"policy": "one", "term": "covers_perils.theft", "value": True}, []),
        ({"policy": "one", "term": "covers_perils.theft", "value": "yes"}, [("/answers/0/value", '"yes"')]),
        ({"policy": "one", "term": "covers_perils.", "value": True}, [("/answers/0/term", "covers_perils.")]),
        ({"policy": "one", "term": "covers_situations.abroad", "value": None}, []),
        (
            {"policy": "one", "term": "covers_situations.moon", "value": True},
            [("/answers/0/term", "covers_situations.moon")],
        ),
        ({"policy": "one", "term": "basis", "value": "market_value"}, []),
        ({"policy": "one", "term": "deductible", "value": "-1"}, [("/answers/0/value", "-1")]),
        ({"policy": "one", "term": "deductible", "value": "1E999999"}, [("/answers/0/value", "1E999999")]),
        ({"policy": "one", "term": "holdback", "value": "yes"}, [("/answers/0/value", '"yes"')]),
        ({"loss": "fire", "term": "salvage_value", "value": "900.00"}, []),
        ({"loss": "fire", "term": "salvage_value", "value": None}, []),
        ({"loss": "fire", "term": "salvage_value", "value": -1}, [("/answers/0/value", "-1")]),
        ({"loss": "fire", "term": "salvage_value", "value": "none"}, [("/answers/0/value", "none")]),
        ({"loss": "fire", "term": "peril", "value": "hail"}, [("/answers/0/term", "peril")]),
        ({"loss": "fyre", "term": "salvage_value", "value": 1}, [("/answers/0/loss", "fyre")]),
        ({"loss": "fire", "value": 1}, [("/answers/0", "loss")]),
        (
            {"policy": "one", "loss": "fire", "term": "salvage_value", "value": 1},
            [("/answers/0", "loss, policy, term")],
        ),
        ({"value": 1}, [("/answers/0", "nothing")]),
        ({"policy": "one", "value": 1}, [("/answers/0", "policy")]),
        ({"policy": "one", "term": "holdback", "fact": "wheels", "value": 1}, [("/answers/0", "fact, policy, term")]),
    ],
)
def test_answer(answer: Json, expected: list[tuple[str, str]]) -> None:
    assert places(gap_request(answers=[answer]), GapRequest) == expected


def test_terms_that_an_answer_can_settle() -> None:
    fault = only_fault(gap_request(answers=[{"policy": "one", "term": "charm", "value": 1}]), GapRequest)
    offered = set(fault.expected.removeprefix("one of ").partition("; ")[0].split(", "))
    assert offered >= {
        "basis",
        "amount",
        "limit",
        "deductible",
        "holdback",
        "annual_premium",
        "order",
        "excluded_perils",
    }
    assert not offered & {"name", "without", "sublimits", "peril_deductibles", "allowances", "covers_perils"}


@pytest.mark.parametrize(
    ("answer", "similar"),
    [
        ({"policy": "one", "term": "deductable", "value": 1}, "deductible"),
        ({"policy": "won", "term": "limit", "value": 1}, "one"),
        ({"fact": "wheel", "value": 2}, "wheels"),
    ],
)
def test_similar_names_are_suggested(answer: Json, similar: str) -> None:
    assert similar in only_fault(gap_request(answers=[answer]), GapRequest).expected.partition("; similar: ")[2]


@pytest.mark.parametrize("term", get_args(AbsentTerm))
def test_none_is_an_answer_where_a_policy_may_not_have_the_term(term: str) -> None:
    assert places(gap_request(answers=[{"policy": "one", "term": term, "value": "none"}]), GapRequest) == []


@pytest.mark.parametrize("situation", get_args(Situation))
def test_every_situation_can_be_answered(situation: str) -> None:
    answer = {"policy": "one", "term": f"covers_situations.{situation}", "value": False}
    assert places(gap_request(answers=[answer]), GapRequest) == []


def test_what_an_answer_to_a_peril_is_expected_to_be() -> None:
    answer = {"policy": "one", "term": "covers_perils.hail", "value": 2}
    fault = only_fault(gap_request(answers=[answer]), GapRequest)
    assert (fault.pointer, fault.found) == ("/answers/0/value", "2")
    assert fault.expected == "true or false or null"


def test_what_can_be_answered_by_peril_and_situation_is_named() -> None:
    fault = only_fault(gap_request(answers=[{"policy": "one", "term": "covers_perils", "value": True}]), GapRequest)
    assert (fault.pointer, fault.detail) == ("/answers/0/term", "An answer cannot settle this term")
    assert "covers_perils.NAME, covers_situations.NAME" in fault.expected


def test_a_long_value_is_shortened() -> None:
    answer = {"policy": "one", "term": "holdback", "value": "x" * 70}
    assert only_fault(gap_request(answers=[answer]), GapRequest).found == '"' + "x" * 56 + "..."


def test_only_the_answered_term_is_checked() -> None:
    policy = POLICY | {"deductible": -1}
    answer = {"policy": "one", "term": "limit", "value": 1}
    assert places(gap_request(policies=[policy], answers=[answer]), GapRequest) == [("/policies/0/deductible", "-1")]


def test_an_answer_in_the_future() -> None:
    dates = (None, TODAY, TODAY + timedelta(days=1))
    answers = tuple(Answer(fact="wheels", value=2, said_on=day) for day in dates)
    request = msgspec.structs.replace(msgspec.convert(gap_request(), GapRequest, strict=False), answers=answers)
    (fault,) = sent_faults(request, TODAY)
    assert (fault.pointer, fault.found) == ("/answers/2/said_on", "2026-11-26")
    assert (fault.detail, fault.expected) == ("Date is in the future", "2026-11-25 or earlier")
    assert list(rule_faults(request, TODAY)) == []


@pytest.mark.parametrize(
    ("term", "value"),
    [
        ("order", ["deductible", "limit"]),
        ("betterment_categories", ["tires"]),
        ("excluded_perils", []),
    ],
)
def test_a_list_of_names_can_be_answered(term: str, value: list[str]) -> None:
    assert places(gap_request(answers=[{"policy": "one", "term": term, "value": value}]), GapRequest) == []


@pytest.mark.parametrize(
    ("answer", "found"),
    [
        ({"policy": "one", "term": "order", "value": ["deductable"]}, '["deductable"]'),
        ({"policy": "one", "term": "deductible", "value": ["500"]}, '["500"]'),
        ({"fact": "wheels", "value": ["4"]}, '["4"]'),
    ],
)
def test_a_list_that_is_no_answer_is_refused(answer: Json, found: str) -> None:
    fault = only_fault(gap_request(answers=[answer]), GapRequest)
    assert (fault.pointer, fault.found) == ("/answers/0/value", found)
