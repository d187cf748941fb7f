"""Outcomes under open terms, against settling every combination of plausible answers one by one."""

from collections.abc import Iterator
from decimal import Decimal
from itertools import product
from math import prod

from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from coverage_strategies import policies, surroundings
from hitchworth.coverage.claim import COMPARABLE_PRICE, SALVAGE, VERDICT, claim_of, is_open
from hitchworth.coverage.loss import LossContext
from hitchworth.coverage.outcomes import Answers, Outcomes, with_claim_answer
from hitchworth.coverage.questions import ranked_questions
from hitchworth.coverage.sensitivity import plausible_answers_of
from hitchworth.coverage.situation import situation_of
from hitchworth.coverage.stages import STAGES, ahead_of, settle_claim
from hitchworth.coverage.terms import plausible_answers
from hitchworth.model.loss import Loss
from hitchworth.model.policy import Policy
from hitchworth.reference.plausible_terms import has_plausible_values
from valued_builds import DAY, circumstances, known_policy, line, settle

OPEN = (
    "basis",
    "amount",
    "limit",
    "settles_as",
    "counts_own_labor",
    "values_by",
    "depreciates_labor",
    "custom_equipment_limit",
    "contents_limit",
    "coinsurance_rate",
    "deductible",
    "order",
    "replacement_years",
    "betterment_categories",
    "total_loss_tax_rate",
    "total_loss_threshold",
    "adds_tax_to_stated_amount",
    "covers_under_construction",
    "excluded_perils",
    "covers_situations",
)
MOST_OPEN = 8
HAVE_AMOUNT = ("agreed_value", "stated_amount")
"""On other bases the amount is no term: a market value that no policy names is that of the build."""

MOST_COMBINATIONS = 600
"""So many are settled one by one for one example."""

few = settings(max_examples=12, suppress_health_check=list(HealthCheck))


@st.composite
def half_known(draw: st.DrawFn) -> Policy:
    """A policy of any kind with up to eight open terms."""
    policy, terms = draw(policies()), draw(st.sets(st.sampled_from(OPEN), max_size=MOST_OPEN))
    without = tuple(term for term in policy.without if term not in terms)
    kind = draw(st.sampled_from((None, "recreational_vehicle", "homeowners", "builders_risk")))
    situations = {} if "covers_situations" in terms else policy.covers_situations
    single = dict.fromkeys(terms - {"covers_situations"})
    return replace(policy, **single, covers_situations=situations, without=without, kind=kind)


def open_terms(policy: Policy, context: LossContext) -> Iterator[str]:
    """Every open term of the policy, whether it matters or not."""
    for term in OPEN:
        if term == "covers_situations":
            situations = (f"{term}.{name}" for name in context.loss.situations)
            yield from (name for name in situations if is_open(policy, name))
        elif is_open(policy, term):
            yield f"covers_perils.{context.loss.peril}" if term == "excluded_perils" else term
    if context.loss.salvage_value is None:
        yield SALVAGE
    if context.verdict == "undetermined":
        yield VERDICT


def every_payment(policy: Policy, context: LossContext) -> Iterator[tuple[Answers, Decimal]]:
    """What is paid under every combination of answers, each settled from its beginning."""
    claim = claim_of(policy, context)
    values = {term: plausible_answers(term, claim) for term in open_terms(policy, context)}
    assume(prod(map(len, values.values())) <= MOST_COMBINATIONS)
    for combination in product(*values.values()):
        answers = dict(zip(values, combination, strict=True))
        answered = claim
        for term, value in answers.items():
            if term != "amount" or answers.get("basis", policy.basis) in HAVE_AMOUNT:
                answered = with_claim_answer(answered, term, value)
        yield answers, claim.money.from_minor_units(settle_claim(answered).running)


@few
@given(surroundings(), half_known())
def test_the_extremes_are_those_of_all_combinations(context: LossContext, policy: Policy) -> None:
    outcomes = Outcomes(policy, context)
    paid = [payable for _, payable in every_payment(policy, context)]
    assert outcomes.payable_range() == (min(paid), max(paid))
    for answers, expected in ((outcomes.worst, min(paid)), (outcomes.best, max(paid))):
        _, account = outcomes.settle(answers)
        assert outcomes.claim.money.from_minor_units(account.running) == expected


