"""The settlement of one policy and one loss: what is paid, when, by which steps, and on which assumptions."""

from collections.abc import Iterator, Mapping
from datetime import date, timedelta
from decimal import Decimal
from types import MappingProxyType

from msgspec.structs import replace

from hitchworth.coverage.account import Account
from hitchworth.coverage.bases import is_too_old, stated_market_value
from hitchworth.coverage.claim import Claim, is_excluded_by_custom, says_how_damage_is_paid
from hitchworth.coverage.expenses import expenses_paid
from hitchworth.coverage.outcomes import Answers, Outcomes
from hitchworth.coverage.terms import assumptions, taken_from_rule
from hitchworth.coverage.total_loss import total_loss_rule_used
from hitchworth.model.loss import Loss
from hitchworth.model.note import Note
from hitchworth.model.policy import Policy
from hitchworth.model.settlement import AvoidedCoverage, Settlement, Step
from hitchworth.reference.concealment_rules import concealment_rule_of
from hitchworth.reference.perils import same_peril, similar_perils

NOT_COVERED_STEPS: Mapping[str, str] = MappingProxyType(
    {
        "liability_only": "covers_damage",
        "exclusion": "covers_perils",
        "situation": "covers_situations",
        "under_construction": "covers_under_construction",
    }
)
"""The steps that leave nothing to pay, with the term that decides each."""


def settlement_of(outcomes: Outcomes) -> Settlement:
    """Return what the policy pays for the loss, every open term at its least favorable plausible answer."""
    claim, account = outcomes.settle(outcomes.worst)
    money = claim.money
    now, until_replaced = _payable_now(claim, account)
    _, at_best = outcomes.payable_range()
    return Settlement(
        policy=claim.policy.name,
        loss=claim.loss.name,
        basis=claim.policy.basis,
        peril=claim.loss.peril,
        extent="total" if account.total else "partial",
        valued_on=claim.context.day,
        steps=tuple(_step(step, outcomes.worst) for step in account.steps(money)),
        payable_now=money.from_minor_units(now),
        recoverable_depreciation=money.from_minor_units(account.running - now),
        if_avoided=_if_avoided(outcomes.claim) if account.covered else None,
        payable_to_lender=_payable_to_lender(claim, account),
        recoverable_until=_deadline(claim) if account.running > now else None,
        payable=money.from_minor_units(account.running),
        payable_at_best=at_best,
        replacement_cost=money.from_minor_units(account.cost_to_replace),
        insured_loss=money.from_minor_units(account.insured_loss),
        gap=money.from_minor_units(account.cost_to_replace - account.running),
        share_covered=_share(account),
        expenses=expenses_paid(claim, covered=account.covered),
        gap_breakdown=account.gap_breakdown(money),
        assumed=(*assumptions(claim.policy.name, outcomes.worst | until_replaced), *taken_from_rule(outcomes.claim)),
        notes=tuple(_notes(claim, account, outcomes.claim)),
    )


def _step(step: Step, assumed: Answers) -> Step:
    """Return the step; where nothing is paid because coverage is only assumed to be missing, it says so."""
    term = NOT_COVERED_STEPS.get(step.code)
    if term is None or not any(answered.partition(".")[0] == term for answered in assumed):
        return step
    return replace(step, code="assumed_not_covered", parameters={})


def _payable_now(claim: Claim, account: Account) -> tuple[int, Answers]:
    """Return all of it, unless depreciation is held back until the trailer has been replaced; and what that assumes.

    Until then a replacement-cost policy pays the actual cash value.
    """
    policy, context = claim.policy, claim.context
    if policy.basis != "replacement_cost" or not claim.loss.replaced or policy.holdback is False:
        return account.running, {}
    not_yet = Outcomes(policy, replace(context, loss=replace(claim.loss, replaced=False)))
    now = claim.money.to_minor_units(not_yet.payable_range()[0])
    if now >= account.running:
        return account.running, {}
    held_back: Answers = {} if policy.holdback else {"holdback": True}
    return now, held_back | not_yet.worst


