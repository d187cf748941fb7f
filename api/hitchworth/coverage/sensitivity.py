"""The money at stake: how far the answer to a question moves what is payable, and what is payable under each answer."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from decimal import Decimal

from hitchworth.coverage.claim import COMPARABLE_PRICE, SALVAGE, VERDICT
from hitchworth.coverage.outcomes import Outcomes
from hitchworth.coverage.terms import TermValue
from hitchworth.model.gap import LossPayable, LossStake, MoneyAtStake, PayableRange, PlausibleAnswer

NO_MONEY = MoneyAtStake(low=Decimal(0), high=Decimal(0))
"""Of a question whose answer moves no figure."""


def stakes_of_terms(outcomes: Sequence[Outcomes]) -> Mapping[tuple[str, str], MoneyAtStake]:
    """Return the money at stake on each open term of each policy, by the names of the two.

    A term that no loss needs is not in the mapping; one that a loss needs and whose answer moves nothing is, with 0.
    """
    return {
        (policy, term): _at_stake([_stake(each, term) for each in of_policy])
        for policy, of_policy in _by_policy(outcomes).items()
        for term in dict.fromkeys(term for each in of_policy for term in each.values)
    }


def stake_of_verdict(outcomes: Sequence[Outcomes]) -> MoneyAtStake:
    """Return what an undetermined verdict moves over all policies; it is at stake on the missing facts together."""
    return _at_stake([_stake(each, VERDICT) for each in outcomes if VERDICT in each.values])


def stake_of_price(outcomes: Sequence[Outcomes]) -> MoneyAtStake:
    """Return what the price of a plain trailer moves over all policies while it is not known."""
    return _at_stake([_stake(each, COMPARABLE_PRICE) for each in outcomes if COMPARABLE_PRICE in each.values])


def stake_of_salvage(outcomes: Sequence[Outcomes]) -> MoneyAtStake:
    """Return what the unknown worth of a wreck moves; of several policies on one loss the greatest amount counts."""
    return _at_stake([_stake(each, SALVAGE) for each in outcomes if SALVAGE in each.values])


def stake_of_avoidance(outcomes: Iterable[Outcomes]) -> MoneyAtStake:
    """Return what is lost where the insurer avoids the policy: all that would be paid at best."""
    return _at_stake([LossStake(loss=each.claim.loss.name, amount=each.payable_range()[1]) for each in outcomes])


def plausible_answers_of(term: str, outcomes: Sequence[Outcomes]) -> tuple[PlausibleAnswer, ...]:
    """Return what is payable under each plausible answer to a term of one policy.

    `payable` is that of the loss on which the answer moves the most; the others stand in `by_loss`.
    """
    asked = [each for each in outcomes if term in each.values]
    if not asked:
        return ()
    most = max(asked, key=lambda each: each.stake(term))
    values = dict.fromkeys(value for each in asked for value in each.values[term])
    return tuple(_plausible_answer(term, value, asked, most) for value in values)


def _plausible_answer(term: str, value: TermValue, asked: Sequence[Outcomes], most: Outcomes) -> PlausibleAnswer:
    by_loss = tuple(
        LossPayable(loss=each.claim.loss.name, payable=_range(each, term, value))
        for each in asked
        if value in each.values[term]
    )
    payable = next((each.payable for each in by_loss if each.loss == most.claim.loss.name), by_loss[0].payable)
    return PlausibleAnswer(value=_answer_value(value), payable=payable, by_loss=by_loss)


def _range(outcomes: Outcomes, term: str, value: TermValue) -> PayableRange:
    low, high = outcomes.payable_range(term, outcomes.values[term].index(value))
    return PayableRange(low=low, high=high)


def _answer_value(value: TermValue) -> bool | str | tuple[str, ...]:
    """Return a value as an answer would give it: numbers as text."""
    return value if isinstance(value, bool | tuple) else str(value)


def _by_policy(outcomes: Iterable[Outcomes]) -> Mapping[str, list[Outcomes]]:
    found: dict[str, list[Outcomes]] = {}
    for each in outcomes:
        found.setdefault(each.claim.policy.name, []).append(each)
    return found


def _stake(outcomes: Outcomes, term: str) -> LossStake:
    return LossStake(loss=outcomes.claim.loss.name, amount=outcomes.stake(term))


def _at_stake(found: Sequence[LossStake]) -> MoneyAtStake:
    """Return the money at stake; of several policies on one loss the greatest amount counts."""
    if not found:
        return NO_MONEY
    return MoneyAtStake(
        low=min(stake.amount for stake in found),
        high=max(stake.amount for stake in found),
        by_loss=tuple(_greatest_by_loss(found)),
    )


def _greatest_by_loss(found: Iterable[LossStake]) -> Iterator[LossStake]:
    by_loss: dict[str, Decimal] = {}
    for stake in found:
        by_loss[stake.loss] = max(stake.amount, by_loss.get(stake.loss, Decimal(0)))
    return (LossStake(loss=loss, amount=amount) for loss, amount in by_loss.items())
