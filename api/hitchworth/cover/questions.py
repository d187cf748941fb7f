"""The questions that unknown terms and missing facts raise, ranked by the money that hangs on the answer.

The swing of a term is computed, not guessed: for each loss the policy is settled with each plausible answer, once with
all other unknown terms at their least and once at their most favourable; the greater spread of what is payable counts.
So the number of settlements grows with the number of answers, not with the number of their combinations.
"""

from collections.abc import Iterable, Iterator, Sequence
from decimal import Decimal

from msgspec.structs import replace

from hitchworth.cover.circumstances import Circumstances
from hitchworth.cover.settlement import joint_extremes, payable
from hitchworth.cover.terms import alternatives, unknown_terms
from hitchworth.model.assessment import MissingFact, Verdict
from hitchworth.model.gap import MoneyAtStake, Question, Settles
from hitchworth.model.policy import Policy
from hitchworth.reference.plausible_terms import BY_NAME

VERDICTS: tuple[Verdict, ...] = ("match", "mismatch")


def ranked_questions(
    policies: Sequence[Policy], losses: Sequence[Circumstances], missing_facts: Sequence[MissingFact]
) -> tuple[Question, ...]:
    """Every question on whose answer money hangs, the dearest first."""
    asked = [*_of_terms(policies, losses), *_of_facts(policies, losses, missing_facts)]
    moving = [question for question in asked if question.money_at_stake.high > 0]
    return tuple(sorted(moving, key=lambda q: (-q.money_at_stake.high, -q.money_at_stake.low, q.id)))


def _of_terms(policies: Sequence[Policy], losses: Sequence[Circumstances]) -> Iterator[Question]:
    for policy in policies:
        extremes = [(around, joint_extremes(policy, around)) for around in losses if unknown_terms(policy)]
        for term in unknown_terms(policy):
            yield Question(
                id=f"{policy.name}.{term}",
                topic=term,
                settles=Settles(policy=policy.name, term=term),
                money_at_stake=_at_stake(
                    max(_spread(payable(known, around) for known in alternatives(end, term)) for end in ends)
                    for around, ends in extremes
                ),
                particulars={"policy": policy.name},
                source=BY_NAME[term].source,
            )


def _of_facts(
    policies: Sequence[Policy], losses: Sequence[Circumstances], missing: Sequence[MissingFact]
) -> Iterator[Question]:
    """A missing fact may turn the verdict, so on each hangs what the verdict moves."""
    if not missing:
        return
    at_stake = _at_stake(
        _spread(payable(joint_extremes(policy, around)[0], replace(around, verdict=verdict)) for verdict in VERDICTS)
        for policy in policies
        for around in losses
    )
    for fact in missing:
        yield Question(
            id=f"fact.{fact.fact}",
            topic="fact",
            settles=Settles(fact=fact.fact),
            money_at_stake=at_stake,
            particulars={"fact": fact.fact, "question": fact.question, "measure": fact.measure},
        )


def _at_stake(swings: Iterable[Decimal]) -> MoneyAtStake:
    spreads = tuple(swings)
    return MoneyAtStake(low=min(spreads), high=max(spreads))


def _spread(amounts: Iterable[Decimal]) -> Decimal:
    values = tuple(amounts)
    return max(values) - min(values)
