"""When the repair of a partial loss counts as a total loss: by the policy, by the law of the place, or not known.

A policy that says it goes first. The law of a place decides only where it clearly speaks of this trailer; most such
laws say when a title is branded, and bind the insurer no further. Otherwise the term of the policy is open.
"""

from decimal import Decimal
from fractions import Fraction
from typing import NamedTuple

from hitchworth.coverage.claim import Claim, is_open, known_or_absent
from hitchworth.model.note import Note
from hitchworth.model.policy import AbsentTerm, Policy
from hitchworth.reference.registration_documents import class_families
from hitchworth.reference.total_loss_thresholds import TotalLossThreshold, total_loss_threshold

TERM: AbsentTerm = "total_loss_threshold"


class _Test(NamedTuple):
    """A repair is a total loss from the share of the value on; without a share, repair plus salvage is compared."""

    share: Decimal | None
    above: bool = False
    """It has to be more than the share, not only as much."""


def is_total_loss(repair: int, value: int, claim: Claim) -> bool:
    """Return whether the repair makes a total loss. Raises OpenTermError for a term or a salvage value not known."""
    test = _test(claim)
    if test.share is not None:
        return _reaches(repair, claim.money.multiply(value, Fraction(test.share)), above=test.above)
    # Salvage can only add to the repair, so it is not asked for where the repair alone is enough.
    return _reaches(repair, value, above=test.above) or _reaches(repair + claim.salvage_value, value, above=test.above)


def total_loss_rule_used(claim: Claim) -> Note:
    """Return which rule decided whether the repair is a total loss, and why, as a note on the policy."""
    policy, law = claim.policy, _law(claim)
    if not is_open(policy, TERM):
        return _rule_of_policy(policy)
    if law is None:
        return Note(code="total_loss_not_looked_up", about=policy.name)
    reason = _why_not(law, claim)
    if reason is not None:
        return Note(
            code="total_loss_left_to_policy", about=policy.name, parameters={"source": law.source, "reason": reason}
        )
    if law.rule == "formula":
        return Note(code="total_loss_formula_of_place", about=policy.name, parameters={"source": law.source})
    parameters = {"source": law.source, "share": str(law.share), "comparison": law.comparison}
    return Note(code="total_loss_share_of_place", about=policy.name, parameters=parameters)


def _rule_of_policy(policy: Policy) -> Note:
    if policy.total_loss_threshold is None:
        return Note(code="total_loss_formula_of_policy", about=policy.name)
    share = str(policy.total_loss_threshold)
    return Note(code="total_loss_share_of_policy", about=policy.name, parameters={"share": share})


def _reaches(amount: int, threshold: int, *, above: bool) -> bool:
    return amount > threshold if above else amount >= threshold


def _test(claim: Claim) -> _Test:
    law = _law(claim)
    if law is not None and is_open(claim.policy, TERM) and _why_not(law, claim) is None:
        return _Test(None if law.rule == "formula" else law.share, above=law.comparison == "above")
    return _Test(known_or_absent(claim.policy.total_loss_threshold, TERM, claim.policy))


def _law(claim: Claim) -> TotalLossThreshold | None:
    return total_loss_threshold(claim.context.build.jurisdiction)


def _why_not(law: TotalLossThreshold, claim: Claim) -> str | None:
    """Return why the law does not decide this claim; None where it does."""
    if law.only_uninsured:
        return "uninsured"
    if law.rule == "insurer":
        return "insurer"
    if law.scope == "motor_vehicles":
        return "motor_vehicles"
    if law.scope == "not_found":
        return "scope"
    if law.other_shares:
        return "disagreement"
    if law.family is not None and claim.context.registered_class not in _classes(law.family):
        return "class"
    if law.model_years is not None and claim.context.age_years > law.model_years:
        return "age"
    return None


def _classes(family: str) -> tuple[str, ...]:
    return next(each.classes for each in class_families() if each.name == family)
