"""The settlement of one policy and one loss: what is paid, when, by which steps, and on which assumptions."""

from collections.abc import Iterator
from datetime import date, timedelta
from decimal import Decimal

from hitchworth.coverage.account import account_of
from hitchworth.coverage.case import Case, carried
from hitchworth.coverage.expenses import expenses_paid
from hitchworth.coverage.ledger import Ledger
from hitchworth.coverage.outcomes import Outcomes
from hitchworth.coverage.terms import assumptions
from hitchworth.model.note import Note
from hitchworth.model.settlement import Settlement


def settlement_of(outcomes: Outcomes) -> Settlement:
    """What the policy pays for the loss, every open term at its least favorable plausible answer, and saying so."""
    case = outcomes.case(outcomes.worst)
    claim, account = case.claim, account_of(case, worn=case.takes_wear)
    now = _payable_now(case, account)
    return Settlement(
        policy=claim.policy.name,
        loss=claim.loss.name,
        basis=case.policy.basis,
        peril=claim.loss.peril,
        extent="total" if case.total else "partial",
        valued_on=claim.loss.occurred_on,
        steps=tuple(account.steps),
        payable_now=now,
        recoverable_depreciation=account.running - now,
        recoverable_until=_deadline(case) if account.running > now else None,
        payable=account.running,
        payable_at_best=outcomes.payable(outcomes.best),
        replacement_cost=account.replacement_cost,
        insured_loss=account.insured_loss,
        gap=account.replacement_cost - account.running,
        share_covered=_share(account.running, account.replacement_cost),
        expenses=expenses_paid(case),
        gap_breakdown=account.gap_breakdown(),
        assumed=assumptions(case.policy, outcomes.moving()),
        notes=tuple(_notes(case, account)),
    )


def _payable_now(case: Case, account: Ledger) -> Decimal:
    """All of it, but where the depreciation is held back until the trailer has been replaced."""
    if case.takes_wear or case.policy.holdback is False:
        return account.running
    return min(account.running, account_of(case, worn=True).running)


def _deadline(case: Case) -> date | None:
    """The last day of the policy's time for what was held back; none past the end of the calendar."""
    days, lost_on = case.policy.holdback_days, case.claim.loss.occurred_on
    if days is None or (date.max - lost_on).days < days:
        return None
    return lost_on + timedelta(days=days)


def _share(payable: Decimal, cost: Decimal) -> Decimal:
    return (payable / cost).quantize(Decimal("0.0001")) if cost else Decimal(1)


def _notes(case: Case, account: Ledger) -> Iterator[Note]:
    """What the reader should know, each note with the policy or loss that it is about."""
    policy, loss = case.policy, case.claim.loss
    if case.constructive:
        yield Note(code="constructive_total_loss", about=loss.name)
    if any(step.code == "class_value" for step in account.steps):
        yield Note(code="settled_by_registered_class", about=policy.name)
    if policy.basis == "replacement_cost" and loss.replaced and case.takes_wear:
        yield Note(code="too_old_for_replacement_cost", about=policy.name)
    if policy.basis == "market_value" and policy.amount is None:
        yield Note(code="market_value_stands_for_actual_cash_value", about=policy.name)
    if policy.coinsurance_rate and carried(policy) is None:
        yield Note(code="coinsurance_without_limit", about=policy.name)
