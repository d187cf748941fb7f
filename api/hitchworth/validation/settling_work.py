"""What settling the losses of a request takes, estimated from it: in lines valued, the work of one line of an estimate.

A loss is settled under every combination of plausible answers to the open terms of a policy. Combinations that come to
the same point continue as one, so each open term multiplies the steps by less than the number of its answers: by a
power of it. The powers were fitted to the steps of some thousand policies with any terms open; nine of ten take no more
steps than the product says, half of them less than half as many.
"""

from collections import Counter
from collections.abc import Callable, Iterable, Mapping
from math import prod
from typing import NamedTuple

from hitchworth.model.build import Build
from hitchworth.model.document import Document
from hitchworth.model.loss import Loss
from hitchworth.model.policy import Policy
from hitchworth.reference.plausible_terms import plausible_values

_STEPS = 45
"""The steps of a settlement whose terms are known, and of those for the class and the price of a plain trailer."""

_STEP = 0.4
_SUBLIMITS_A_LINE = 200
"""A step that looks at the sublimits: so many of these take as long as a line valued."""
_CATEGORIES_A_LINE = 4
"""What the categories are worth is found once for each way to value them."""
_LINES_LOST = 4
"""A loss goes through the lines of the build; so many take as long as one valued."""
_LINES_CAPPED = 10
"""So does each policy that caps depreciation, for each loss."""


class _LossKind(NamedTuple):
    """What makes a difference to the steps of a settlement."""

    replaced: bool
    open_wreck: bool
    """What the wreck is worth is needed and not known."""


class _Situation(NamedTuple):
    policy: Policy
    loss: _LossKind
    build: Build
    own_labor: bool
    """Somebody did work on the build without being paid for it."""


_POWERS: Mapping[str, float] = {
    "basis": 0.3,
    "amount": 0.15,
    "limit": 1,
    "coinsurance_rate": 0.4,
    "deductible": 0.45,
    "order": 0.5,
    "settles_as": 0.6,
    "custom_equipment_limit": 0.45,
    "contents_limit": 0.1,
    "counts_own_labor": 1,
    "depreciates_labor": 1,
    "deducts_obsolescence": 0.85,
    "replacement_years": 0.6,
    "total_loss_tax_rate": 0.75,
    "values_by": 0.8,
    "adds_tax_to_stated_amount": 0.7,
    "salvage_value": 0.7,
}
"""The steps are multiplied by this power of the number of plausible answers, while a term is open."""

_MATTERS: Mapping[str, Callable[[_Situation], bool]] = {
    "amount": lambda each: each.policy.basis in {"agreed_value", "stated_amount"},
    "settles_as": lambda each: each.policy.basis != "agreed_value",
    "counts_own_labor": lambda each: each.own_labor,
    "depreciates_labor": lambda each: bool(each.build.labor),
    "deducts_obsolescence": lambda each: bool(each.build.obsolescence),
    "replacement_years": lambda each: each.loss.replaced and each.policy.basis in {None, "replacement_cost"},
    "values_by": lambda each: each.build.market_value is not None,
    "adds_tax_to_stated_amount": lambda each: each.policy.basis == "stated_amount",
    "salvage_value": lambda each: each.loss.open_wreck,
}
"""When a term makes a difference; others always do."""


def settling_work(request: Document) -> float:
    """Return the work of settling every loss under every policy."""
    build, losses = request.build, request.losses
    answered = {(answer.policy, answer.term) for answer in request.answers if answer.value is not None}
    kinds = Counter(map(_kind, losses))
    own_labor = any(not entry.hired for entry in build.labor)
    lines, categories = len(build.components) + len(build.labor), _categories(build) / _CATEGORIES_A_LINE
    work = len(losses) * lines / _LINES_LOST
    for policy in request.policies:
        step = _STEP + len(policy.sublimits or ()) / _SUBLIMITS_A_LINE
        open_terms = [term for term in _POWERS if _is_open(policy, term) and (policy.name, term) not in answered]
        for kind, count in kinds.items():
            work += count * step * _steps(_Situation(policy, kind, build, own_labor), open_terms)
        work += len(losses) * (categories + (0 if policy.depreciation_cap is None else lines / _LINES_CAPPED))
    return work


def _steps(situation: _Situation, open_terms: Iterable[str]) -> float:
    mattering = (term for term in open_terms if term not in _MATTERS or _MATTERS[term](situation))
    more: float = prod(_answers(situation, term) ** _POWERS[term] for term in mattering)
    return _STEPS * more


def _answers(situation: _Situation, term: str) -> int:
    """Return how many plausible answers there are to a term."""
    policy, build = situation.policy, situation.build
    known = ("amount",) if policy.amount is not None else ()
    return len(plausible_values(term, policy.kind, build.jurisdiction, build.currency, known)) or 1


def _kind(loss: Loss) -> _LossKind:
    total = loss.extent == "total"
    return _LossKind(loss.replaced, loss.salvage_value is None and (loss.salvage_kept or not total))


def _is_open(policy: Policy, term: str) -> bool:
    """Return whether the policy leaves a term open. What a wreck is worth stands with the loss, never in the policy."""
    return getattr(policy, term, None) is None and term not in policy.without


def _categories(build: Build) -> int:
    return len({part.category for part in build.components} | {entry.category for entry in build.labor})
