"""The plausible answers to the terms of a policy that may be unknown, with their sources."""

from decimal import Decimal
from typing import Literal

from msgspec import Struct, field

from hitchworth.reference.currencies import exponent_of
from hitchworth.reference.labor_depreciation_rules import labor_depreciation_rule_of
from hitchworth.reference.load import read

BASE_CURRENCY = "USD"


class PlausibleTerm(Struct, frozen=True, forbid_unknown_fields=True):
    """One term and its plausible answers, the least favorable to the insured first."""

    term: str
    values: tuple[bool | str, ...]
    source: str
    provenance: Literal["published", "memory", "common_practice"]
    by_currency: dict[str, tuple[str, ...]] = field(default_factory=dict)
    """Of an amount: the answers in a currency other than BASE_CURRENCY."""
    magnitudes: dict[int, tuple[str, ...]] = field(default_factory=dict)
    """Of an amount: the power of ten by which the answers are taken in other currencies."""

    @property
    def is_amount(self) -> bool:
        """Whether the answers are amounts of money."""
        return bool(self.by_currency)


PLAUSIBLE_TERMS: tuple[PlausibleTerm, ...] = read("plausible_terms.yaml", tuple[PlausibleTerm, ...])
"""Every term that a policy may leave open."""

BY_NAME = {term.term: term for term in PLAUSIBLE_TERMS}


def values_in_place(term: str, jurisdiction: str | None, currency: str) -> tuple[bool | str, ...]:
    """The plausible answers to a term where the trailer is registered, amounts to the minor unit of the currency.

    A published rule that bars the depreciation of labor, read in its text, leaves one answer.
    """
    known = BY_NAME[term]
    if known.is_amount:
        return _amounts(known, currency)
    if term == "depreciates_labor" and labor_is_kept(jurisdiction):
        return (False,)
    return known.values


def labor_is_kept(jurisdiction: str | None) -> bool:
    """Whether a rule that was found in its text bars the depreciation of labor there."""
    rule = labor_depreciation_rule_of(jurisdiction)
    return rule is not None and rule.law == "not_depreciated" and rule.provenance == "published"


def _amounts(term: PlausibleTerm, currency: str) -> tuple[str, ...]:
    exponent = exponent_of(currency)
    minor_unit = Decimal(1).scaleb(-(2 if exponent is None else exponent))
    own = term.by_currency.get(currency)
    times = 1 if own or currency == BASE_CURRENCY else _magnitude(term, currency)
    return tuple(str((Decimal(value) * times).quantize(minor_unit)) for value in own or term.values)


def _magnitude(term: PlausibleTerm, currency: str) -> int:
    """The power of ten that is listed; else 100 for a currency without a minor unit, and 1."""
    listed = (power for power, currencies in term.magnitudes.items() if currency in currencies)
    return next(listed, 100 if exponent_of(currency) == 0 else 1)
