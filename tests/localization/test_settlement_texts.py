"""The words of questions, of what figures rest on, and of the days after a loss, in every locale."""

from collections.abc import Sequence
from datetime import date
from decimal import Decimal

import msgspec
import pytest
from msgspec.structs import replace

from demo_sheet import demo_statement
from hitchworth import appraisal
from hitchworth.coverage.after_loss import after_loss
from hitchworth.coverage.terms import recorded
from hitchworth.demo import demo_request
from hitchworth.localization.gap_statements import localize_after_loss
from hitchworth.localization.locales import available
from hitchworth.localization.localize import localize
from hitchworth.localization.localizer import localizer_for
from hitchworth.localization.settlements import avoided_text
from hitchworth.model.answer import Answer
from hitchworth.model.build import Build
from hitchworth.model.gap import GapStatement, MoneyAtStake, Question, Settles
from hitchworth.model.loss import Loss
from hitchworth.model.policy import Policy
from hitchworth.model.settlement import AvoidedCoverage, Settlements
from hitchworth.reference.concealment_rules import concealment_rules
from hitchworth.reference.jurisdictions import jurisdictions
from hitchworth.reference.questions import bank_questions

DAY = date(2026, 11, 1)
PERILS = ("theft", "fire", "explosion", "collision", "hail", "water", "flood", "storm", "wind", "vandalism")
VALUES: dict[str, bool | str] = {
    "basis": "agreed_value",
    "settles_as": "built_use",
    "depreciates_labor": True,
    "holdback": False,
    "covers_under_construction": True,
}


def losses_by(perils: Sequence[str]) -> tuple[Loss, ...]:
    return tuple(Loss(name=peril, peril=peril, extent="total", occurred_on=DAY) for peril in perils)


def every_question() -> tuple[Question, ...]:
    """The whole bank, as if all of it applied."""
    return tuple(
        Question(
            id=entry.id,
            entry=entry.id,
            topic=entry.topic,
            phase=entry.phase,
            to=entry.to,
            urgency=entry.urgency,
            settles=Settles(),
            money_at_stake=MoneyAtStake(low=Decimal(0), high=Decimal(0)),
            parameters={"policy": "p", "policies": "p, q", "key": "hail", "count": "3", "loss": "fire"},
        )
        for entry in bank_questions().values()
    )


def every_answer() -> tuple[Answer, ...]:
    """One answer to every term that one value settles."""
    terms = (field for field in msgspec.structs.fields(Policy) if not isinstance(field.default, tuple))
    return tuple(
        Answer(policy="p", term=field.name, value=VALUES.get(field.name, 1), said_by="the agent", said_on=DAY)
        for field in terms
        if field.name != "name"
    )


@pytest.mark.parametrize("locale", available())
def test_every_question_has_all_its_text(locale: str) -> None:
    asked = localize(replace(demo_statement(), questions=every_question()), locale).questions
    for question in asked:
        texts = (question.text, question.why, question.clear_answer, question.source, *question.bring)
        assert all(texts)
        assert not [text for text in texts if "…" in text or "{" in text]
        assert "p, q" in question.why


@pytest.mark.parametrize("locale", available())
def test_every_answer_on_record_is_written_with_its_origin(locale: str) -> None:
    answered = recorded(Policy(name="p", basis="agreed_value"), every_answer())
    settlement = replace(demo_statement().settlements[0], answered=answered)
    (found,) = localize(Settlements(settlements=(settlement,), matrix=(), combined=()), locale, "USD").settlements
    assert len(found.answered) == len(every_answer())
    for note in found.answered:
        assert "the agent, " in note.text
        assert "2026" in note.text
        assert "…" not in note.text


def test_an_answer_without_origin_ends_with_its_value() -> None:
    answered = recorded(Policy(name="p", basis="agreed_value"), (Answer(policy="p", term="limit", value=9000),))
    settlement = replace(demo_statement().settlements[0], answered=answered)
    (found,) = localize(Settlements(settlements=(settlement,), matrix=(), combined=()), "en-US", "USD").settlements
    assert found.answered[0].text == "On record for the policy “p”: limit: $9,000.00."


def answered_demo() -> GapStatement:
    request = demo_request()
    assert request.as_of is not None
    answer = Answer(policy="RV actual cash value", term="settles_as", value="built_use")
    return localize(appraisal.gap_statement(replace(request, answers=(answer,)), request.as_of), "en-US")


