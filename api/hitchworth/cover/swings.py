"""Swings: how far the answer to a question moves what is payable.

The swing of a term is computed, not guessed: for each loss the policy is settled with each plausible answer, once with
all other unknown terms at their least and once at their most favourable; the greater spread of what is payable counts.
So the number of settlements grows with the number of answers, not with the number of their combinations.
"""

from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal

from msgspec.structs import replace

from hitchworth.cover.circumstances import Circumstances
from hitchworth.cover.settlement import joint_extremes, payable
from hitchworth.cover.terms import alternatives, unknown_terms
from hitchworth.model.assessment import Verdict
from hitchworth.model.gap import MoneyAtStake
from hitchworth.model.policy import Policy

NO_MONEY = MoneyAtStake(low=Decimal(0), high=Decimal(0))
"""Of a question on whose answer no figure hangs."""

VERDICTS: tuple[Verdict, ...] = ("match", "mismatch")


def term_swings(policy: Policy, losses: Sequence[Circumstances]) -> Mapping[str, MoneyAtStake]:
    """For each unknown term of the policy, the least and the greatest swing over the losses."""
    terms = unknown_terms(policy)
    extremes = [(around, joint_extremes(policy, around)) for around in losses if terms]
    return {
        term: _at_stake(
            max(_spread(payable(known, around) for known in alternatives(end, term)) for end in ends)
            for around, ends in extremes
        )
        for term in terms
    }


def verdict_swing(policies: Sequence[Policy], losses: Sequence[Circumstances]) -> MoneyAtStake:
    """What the verdict moves: every missing fact may turn it, so as much hangs on each."""
    return _at_stake(
        _spread(payable(joint_extremes(policy, around)[0], replace(around, verdict=verdict)) for verdict in VERDICTS)
        for policy in policies
        for around in losses
    )


def _at_stake(swings: Iterable[Decimal]) -> MoneyAtStake:
    spreads = tuple(swings)
    return MoneyAtStake(low=min(spreads), high=max(spreads))


def _spread(amounts: Iterable[Decimal]) -> Decimal:
    values = tuple(amounts)
    return max(values) - min(values)
