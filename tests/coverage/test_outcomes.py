"""Outcomes under open terms, against settling every combination of answers one by one."""

from collections.abc import Iterator
from decimal import Decimal
from itertools import product

from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from coverage_strategies import policies, surroundings
from hitchworth.coverage.claim import VERDICT, claim_of
from hitchworth.coverage.loss import LossContext
from hitchworth.coverage.outcomes import VERDICTS, Answers, Outcomes, with_answers
from hitchworth.coverage.steps import settle_claim
from hitchworth.coverage.terms import plausible_values
from hitchworth.model.policy import Loss, Policy
from valued_builds import DAY, circumstances, line, settle

OPEN = (
    "settles_as",
    "depreciates_labor",
    "coinsurance_rate",
    "deductible",
    "total_loss_tax_rate",
    "holdback",
    "covers_under_construction",
)


@st.composite
def half_known(draw: st.DrawFn) -> Policy:
    return replace(draw(policies()), **dict.fromkeys(draw(st.sets(st.sampled_from(OPEN)))))


def plausible_answers(policy: Policy, context: LossContext) -> dict[str, tuple[object, ...]]:
    """Every open term of the policy with its plausible answers, whether it matters or not."""
    place, currency = context.build.jurisdiction, context.build.currency
    values = {term: plausible_values(term, place, currency) for term in OPEN if getattr(policy, term) is None}
    return values | ({VERDICT: VERDICTS} if context.verdict == "undetermined" else {})


def every_payment(policy: Policy, context: LossContext) -> Iterator[tuple[Answers, Decimal]]:
    """What is paid under every combination of answers, each settled from its beginning."""
    claim, values = claim_of(policy, context), plausible_answers(policy, context)
    for answers in product(*values.values()):
        known = dict(zip(values, answers, strict=True))
        yield known, claim.money.from_minor_units(settle_claim(with_answers(claim, known)).running)


@given(surroundings(), half_known())
def test_the_extremes_are_those_of_all_combinations(context: LossContext, policy: Policy) -> None:
    outcomes = Outcomes(policy, context)
    paid = [payable for _, payable in every_payment(policy, context)]
    assert outcomes.payable_range() == (min(paid), max(paid))
    for answers, expected in ((outcomes.worst, min(paid)), (outcomes.best, max(paid))):
        _, account = outcomes.settle(answers)
        assert outcomes.claim.money.from_minor_units(account.running) == expected


@given(surroundings(), half_known())
def test_a_stake_is_the_greatest_spread_of_all_combinations(context: LossContext, policy: Policy) -> None:
    outcomes, payments = Outcomes(policy, context), tuple(every_payment(policy, context))
    for term in plausible_answers(policy, context):
        apart: dict[tuple[object, ...], list[Decimal]] = {}
        for answers, payable in payments:
            others = tuple(value for name, value in answers.items() if name != term)
            apart.setdefault(others, []).append(payable)
        assert outcomes.stake(term) == max(max(paid) - min(paid) for paid in apart.values())


@given(surroundings(), half_known())
def test_each_answer_has_the_range_of_its_combinations(context: LossContext, policy: Policy) -> None:
    outcomes, payments = Outcomes(policy, context), tuple(every_payment(policy, context))
    for term in outcomes.terms:
        for place, value in enumerate(outcomes.values[term]):
            paid = [payable for answers, payable in payments if answers[term] == value]
            assert outcomes.payable_range(term, place) == (min(paid), max(paid))


@given(surroundings(), half_known())
def test_a_term_is_assumed_aloud_when_the_payment_could_be_better(context: LossContext, policy: Policy) -> None:
    settlement = settle(policy, context)
    assert settlement.payable <= settlement.payable_at_best
    assert bool(settlement.assumed) or settlement.payable == settlement.payable_at_best


def test_a_limit_does_not_hide_what_a_term_moves() -> None:
    # As built 17,000 to replace; the limit of 9,000 hides the tax unless labor is depreciated: then 2,000 are left.
    fire = Loss(name="fire", peril="fire", extent="total", occurred_on=DAY)
    context = circumstances(
        fire,
        line("stove", "stove", "5000", "5000"),
        line("work", "labor", "10000", "10000", "labor"),
        line("panel", "solar", "2000"),
        verdict="mismatch",
    )
    policy = Policy(name="p", basis="actual_cash_value", limit=Decimal(9000), total_loss_tax_rate=None)
    # By hand: 2,000 x 9 % with labor depreciated and settled as built.
    assert Outcomes(policy, context).stake("total_loss_tax_rate") == 180
