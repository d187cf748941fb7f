"""The terms of a policy in words: every term that the policy or a recorded answer states."""

from collections.abc import Callable, Iterator, Mapping
from types import MappingProxyType
from typing import Any

from msgspec.structs import fields

from hitchworth.localization.localizer import capital
from hitchworth.localization.terms import term_label, term_value
from hitchworth.model.policy import ABSENT, Allowance, PerilDeductible, Policy, Sublimit
from hitchworth.model.timeline import oldest_first
from hitchworth.reports.content import Fact, Facts
from hitchworth.reports.context import ReportContext

NOT_TERMS = ("name", "without")
"""Fields of a policy that are no terms: the heading has the name, and `without` says which terms it does not have."""


def policy_terms(context: ReportContext, policy: Policy) -> Facts:
    """Return label and value of each term that the policy or an answer states, in the order of the record.

    A recorded answer replaces the policy's own value; the newest answer counts.
    """
    recorded = oldest_first(context.statement.answers)
    answers = {answer.term: answer.value for answer in recorded if answer.policy == policy.name and answer.term}
    values = dict(_stated(policy)) | answers
    place = {field.name: index for index, field in enumerate(fields(Policy))}
    terms = sorted(values, key=lambda term: place[term.partition(".")[0]])
    return Facts(
        tuple(
            Fact(capital(term_label(context.localizer, term)), capital(value_text(context, term, values[term])))
            for term in terms
        ),
        columns=2,
    )


def _stated(policy: Policy) -> Iterator[tuple[str, Any]]:
    """Yield every term that the policy states, those of single perils and situations by name.key."""
    for field in fields(Policy):
        value = getattr(policy, field.name)
        if field.name in NOT_TERMS or value is None:
            continue
        if isinstance(value, dict):
            yield from ((f"{field.name}.{key}", covered) for key, covered in value.items() if covered is not None)
        else:
            yield field.name, value
    yield from ((term, ABSENT) for term in policy.without)


def value_text(context: ReportContext, term: str, value: Any) -> str:
    """Return the value of a term in words. An item of sublimits, peril deductibles or allowances is a record."""
    if value and term in ITEMS:
        return "; ".join(ITEMS[term](context, item) for item in value)
    return term_value(context.localizer, term, value)


def _sublimit(context: ReportContext, sublimit: Sublimit) -> str:
    return context.format("sublimit", category=sublimit.category, most=sublimit.amount)


def _peril_deductible(context: ReportContext, own: PerilDeductible) -> str:
    """Return the peril and what it leaves to the insured: an amount, a rate or both, and the minimum."""
    parts = []
    if own.amount or not own.rate:
        parts.append(context.money(own.amount))
    if own.rate:
        parts.append(context.format("rate_of", rate=own.rate, base=own.applies_to))
    text = context.format("named", name=context.localizer.label("peril", own.peril), value=" + ".join(parts))
    return text + (context.format("at_least", minimum=own.minimum) if own.minimum else "")


def _allowance(context: ReportContext, allowance: Allowance) -> str:
    """Return the kind of expense, the most that is paid in total and per day, and the waiting period."""
    parts = [context.format("allowance", kind=allowance.kind, limit=allowance.limit)]
    if allowance.per_day is not None:
        parts.append(context.format("allowance_per_day", per_day=allowance.per_day))
    if allowance.waiting_days:
        parts.append(context.format("allowance_waiting_days", days=str(allowance.waiting_days)))
    return ", ".join(parts)


ITEMS: Mapping[str, Callable[[ReportContext, Any], str]] = MappingProxyType(
    {"sublimits": _sublimit, "peril_deductibles": _peril_deductible, "allowances": _allowance}
)
"""How each item of a term that is a list of records is written."""
