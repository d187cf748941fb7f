"""Outcomes under open terms: against settling every combination of answers, which the core does not do."""

from decimal import Decimal
from itertools import product

from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from coverage_strategies import policies, surroundings
from hitchworth.coverage.circumstances import LossContext
from hitchworth.coverage.outcomes import Answers, Outcomes
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


def every(outcomes: Outcomes) -> list[Answers]:
    return list(product(*outcomes.values))


@given(surroundings(), half_known())
def test_the_extremes_are_those_of_all_combinations(around: LossContext, policy: Policy) -> None:
    outcomes = Outcomes(policy, around)
    paid = [outcomes.payable(answers) for answers in every(outcomes)]
    assert outcomes.payable(outcomes.worst) == min(paid)
    assert outcomes.payable(outcomes.best) == max(paid)


@given(surroundings(), half_known())
def test_no_swing_is_greater_than_any_combination_shows(around: LossContext, policy: Policy) -> None:
    outcomes = Outcomes(policy, around)
    for place, term in enumerate(outcomes.terms):
        apart: dict[Answers, list[Decimal]] = {}
        for answers in every(outcomes):
            apart.setdefault((*answers[:place], *answers[place + 1 :]), []).append(outcomes.payable(answers))
        assert outcomes.swing(term) <= max(max(paid) - min(paid) for paid in apart.values())


@given(surroundings(), half_known())
def test_a_term_is_assumed_aloud_when_the_payment_could_be_better(around: LossContext, policy: Policy) -> None:
    settlement = settle(policy, around)
    assert settlement.payable <= settlement.payable_at_best
    assert bool(settlement.assumed) or settlement.payable == settlement.payable_at_best


def test_a_limit_does_not_hide_what_a_term_moves() -> None:
    # As built 17,000 to replace; the limit of 9,000 hides the tax unless labor is aged: then 1,999 are left and taxed.
    fire = Loss(name="fire", peril="fire", extent="total", occurred_on=DAY)
    around = circumstances(
        fire,
        line("stove", "stove", "5000", "5000"),
        line("work", "labor", "10000", "10000", "labor"),
        line("panel", "solar", "2000"),
        verdict="mismatch",
    )
    policy = Policy(name="p", basis="actual_cash_value", limit=Decimal(9000), total_loss_tax_rate=None)
    # By hand: 2,000 x 9 % with labor aged and settled as built.
    assert Outcomes(policy, around).swing("total_loss_tax_rate") == 180
