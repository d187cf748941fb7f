"""The questions that unknown terms and missing facts raise, ranked by the money that hangs on the answer.

The swing of a term is computed, not guessed: for each loss the policy is settled with each plausible answer, once with
all other unknown terms at their least and once at their most favourable; the greater spread of what is payable counts.
"""

from collections.abc import Callable, Iterable, Iterator
from decimal import Decimal
from typing import TypeAlias

from hitchworth.cover.terms import least_favourable, most_favourable, unknown_terms, with_term
from hitchworth.model.assessment import MissingFact, Verdict
from hitchworth.model.gap import MoneyAtStake, Question, Settles
from hitchworth.model.policy import Loss, Policy

Payable: TypeAlias = Callable[[Policy, Loss, Verdict], Decimal]
"""What a policy, all of whose terms are known, pays for a loss under a verdict."""


def ranked_questions(
    policies: tuple[Policy, ...],
    losses: tuple[Loss, ...],
    verdict: Verdict,
    missing_facts: tuple[MissingFact, ...],
    payable: Payable,
) -> tuple[Question, ...]:
    """Every question on whose answer money hangs, the dearest first."""
    asked = [*_of_terms(policies, losses, verdict, payable), *_of_facts(policies, losses, missing_facts, payable)]
    moving = [question for question in asked if question.money_at_stake.high > 0]
    return tuple(sorted(moving, key=lambda q: (-q.money_at_stake.high, -q.money_at_stake.low, q.id)))


def _of_terms(
    policies: tuple[Policy, ...], losses: tuple[Loss, ...], verdict: Verdict, payable: Payable
) -> Iterator[Question]:
    for policy in policies:
        for term in unknown_terms(policy):
            worst, best = least_favourable(policy, but=term.term), most_favourable(policy, but=term.term)
            swings = [
                max(
                    _spread(payable(with_term(others, term.term, value), loss, verdict) for value in term.values)
                    for others in (worst, best)
                )
                for loss in losses
            ]
            yield Question(
                id=f"{policy.name}.{term.term}",
                topic=term.term,
                settles=Settles(policy=policy.name, term=term.term),
                money_at_stake=MoneyAtStake(low=min(swings), high=max(swings)),
                particulars={"policy": policy.name},
                source=term.source,
            )


def _of_facts(
    policies: tuple[Policy, ...], losses: tuple[Loss, ...], missing: tuple[MissingFact, ...], payable: Payable
) -> Iterator[Question]:
    """A missing fact may turn the verdict, so on each hangs what the verdict moves."""
    swings = [
        _spread(payable(known, loss, verdict) for verdict in ("match", "mismatch"))
        for policy in policies
        for known in (least_favourable(policy),)
        for loss in losses
    ]
    for fact in missing:
        yield Question(
            id=f"fact.{fact.fact}",
            topic="fact",
            settles=Settles(fact=fact.fact),
            money_at_stake=MoneyAtStake(low=min(swings), high=max(swings)),
            particulars={"fact": fact.fact, "question": fact.question, "measure": fact.measure},
        )


def _spread(amounts: Iterable[Decimal]) -> Decimal:
    values = tuple(amounts)
    return max(values) - min(values)
