"""The account of a case: the steps from replacement cost to payment, each of which a person can redo by hand.

Value first: replacement cost new, less exclusion, class and wear as the basis of settlement says, with tax and fees of
a total loss added. Then the terms in the policy's order, by default sublimits, coinsurance, deductible, limit: the
coinsurance ratio is taken before the deductible, the deductible comes off the loss, and the limit caps what is left,
as the published examples do it. Last the salvage that the insured keeps.
"""

from decimal import Decimal

from hitchworth.coverage.case import Case
from hitchworth.coverage.damage import replacement_cost
from hitchworth.coverage.ledger import Ledger
from hitchworth.coverage.order import enter_terms
from hitchworth.coverage.value import enter_tax_and_fees, enter_value

ZERO = Decimal(0)


def account_of(case: Case, *, worn: bool) -> Ledger:
    """The account; `worn`: whether replacement cost pays the actual cash value only, be it for now or for good."""
    account = Ledger(replacement_cost(case.lost))
    if case.excluded:
        account.take("exclusion", account.running, "exclusion", peril=case.claim.loss.peril)
        return account
    if case.unfinished:
        account.take("under_construction", account.running, "under_construction")
        return account
    covered = enter_value(account, case, worn=worn)
    enter_tax_and_fees(account, case)
    account.insured_loss = max(account.running - case.salvage_kept, ZERO)
    enter_terms(account, case, covered, worn=worn)
    account.take("salvage_kept", min(case.salvage_kept, account.running), "salvage")
    return account
