"""Questions about what was not entered: protections that are not known, and the checklist of facts."""

from datetime import date

import pytest

from hitchworth import appraisal
from hitchworth.model.build import Build, Protection
from hitchworth.model.gap import Question
from hitchworth.model.loss import Loss
from hitchworth.model.policy import Policy
from hitchworth.model.request import GapRequest

DAY = date(2026, 11, 25)


def asked(build: Build) -> dict[str, Question]:
    loss = Loss(name="theft", peril="theft", extent="total", occurred_on=DAY)
    request = GapRequest(build=build, policies=(Policy(name="auto"),), losses=(loss,))
    return {question.id: question for question in appraisal.gap_statement(request, DAY).questions}


@pytest.mark.parametrize(
    ("protections", "expected"),
    [
        (None, {"protections_in_place": "builder", "protections_wanted": "insurer"}),
        ((), {"protections_wanted": "insurer"}),
        ((Protection(name="coupler_lock"),), {"protection_discount": "insurer"}),
    ],
)
def test_protections_that_are_not_known_are_asked_of_the_builder(
    protections: tuple[Protection, ...] | None, expected: dict[str, str]
) -> None:
    questions = asked(Build(name="a", currency="USD", protections=protections))
    about = {"protections_in_place", "protections_wanted", "protection_discount"}
    assert {name: questions[name].to for name in about & questions.keys()} == expected


def test_the_checklist_has_the_most_decisive_facts_first_and_nothing_that_the_class_implies() -> None:
    build = Build(name="a", currency="USD", jurisdiction="US-WA", registered_class="utility_trailer")
    (checklist,) = (question.checklist for question in asked(build).values() if question.checklist)
    names = [each.fact for each in checklist]
    assert {"self_propelled", "vehicular_structure", "built_for_road"}.isdisjoint(names)
    settling = [each.decisive for each in checklist]
    assert settling == sorted(settling, reverse=True)
    assert settling[0]