def test_the_statement_says_what_rests_on_answers_and_what_on_assumptions() -> None:
    before, after = localize(demo_statement(), "en-US").statement, answered_demo().statement
    assert "Recorded answers settle" not in before
    assert "Recorded answers settle: settles by class or by built use (policy “RV actual cash value”)." in after
    assert "settles by class or by built use" in before.partition("assumed at the least favorable")[2]
    assert "settles by class" not in after.partition("assumed at the least favorable")[2]
    assert "deductible (policy “agreed value”)" in after


def test_a_question_without_money_is_not_called_the_dearest() -> None:
    minimal = replace(demo_statement(), settlements=(), questions=every_question())
    assert "most money" not in localize(minimal, "en-US").statement


@pytest.mark.parametrize("locale", available())
@pytest.mark.parametrize("jurisdiction", [*jurisdictions()])
def test_every_duty_and_every_time_limit_has_all_its_text(locale: str, jurisdiction: str) -> None:
    build = Build(name="b", currency="USD", jurisdiction=jurisdiction, vin="1")
    found = localize_after_loss(after_loss(build, losses_by(PERILS), DAY), localizer_for(locale))
    limits = found.time_limits
    texts = [item.text for item in found.checklist] + [text for a in limits for text in (a.text, a.source)]
    assert [limit.id for limit in limits if not limit.text] == []
    assert {limit.step for limit in limits if not limit.source} <= {"not_looked_up"}
    assert not [text for text in texts if "…" in text or "{" in text]


def test_a_time_limit_is_written_with_its_number_and_unit() -> None:
    build = Build(name="b", currency="USD", jurisdiction="US-GA")
    found = localize_after_loss(after_loss(build, losses_by(("fire",)), DAY), localizer_for("en-US")).time_limits
    written = {limit.id: limit.text for limit in found}
    assert written["us-ga-pay"] == "The insurer pays within 10 calendar days of accepting the claim."
    assert written["us-ga-decide-vehicle"] == (
        "The insurer accepts or denies the claim within 15 calendar days of receiving the proof of loss. "
        "This holds under a vehicle policy."
    )


def test_the_statement_names_the_facts_on_record_beside_the_terms() -> None:
    request = demo_request()
    assert request.as_of is not None
    answers = (
        Answer(policy="RV actual cash value", term="settles_as", value="built_use"),
        Answer(fact="has_cooking", value=True),
        Answer(fact="wheels", value=None),
    )
    statement = appraisal.gap_statement(replace(request, answers=answers), request.as_of)
    terms = "settles by class or by built use (policy “RV actual cash value”); cooking place (the trailer)"
    assert f"Recorded answers settle: {terms}." in localize(statement, "en-US").statement


def test_a_question_says_what_is_published_where_the_trailer_is_registered() -> None:
    request = demo_request()
    assert request.as_of is not None
    in_california = replace(
        request,
        build=replace(request.build, jurisdiction="US-CA"),
        policies=tuple(replace(policy, depreciates_labor=None) for policy in request.policies),
    )
    for locale in available():
        found = localize(appraisal.gap_statement(in_california, request.as_of), locale).questions
        about = [question.why for question in found if question.settles.term == "depreciates_labor"]
        assert about
        assert all("2695.9(f)(1)" in why for why in about)


def test_what_was_not_read_of_a_law_says_so() -> None:
    """O. Reg. 777/93, condition 1, was read; section 233 of the Insurance Act of Ontario was not."""
    rule = concealment_rules()["CA-ON"]
    avoided = AvoidedCoverage(payable=Decimal(0), premium_returned=None, rule=rule)
    localizer = localizer_for("en-US", "CAD")
    words = avoided_text(avoided, localizer)
    assert f"{rule.text} (O. Reg. 777/93, statutory condition 1) " in words
    assert words.endswith(f" {rule.unverified_text} (Insurance Act, section 233; not verified)")
    assert avoided_text(avoided, localizer, "[1]").endswith("(Insurance Act, section 233 [1])")
    whole = replace(avoided, rule=concealment_rules()["US-WA"])
    assert avoided_text(whole, localizer).endswith("on the earlier statute; not verified)")