@few
@given(surroundings(), half_known())
def test_a_stake_is_the_greatest_spread_of_all_combinations(context: LossContext, policy: Policy) -> None:
    outcomes, payments = Outcomes(policy, context), tuple(every_payment(policy, context))
    for term in open_terms(policy, context):
        apart: dict[tuple[object, ...], list[Decimal]] = {}
        for answers, payable in payments:
            others = tuple(value for name, value in answers.items() if name != term)
            apart.setdefault(others, []).append(payable)
        assert outcomes.stake(term) == max(max(paid) - min(paid) for paid in apart.values()), term


@few
@given(surroundings(), half_known())
def test_each_answer_has_the_range_of_its_combinations(context: LossContext, policy: Policy) -> None:
    outcomes, payments = Outcomes(policy, context), tuple(every_payment(policy, context))
    for term in outcomes.terms:
        for place, value in enumerate(outcomes.values[term]):
            paid = [payable for answers, payable in payments if answers[term] == value]
            assert outcomes.payable_range(term, place) == (min(paid), max(paid))


@few
@given(surroundings(), half_known())
def test_a_question_shows_the_range_of_each_answer(context: LossContext, policy: Policy) -> None:
    outcomes, payments = Outcomes(policy, context), tuple(every_payment(policy, context))
    for term in outcomes.terms:
        values = outcomes.values[term]
        shown = plausible_answers_of(term, [outcomes])
        paid = [[payable for answers, payable in payments if answers[term] == value] for value in values]
        assert [(each.payable.low, each.payable.high) for each in shown] == [(min(each), max(each)) for each in paid]
        assert [each.by_loss[0].payable for each in shown] == [each.payable for each in shown]


@few
@given(surroundings(), half_known())
def test_every_term_that_moves_money_is_asked_about(context: LossContext, policy: Policy) -> None:
    """What is open by itself: an insurer that weighs all evidence has said so, and facts settle the verdict."""
    outcomes = Outcomes(policy, context)
    situation = situation_of(context.build, context.verdict, (policy,), (context,), ())
    asked = {each.settles.term: each for each in ranked_questions(situation, (outcomes,), ())}
    for term in outcomes.terms:
        if term != VERDICT:
            assert asked[term].money_at_stake.high == outcomes.stake(term) > 0
            assert [each.value for each in asked[term].plausible] == [
                value if isinstance(value, bool | tuple) else str(value) for value in outcomes.values[term]
            ]


@few
@given(surroundings(), half_known())
def test_a_term_is_assumed_aloud_when_the_payment_could_be_better(context: LossContext, policy: Policy) -> None:
    settlement = settle(policy, context)
    assert settlement.payable <= settlement.payable_at_best
    assert bool(settlement.assumed) or settlement.payable == settlement.payable_at_best


def test_every_term_that_a_settlement_may_need_has_plausible_answers() -> None:
    fire = Loss(name="fire", peril="fire", extent="total", occurred_on=DAY, salvage_kept=True)
    claim = claim_of(Policy(name="open"), circumstances(fire, line("roof", "roof", "1000")))
    needed = {term for place in range(STAGES) for term in ahead_of(place, claim).terms}
    assert {"basis", "order", "covers_damage", "values_by", "contents_limit", SALVAGE} <= needed
    assert [term for term in needed - {VERDICT, COMPARABLE_PRICE} if not has_plausible_values(term)] == []


def test_a_limit_does_not_hide_what_a_term_moves() -> None:
    # As built 17,000 to replace; the limit of 9,000 hides the tax unless labor is depreciated: then 2,000 are left.
    fire = Loss(name="fire", peril="fire", extent="total", occurred_on=DAY)
    context = circumstances(
        fire,
        line("stove", "stove", "5000", "5000"),
        line("work", "labor", "10000", "10000", "labor"),
        line("panel", "solar", "2000"),
        verdict="mismatch",
        jurisdiction="US-IL",
    )
    policy = known_policy(limit=Decimal(9000), total_loss_tax_rate=None, depreciates_labor=None)
    # By hand: 2,000 x 9 % with labor depreciated and settled as built.
    assert Outcomes(policy, context).stake("total_loss_tax_rate") == 180
