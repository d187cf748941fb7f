"""The plausible answers to the terms of a policy that may be unknown, with their sources."""

from decimal import Decimal
from functools import cache

from msgspec import Struct, field

from hitchworth.model.assessment import Provenance
from hitchworth.reference.currencies import exponent_of
from hitchworth.reference.labor_depreciation_rules import labor_depreciation_rule_of
from hitchworth.reference.load import read

BASE_CURRENCY = "USD"


class PlausibleTerm(Struct, frozen=True, forbid_unknown_fields=True):
    """A term and its plausible answers, the least favorable to the insured first."""

    term: str
    values: tuple[bool | str, ...]
    source: str
    provenance: Provenance
    by_currency: dict[str, tuple[str, ...]] = field(default_factory=dict)
    """For an amount: the answers in currencies other than BASE_CURRENCY."""
    multipliers: dict[int, tuple[str, ...]] = field(default_factory=dict)
    """For an amount: the currencies in which the answers are multiplied by this power of ten."""

    @property
    def is_amount(self) -> bool:
        """Whether the answers are amounts of money."""
        return bool(self.by_currency)


@cache
def plausible_terms() -> dict[str, PlausibleTerm]:
    """Return every term that a policy may leave open, by its name."""
    return {term.term: term for term in read("plausible_terms.yaml", tuple[PlausibleTerm, ...])}


def values_in_place(term: str, jurisdiction: str | None, currency: str) -> tuple[bool | str, ...]:
    """Return the plausible answers to a term in the jurisdiction, amounts to the minor unit of the currency.

    A published rule that bars the depreciation of labor leaves one answer.
    """
    known = plausible_terms()[term]
    if known.is_amount:
        return _amounts(known, currency)
    if term == "depreciates_labor" and labor_is_kept(jurisdiction):
        return (False,)
    return known.values


def labor_is_kept(jurisdiction: str | None) -> bool:
    """Return whether a published rule bars the depreciation of labor in the jurisdiction."""
    rule = labor_depreciation_rule_of(jurisdiction)
    return rule is not None and rule.law == "not_depreciated" and rule.provenance == "published"


def _amounts(term: PlausibleTerm, currency: str) -> tuple[str, ...]:
    exponent = exponent_of(currency)
    minor_unit = Decimal(1).scaleb(-(2 if exponent is None else exponent))
    own = term.by_currency.get(currency)
    factor = 1 if own or currency == BASE_CURRENCY else _multiplier(term, currency)
    return tuple(str((Decimal(value) * factor).quantize(minor_unit)) for value in own or term.values)


def _multiplier(term: PlausibleTerm, currency: str) -> int:
    """Return the power of ten that is listed; else 100 for a currency without a minor unit, 1 for any other."""
    listed = (power for power, currencies in term.multipliers.items() if currency in currencies)
    return next(listed, 100 if exponent_of(currency) == 0 else 1)
