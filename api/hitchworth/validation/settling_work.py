"""What settling the losses of a request takes, estimated from it: in lines valued, the work of one line of an estimate.

A loss is settled under every combination of plausible answers to the open terms of a policy. Combinations that come to
the same point continue as one, so each open term multiplies the work by less than the number of its answers. By how
much was measured, one term at a time; the product is an upper bound for most policies.
"""

from collections.abc import Mapping
from math import prod

from hitchworth.model.build import Build
from hitchworth.model.document import Document
from hitchworth.model.policy import Policy

_STEPS = 10
"""The steps of a settlement whose terms are known, and of those after them for the class and the wreck."""

_FACTORS: Mapping[str, float] = {
    "basis": 1.8,
    "limit": 3.5,
    "coinsurance_rate": 2.5,
    "deductible": 1.7,
    "order": 1.6,
    "settles_as": 2.35,
    "custom_equipment_limit": 2,
    "contents_limit": 1.5,
    "counts_own_labor": 1.55,
    "depreciates_labor": 1.4,
    "deducts_obsolescence": 2,
    "replacement_years": 1.4,
    "total_loss_tax_rate": 1.8,
}
"""By how much more steps are taken while a term is open."""
_OF_LABOR = frozenset({"counts_own_labor", "depreciates_labor"})

_STEP = 0.5
_CATEGORIES_A_LINE = 150
"""A step goes through the lost lines by their categories; so many of these take as long as a line valued."""
_SUBLIMITS_A_LINE = 30
_LINES_LOST = 4
"""A loss goes through the lines of the build; so many take as long as one valued."""


def settling_work(request: Document) -> float:
    """Return the work of settling every loss under every policy."""
    build, losses = request.build, request.losses
    answered = {(answer.policy, answer.term) for answer in request.answers if answer.value is not None}
    step = _STEP + _categories(build) / _CATEGORIES_A_LINE
    wrecks = sum(1 + each.salvage_kept for each in losses)
    lines = len(build.components) + len(build.labor)
    settled = sum(
        _steps(policy, build, answered) * (step + _limits(policy) / _SUBLIMITS_A_LINE) for policy in request.policies
    )
    return wrecks * settled + len(losses) * lines / _LINES_LOST


def _steps(policy: Policy, build: Build, answered: set[tuple[str | None, str | None]]) -> float:
    return _STEPS * prod(
        factor
        for term, factor in _FACTORS.items()
        if getattr(policy, term) is None
        and term not in policy.without
        and (policy.name, term) not in answered
        and _matters(term, build)
    )


def _matters(term: str, build: Build) -> bool:
    """Return whether the build has what the term is about."""
    if term in _OF_LABOR:
        return bool(build.labor)
    return term != "deducts_obsolescence" or bool(build.obsolescence)


def _categories(build: Build) -> int:
    return len({part.category for part in build.components}) + len({entry.category for entry in build.labor})


def _limits(policy: Policy) -> int:
    return len(policy.sublimits or ())
