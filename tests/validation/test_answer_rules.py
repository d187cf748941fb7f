"""The rules for recorded answers."""

from datetime import date, timedelta

import msgspec
import pytest

from faulty_requests import POLICY, Json, gap_request, only_fault, places
from hitchworth.model.policy import Answer
from hitchworth.model.request import GapRequest
from hitchworth.validation.rules import rule_faults

TODAY = date(2026, 11, 25)

SHARE_OF_LIMIT: Json = {"peril": "hail", "rate": "0.02", "applies_to": "limit"}
LIMITED: Json = POLICY | {"limit": 9, "peril_deductibles": [SHARE_OF_LIMIT]}
AGREED: Json = {"name": "one", "basis": "agreed_value", "amount": 5000}


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
        ({"policy": "one", "term": "excluded_perils", "value": "x"}, [("/answers/0/term", "excluded_perils")]),
        ({"policy": "one", "term": "basis", "value": "agreed_value"}, [("/answers/0/value", "nothing")]),
        ({"policy": "one", "term": "basis", "value": "market_value"}, []),
        ({"policy": "one", "term": "deductible", "value": "-1"}, [("/answers/0/value", "-1")]),
        ({"policy": "one", "term": "deductible", "value": "1E999999"}, [("/answers/0/value", "1E+999999")]),
        ({"policy": "one", "term": "holdback", "value": "yes"}, [("/answers/0/value", '"yes"')]),
        ({"value": 1}, [("/answers/0", "nothing")]),
        ({"policy": "one", "value": 1}, [("/answers/0", "policy")]),
        ({"policy": "one", "term": "holdback", "fact": "wheels", "value": 1}, [("/answers/0", "fact, policy, term")]),
    ],
)
def test_answer(answer: Json, expected: list[tuple[str, str]]) -> None:
    assert places(gap_request(answers=[answer]), GapRequest) == expected


@pytest.mark.parametrize(
    ("policy", "answers", "expected"),
    [
        (AGREED, [("amount", None)], [("/answers/0/value", "nothing")]),
        (AGREED, [("amount", None), ("amount", 4000)], []),
        (AGREED, [("amount", 4000), ("deductible", 0), ("amount", None)], [("/answers/2/value", "nothing")]),
        (AGREED | {"amount": None}, [("amount", 4000)], []),
        (AGREED | {"amount": None}, [("limit", 4000)], [("/policies/0/amount", "nothing")]),
        (POLICY, [("amount", 9), ("basis", "stated_amount")], []),
        (LIMITED, [("limit", None)], [("/answers/0/value", "limit")]),
        (LIMITED, [("limit", None), ("limit", 8)], []),
    ],
)
def test_amounts_after_answers(
    policy: Json, answers: list[tuple[str, object]], expected: list[tuple[str, str]]
) -> None:
    given = [{"policy": "one", "term": term, "value": value} for term, value in answers]
    assert places(gap_request(policies=[policy], answers=given), GapRequest) == expected


def test_terms_that_an_answer_can_settle() -> None:
    fault = only_fault(gap_request(answers=[{"policy": "one", "term": "charm", "value": 1}]), GapRequest)
    offered = set(fault.expected.removeprefix("one of ").partition("; ")[0].split(", "))
    assert offered >= {"basis", "amount", "limit", "deductible", "holdback", "annual_premium"}
    assert not offered & {"name", "order", "sublimits", "peril_deductibles", "allowances", "excluded_perils"}


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


def test_a_long_value_is_shortened() -> None:
    answer = {"policy": "one", "term": "holdback", "value": "x" * 70}
    assert only_fault(gap_request(answers=[answer]), GapRequest).found == '"' + "x" * 56 + "..."


def test_only_the_answered_term_is_checked() -> None:
    policy = POLICY | {"deductible": -1}
    answer = {"policy": "one", "term": "limit", "value": 1}
    assert places(gap_request(policies=[policy], answers=[answer]), GapRequest) == [("/policies/0/deductible", "-1")]


def test_the_newest_answer_applies() -> None:
    old = {"policy": "one", "term": "amount", "value": None, "said_on": "2026-01-01"}
    new = {"policy": "one", "term": "amount", "value": 4000, "said_on": "2026-01-02"}
    undated = {"policy": "one", "term": "amount", "value": None}
    assert places(gap_request(policies=[AGREED], answers=[new, old]), GapRequest) == []
    assert places(gap_request(policies=[AGREED], answers=[new, undated]), GapRequest) == []
    dated = [new | {"value": None}, old | {"value": 1}]
    assert places(gap_request(policies=[AGREED], answers=dated), GapRequest) == [("/answers/0/value", "nothing")]


def test_an_answer_is_for_its_own_policy() -> None:
    policies = [AGREED, AGREED | {"name": "two"}]
    answer = {"policy": "two", "term": "amount", "value": None}
    assert places(gap_request(policies=policies, answers=[answer]), GapRequest) == [("/answers/0/value", "nothing")]


def test_an_answer_in_the_future() -> None:
    dates = (None, TODAY, TODAY + timedelta(days=1))
    answers = tuple(Answer(fact="wheels", value=2, said_on=day) for day in dates)
    request = msgspec.structs.replace(msgspec.convert(gap_request(), GapRequest, strict=False), answers=answers)
    (fault,) = rule_faults(request, TODAY)
    assert (fault.pointer, fault.found) == ("/answers/2/said_on", "2026-11-26")
    assert (fault.detail, fault.expected) == ("Date is in the future", "2026-11-25 or earlier")
    assert list(rule_faults(request)) == []
