"""The terms of a policy in words, as far as they are known or have been answered."""

from collections.abc import Callable
from decimal import Decimal
from typing import TypeAlias

from hitchworth.model.policy import Answer, Policy
from hitchworth.model.standing import oldest_first
from hitchworth.sheets.content import Fact, Facts
from hitchworth.sheets.subject import Subject

TermValue: TypeAlias = bool | int | float | str | Decimal | None


def policy_terms(subject: Subject, policy: Policy) -> Facts:
    """Label and value of each term. A recorded answer stands in the place of a term that the policy leaves open."""
    recorded = oldest_first(subject.statement.answers)
    answers = {answer.term: answer for answer in recorded if answer.policy == policy.name}
    known = [
        Fact(subject.voice.heading("term", term), _term(subject, policy, term, answers.get(term)))
        for term in ("basis", "amount", *_OPEN_TERMS, *_GIVEN_TERMS)
        if _applies(policy, term) or term in answers
    ]
    return Facts((*known, *_lists(subject, policy)), columns=2)


def term_value(subject: Subject, term: str, value: TermValue) -> str:
    """A value of a term, formatted as the term asks: money, a share, yes or no, a basis."""
    if value is None:
        return subject.say("not_known")
    return _SHOWN.get(term, _plain)(subject, value)


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


def _term(subject: Subject, policy: Policy, term: str, answer: Answer | None) -> str:
    if answer is not None:
        return term_value(subject, term, answer.value)
    value = getattr(policy, term)
    return subject.say("no_limit") if term == "limit" and value is None else term_value(subject, term, value)


def _lists(subject: Subject, policy: Policy) -> tuple[Fact, ...]:
    voice, none = subject.voice, subject.say("none")
    sublimits = [subject.say("sublimit", category=cap.category, most=cap.amount) for cap in policy.sublimits]
    perils = [voice.label("peril", peril) for peril in policy.excluded_perils]
    order = [voice.label("order", step) for step in policy.order]
    rows = (("sublimits", sublimits), ("excluded_perils", perils), ("order", order))
    facts = tuple(Fact(voice.heading("term", label), ", ".join(values) or none) for label, values in rows)
    if policy.annual_premium is None:
        return facts
    return (*facts, Fact(voice.heading("term", "annual_premium"), subject.money(policy.annual_premium)))


def _money(subject: Subject, value: TermValue) -> str:
    amount = Decimal(str(value))
    return subject.money(amount) if amount else subject.say("none")


def _share(subject: Subject, value: TermValue) -> str:
    return subject.voice.formats.percent(Decimal(str(value)))


def _number(subject: Subject, value: TermValue) -> str:
    return subject.voice.formats.number(Decimal(str(value)))


def _settles_as(subject: Subject, value: TermValue) -> str:
    return subject.voice.heading("settles_as", str(value))


def _basis(subject: Subject, value: TermValue) -> str:
    return subject.voice.heading("basis", str(value))


def _plain(subject: Subject, value: TermValue) -> str:
    return subject.voice.label("yes_no", str(value).lower()) if isinstance(value, bool) else str(value)


_SHOWN: dict[str, Callable[[Subject, TermValue], str]] = {
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
