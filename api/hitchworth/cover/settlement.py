"""One policy against one loss: the steps from replacement cost to payment, each of which a person can redo by hand.

Value first: replacement cost new, less exclusion, class and wear as the basis of settlement says, with tax and fees of
a total loss added. Then the terms in the policy's order, by default sublimits, coinsurance, deductible, limit: the
coinsurance ratio is taken before the deductible, the deductible comes off the loss, and the limit caps what is left,
as the published examples do it. Last the salvage that the insured keeps.
"""

from datetime import date, timedelta
from decimal import Decimal
from functools import partial

from msgspec.structs import replace

from hitchworth.cover.case import Case, case_of
from hitchworth.cover.circumstances import Circumstances
from hitchworth.cover.damage import replacement_cost
from hitchworth.cover.expenses import expenses_paid
from hitchworth.cover.ledger import Ledger
from hitchworth.cover.order import enter_terms
from hitchworth.cover.terms import alternatives, assumptions, least_favourable, most_favourable, unknown_terms
from hitchworth.cover.value import enter_tax_and_fees, enter_value
from hitchworth.model.note import Note
from hitchworth.model.policy import Policy
from hitchworth.model.settlement import Settlement

ZERO = Decimal(0)


def settle(policy: Policy, around: Circumstances) -> Settlement:
    """What the policy pays for the loss, every unknown term at its least favourable plausible answer, and saying so."""
    worst, best = joint_extremes(policy, around)
    moving = (term for term in unknown_terms(policy) if _moves(term, worst, around))
    return replace(
        settle_known(worst, around), assumed=assumptions(worst, moving), payable_at_best=payable(best, around)
    )


def _moves(term: str, assumed: Policy, around: Circumstances) -> bool:
    """Whether anything hangs on the term in this loss, the others being as assumed."""
    return len({_gap(around, known) for known in alternatives(assumed, term)}) > 1


def joint_extremes(policy: Policy, around: Circumstances) -> tuple[Policy, Policy]:
    """The policy with all unknown terms at their least, and at their most favourable plausible answers."""
    gap = partial(_gap, around)
    return least_favourable(policy, gap), most_favourable(policy, gap)


def payable(policy: Policy, around: Circumstances) -> Decimal:
    """What a policy, all of whose terms are known, pays for the loss, now and later."""
    case = case_of(policy, around)
    return _account(case, worn=case.takes_wear).running


def settle_known(policy: Policy, around: Circumstances) -> Settlement:
    """What a policy, all of whose terms are known, pays for the loss, with every step."""
    case = case_of(policy, around)
    loss, worn = around.loss, case.takes_wear
    account = _account(case, worn=worn)
    holds_back = not worn and policy.holdback is not False
    now = min(account.running, _account(case, worn=True).running) if holds_back else account.running
    return Settlement(
        policy=policy.name,
        loss=loss.name,
        basis=policy.basis,
        peril=loss.peril,
        extent="total" if case.total else "partial",
        valued_on=loss.occurred_on,
        steps=tuple(account.steps),
        payable_now=now,
        recoverable_later=account.running - now,
        recoverable_until=_deadline(case) if account.running > now else None,
        payable=account.running,
        payable_at_best=account.running,
        replacement_cost=account.replacement_cost,
        gap=account.replacement_cost - account.running,
        share_covered=_share(account.running, account.replacement_cost),
        expenses=expenses_paid(policy, loss, case.rounded),
        waterfall=account.waterfall(),
        assumed=(),
        notes=tuple(_notes(case)),
    )


def _gap(around: Circumstances, policy: Policy) -> Decimal:
    case = case_of(policy, around)
    account = _account(case, worn=case.takes_wear)
    return account.replacement_cost - account.running


def _account(case: Case, *, worn: bool) -> Ledger:
    account = Ledger(replacement_cost(case.lost))
    if case.excluded:
        account.take("exclusion", account.running, "exclusion", peril=case.loss.peril)
        return account
    if case.unfinished:
        account.take("under_construction", account.running, "under_construction")
        return account
    covered = enter_value(account, case, worn=worn)
    enter_tax_and_fees(account, case)
    enter_terms(account, case, covered, worn=worn)
    if case.total and case.loss.salvage_kept and case.loss.salvage_value:
        account.take("salvage_kept", min(case.loss.salvage_value, account.running), "salvage")
    return account


def _deadline(case: Case) -> date | None:
    """The last day of the policy's time for it; none past the end of the calendar."""
    days = case.policy.holdback_days
    if days is None or (date.max - case.loss.occurred_on).days < days:
        return None
    return case.loss.occurred_on + timedelta(days=days)


def _share(payable: Decimal, cost: Decimal) -> Decimal:
    return (payable / cost).quantize(Decimal("0.0001")) if cost else Decimal(1)


def _notes(case: Case) -> list[Note]:
    policy = case.policy
    notes = []
    if case.constructive:
        notes.append(Note(code="constructive_total_loss", about=case.loss.name))
    if case.by_class and policy.settles_as == "registered_class":
        notes.append(Note(code="settled_by_registered_class", about=policy.name))
    if policy.basis == "replacement_cost" and case.loss.replaced and case.takes_wear:
        notes.append(Note(code="too_old_for_replacement_cost", about=policy.name))
    if policy.basis == "market_value" and policy.amount is None:
        notes.append(Note(code="market_value_stands_for_actual_cash_value", about=policy.name))
    if policy.coinsurance_rate and policy.limit is None and policy.amount is None:
        notes.append(Note(code="coinsurance_without_limit", about=policy.name))
    return notes