def _if_avoided(claim: Claim) -> AvoidedCoverage | None:
    """Return what is left if the insurer avoids the policy, because nobody told it what the trailer is built for."""
    if claim.policy.knows_built_use or claim.context.verdict == "match":
        return None
    money, premium = claim.money, claim.policy.annual_premium
    return AvoidedCoverage(
        payable=money.from_minor_units(0),
        premium_returned=None if premium is None else money.from_minor_units(money.to_minor_units(premium)),
        rule=concealment_rule_of(claim.context.build.jurisdiction),
    )


def _payable_to_lender(claim: Claim, account: Account) -> Decimal:
    """Return what goes to the lender named on the policy: the balance of the loan, but no more than is payable."""
    balance = claim.policy.loan_balance if claim.policy.lender is not None else None
    return claim.money.from_minor_units(min(account.running, claim.money.to_minor_units(balance or Decimal(0))))


def _deadline(claim: Claim) -> date | None:
    """Return the last day of the policy's time for what was held back; None past the end of the calendar."""
    days, lost_on = claim.policy.holdback_days, claim.context.day
    if days is None or (date.max - lost_on).days < days:
        return None
    return lost_on + timedelta(days=days)


def _share(account: Account) -> Decimal:
    """Return the share of the replacement cost that is paid, to four places; 1 where nothing was lost."""
    if not account.cost_to_replace:
        return Decimal(1)
    return (Decimal(account.running) / Decimal(account.cost_to_replace)).quantize(Decimal("0.0001"))


def _notes(claim: Claim, account: Account, as_entered: Claim) -> Iterator[Note]:
    """Yield what the reader should know, each note with the policy or loss that it is about.

    `claim` has its open terms answered; `as_entered` has them open.
    """
    policy, loss = claim.policy, claim.loss
    yield from _peril_not_listed(policy, loss)
    if account.total_loss_tested:
        yield total_loss_rule_used(as_entered)
    if account.constructive:
        yield Note(code="constructive_total_loss", about=loss.name)
    if any(entry.code == "class_value" for entry in account.entries):
        yield Note(code="settled_by_registered_class", about=policy.name)
    if any(entry.code == "salvage_in_proportion" for entry in account.entries):
        yield Note(code="salvage_in_proportion", about=policy.name, parameters={"loss": loss.name})
    if account.covered and policy.basis == "replacement_cost" and loss.replaced and account.total and is_too_old(claim):
        yield Note(code="too_old_for_replacement_cost", about=policy.name)
    yield from _market_value_used(claim, account)
    if policy.coinsurance_rate and policy.limit is None and policy.amount is None:
        yield Note(code="coinsurance_without_limit", about=policy.name)
    if policy.covers_damage is None and says_how_damage_is_paid(policy):
        yield Note(code="damage_cover_implied", about=policy.name)
    if any(entry.code == "exclusion" for entry in account.entries) and is_excluded_by_custom(policy, loss.peril):
        yield Note(code="excluded_by_custom", about=loss.name, parameters={"peril": loss.peril, "policy": policy.name})


def _market_value_used(claim: Claim, account: Account) -> Iterator[Note]:
    """Yield where the market value of the build comes from that moved the payment, or that none was given."""
    context, policy = claim.context, claim.policy
    if policy.basis == "market_value" and stated_market_value(claim) is None:
        yield Note(code="market_value_stands_for_actual_cash_value", about=policy.name)
    is_of_policy = policy.basis == "market_value" and policy.amount is not None
    if not is_of_policy and any(entry.code == "market_value" for entry in account.entries):
        yield Note(
            code=f"market_value_{context.market_value_from}", parameters={"amount": f"{context.build.market_value:f}"}
        )


def _peril_not_listed(policy: Policy, loss: Loss) -> Iterator[Note]:
    named = {*(policy.covers_perils or ()), *(policy.excluded_perils or ())}
    similar = similar_perils(loss.peril)
    if similar and not any(same_peril(loss.peril, peril) for peril in named):
        parameters = {"peril": loss.peril, "similar": ", ".join(similar)}
        yield Note(code="peril_not_listed", about=loss.name, parameters=parameters)
