"""The terms of a policy in words: every term that the policy or a recorded answer states."""

from collections.abc import Callable, Mapping
from decimal import Decimal
from types import MappingProxyType
from typing import Any

from msgspec.structs import fields

from hitchworth.model.policy import Allowance, PerilDeductible, Policy, Sublimit
from hitchworth.model.timeline import oldest_first
from hitchworth.reports.content import Fact, Facts
from hitchworth.reports.context import ReportContext

NOT_TERMS = ("name",)
"""Fields of a policy that its table of terms leaves out on purpose: the heading above the table has the name."""


def policy_terms(context: ReportContext, policy: Policy) -> Facts:
    """Return label and value of each term that differs from its default or was answered, in the order of the record.

    A recorded answer replaces the policy's own value; the newest answer counts.
    """
    recorded = oldest_first(context.statement.answers)
    answers = {answer.term: answer.value for answer in recorded if answer.policy == policy.name}
    terms = [field for field in fields(Policy) if field.name not in NOT_TERMS]
    stated = {term.name: getattr(policy, term.name) for term in terms if getattr(policy, term.name) != term.default}
    values = stated | answers
    return Facts(
        tuple(
            Fact(context.localizer.heading("term", term.name), term_value(context, term.name, values[term.name]))
            for term in terms
            if term.name in values
        ),
        columns=2,
    )


def term_value(context: ReportContext, term: str, value: Any) -> str:
    """Return the value of a term as its kind asks: money, a share, a number, yes or no, a label, or a list of these."""
    if value is None:
        return context.format("not_known")
    if isinstance(value, bool):
        return context.localizer.label("yes_no", str(value).lower())
    if isinstance(value, tuple):
        return "; ".join(ITEMS[term](context, item) for item in value) or context.format("none")
    return VALUES.get(term, _plain)(context, value)


def _plain(_: ReportContext, value: Any) -> str:
    """Return the value as it was given: an answer about a fact."""
    return str(value)


def _money(context: ReportContext, value: Any) -> str:
    amount = Decimal(str(value))
    return context.money(amount) if amount else context.format("none")


def _share(context: ReportContext, value: Any) -> str:
    return context.localizer.formats.percent(Decimal(str(value)))


def _number(context: ReportContext, value: Any) -> str:
    return context.localizer.formats.number(Decimal(str(value)))


def _basis(context: ReportContext, value: Any) -> str:
    return context.localizer.heading("basis", str(value))


def _settles_as(context: ReportContext, value: Any) -> str:
    return context.localizer.heading("settles_as", str(value))


def _step(context: ReportContext, step: str) -> str:
    return context.localizer.label("order", step)


def _peril(context: ReportContext, peril: str) -> str:
    return context.localizer.label("peril", peril)


def _category(context: ReportContext, category: str) -> str:
    return context.localizer.label("category", category)


def _sublimit(context: ReportContext, sublimit: Sublimit) -> str:
    return context.format("sublimit", category=sublimit.category, most=sublimit.amount)


def _peril_deductible(context: ReportContext, own: PerilDeductible) -> str:
    """Return the peril and what it leaves to the insured: an amount, a rate or both, and the minimum."""
    parts = []
    if own.amount or not own.rate:
        parts.append(context.money(own.amount))
    if own.rate:
        parts.append(context.format("rate_of", rate=own.rate, base=own.applies_to))
    text = f"{_peril(context, own.peril)}: {' + '.join(parts)}"
    return text + (context.format("at_least", minimum=own.minimum) if own.minimum else "")


def _allowance(context: ReportContext, allowance: Allowance) -> str:
    """Return the kind of expense, the most that is paid in total and per day, and the waiting period."""
    parts = [context.format("allowance", kind=allowance.kind, limit=allowance.limit)]
    if allowance.per_day is not None:
        parts.append(context.format("allowance_per_day", per_day=allowance.per_day))
    if allowance.waiting_days:
        parts.append(context.format("allowance_waiting_days", days=str(allowance.waiting_days)))
    return ", ".join(parts)


VALUES: Mapping[str, Callable[[ReportContext, Any], str]] = MappingProxyType(
    {
        "basis": _basis,
        "amount": _money,
        "limit": _money,
        "deductible": _money,
        "coinsurance_rate": _share,
        "settles_as": _settles_as,
        "total_loss_tax_rate": _share,
        "depreciation_cap": _share,
        "replacement_years": _number,
        "holdback_days": _number,
        "total_loss_threshold": _share,
        "total_loss_fees": _money,
        "annual_premium": _money,
    }
)
"""How a term with one value is written; yes and no go without."""

ITEMS: Mapping[str, Callable[[ReportContext, Any], str]] = MappingProxyType(
    {
        "order": _step,
        "sublimits": _sublimit,
        "excluded_perils": _peril,
        "peril_deductibles": _peril_deductible,
        "betterment_categories": _category,
        "allowances": _allowance,
    }
)
"""How each item of a term that is a list is written."""
