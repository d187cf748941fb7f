"""The terms of a policy in words, as far as they are known or have been answered."""

from collections.abc import Callable
from decimal import Decimal
from typing import TypeAlias

from hitchworth.model.policy import Answer, Policy
from hitchworth.model.timeline import oldest_first
from hitchworth.reports.content import Fact, Facts
from hitchworth.reports.context import ReportContext

TermValue: TypeAlias = bool | int | float | str | Decimal | None


def policy_terms(context: ReportContext, policy: Policy) -> Facts:
    """Label and value of each term. A recorded answer stands in the place of a term that the policy leaves open."""
    recorded = oldest_first(context.statement.answers)
    answers = {answer.term: answer for answer in recorded if answer.policy == policy.name}
    known = [
        Fact(context.localizer.heading("term", term), _term(context, policy, term, answers.get(term)))
        for term in ("basis", "amount", *_OPEN_TERMS, *_GIVEN_TERMS)
        if _applies(policy, term) or term in answers
    ]
    return Facts((*known, *_lists(context, policy)), columns=2)


def term_value(context: ReportContext, term: str, value: TermValue) -> str:
    """A value of a term, formatted as the term asks: money, a share, yes or no, a basis."""
    if value is None:
        return context.format("not_known")
    return _SHOWN.get(term, _plain)(context, value)


_OPEN_TERMS = (
    "limit",
    "deductible",
    "coinsurance_rate",
    "settles_as",
    "depreciates_labor",
    "holdback",
    "total_loss_tax_rate",
)

_GIVEN_TERMS = (
    "replacement_years",
    "depreciation_cap",
    "holdback_days",
    "total_loss_threshold",
    "total_loss_fees",
    "covers_under_construction",
)
"""Shown only where the policy or an answer has them."""


_ALWAYS = ("basis", *_OPEN_TERMS)


def _applies(policy: Policy, term: str) -> bool:
    """Holdback is a term of replacement cost only; an amount and the rarer terms are shown where there are any."""
    if term == "holdback":
        return policy.basis == "replacement_cost"
    return term in _ALWAYS or bool(getattr(policy, term))


def _term(context: ReportContext, policy: Policy, term: str, answer: Answer | None) -> str:
    if answer is not None:
        return term_value(context, term, answer.value)
    value = getattr(policy, term)
    return context.format("no_limit") if term == "limit" and value is None else term_value(context, term, value)


def _lists(context: ReportContext, policy: Policy) -> tuple[Fact, ...]:
    localizer, none = context.localizer, context.format("none")
    sublimits = [context.format("sublimit", category=cap.category, most=cap.amount) for cap in policy.sublimits]
    perils = [localizer.label("peril", peril) for peril in policy.excluded_perils]
    order = [localizer.label("order", step) for step in policy.order]
    rows = (("sublimits", sublimits), ("excluded_perils", perils), ("order", order))
    facts = tuple(Fact(localizer.heading("term", label), ", ".join(values) or none) for label, values in rows)
    if policy.annual_premium is None:
        return facts
    return (*facts, Fact(localizer.heading("term", "annual_premium"), context.money(policy.annual_premium)))


def _money(context: ReportContext, value: TermValue) -> str:
    amount = Decimal(str(value))
    return context.money(amount) if amount else context.format("none")


def _share(context: ReportContext, value: TermValue) -> str:
    return context.localizer.formats.percent(Decimal(str(value)))


def _number(context: ReportContext, value: TermValue) -> str:
    return context.localizer.formats.number(Decimal(str(value)))


def _settles_as(context: ReportContext, value: TermValue) -> str:
    return context.localizer.heading("settles_as", str(value))


def _basis(context: ReportContext, value: TermValue) -> str:
    return context.localizer.heading("basis", str(value))


def _plain(context: ReportContext, value: TermValue) -> str:
    return context.localizer.label("yes_no", str(value).lower()) if isinstance(value, bool) else str(value)


_SHOWN: dict[str, Callable[[ReportContext, TermValue], str]] = {
    "basis": _basis,
    "amount": _money,
    "limit": _money,
    "deductible": _money,
    "coinsurance_rate": _share,
    "total_loss_tax_rate": _share,
    "depreciation_cap": _share,
    "total_loss_threshold": _share,
    "total_loss_fees": _money,
    "replacement_years": _number,
    "holdback_days": _number,
    "settles_as": _settles_as,
}
