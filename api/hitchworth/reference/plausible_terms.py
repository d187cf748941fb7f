"""The plausible answers to the terms of a policy that may be unknown, by kind of policy, place and currency."""

from collections.abc import Sequence
from decimal import Decimal
from functools import cache, lru_cache
from typing import Literal, TypeAlias, get_args

from msgspec import Struct, field

from hitchworth.model.policy import PolicyKind
from hitchworth.reference.currencies import exponent_of
from hitchworth.reference.jurisdictions import jurisdictions
from hitchworth.reference.labor_depreciation_rules import labor_depreciation_rule_of
from hitchworth.reference.load import read
from hitchworth.reference.total_loss_thresholds import total_loss_threshold

BASE_CURRENCY = "USD"
KINDS: tuple[PolicyKind, ...] = get_args(PolicyKind)

PlausibleValue: TypeAlias = bool | str | tuple[str, ...]
"""true or false, a list, a number as text, or one of the words that the head of the data file explains."""


class PlausibleTerm(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The plausible answers to one term, for some kinds of policy in some places."""

    term: str
    values: tuple[PlausibleValue, ...]
    source: str
    provenance: Literal["published", "unverified", "common_practice"]
    kinds: tuple[PolicyKind, ...] = ()
    """All when empty."""
    places: tuple[str, ...] = ()
    """All when empty; a wider code counts for all that fall back to it."""
    when_known: tuple[str, ...] = ()
    """Only for policies on which these terms are known."""
    by_currency: dict[str, tuple[str, ...]] = field(default_factory=dict)
    """The answers in a currency other than the base currency."""
    source_places: tuple[str, ...] = ()
    """Where the source is law; everywhere when empty."""


class _PlausibleTerms(Struct, frozen=True, forbid_unknown_fields=True):
    magnitudes: dict[int, tuple[str, ...]]
    default_rate: str
    terms: tuple[PlausibleTerm, ...]


@cache
def _data() -> _PlausibleTerms:
    return read("plausible_terms.yaml", _PlausibleTerms)


def plausible_terms() -> tuple[PlausibleTerm, ...]:
    """Return every entry, as it is in the data file."""
    return _data().terms


def default_sales_tax_rate() -> Decimal:
    """Return the sales tax rate that is used where the build has none."""
    return Decimal(_data().default_rate)


@lru_cache(maxsize=1000)
def has_plausible_values(term: str) -> bool:
    """Return whether the data file has answers to the term."""
    return any(entry.term in (term, term.partition(".")[0]) for entry in plausible_terms())


@lru_cache(maxsize=10_000)
def plausible_values(
    term: str, kind: PolicyKind | None, place: str | None, currency: str, known: tuple[str, ...] = ()
) -> tuple[PlausibleValue, ...]:
    """Return the plausible answers to a term, the least favorable first where one always is.

    `known` names the terms of the policy that are known. Where the kind of policy is not known, the answers are those
    that are plausible under some kind. A published rule that bars the depreciation of labor leaves one answer. A share
    that makes a total loss in a law of the place is plausible, though it may not bind the insurer.
    """
    if term == "depreciates_labor" and labor_is_kept(place):
        return (False,)
    law = total_loss_threshold(place) if term == "total_loss_threshold" else None
    if law is not None and law.shares:
        return (*map(str, law.shares), "none")
    entries = _entries(term, kind, place, currency, known)
    found = (value for entry in entries for value in _in_currency(entry, currency))
    return tuple(dict.fromkeys(found))


def source_of(term: str, kind: PolicyKind | None, place: str | None, currency: str, known: tuple[str, ...] = ()) -> str:
    """Return where the plausible answers come from; empty where the source is the law of another place."""
    law = total_loss_threshold(place) if term == "total_loss_threshold" else None
    if law is not None and law.shares:
        return law.source
    entries = _entries(term, kind, place, currency, known)
    chain = _chain(place, currency)
    cited = (each.source for each in entries if not each.source_places or not chain.isdisjoint(each.source_places))
    return next(cited, "")


def labor_is_kept(jurisdiction: str | None) -> bool:
    """Return whether a rule that was read in its text bars the depreciation of labor there."""
    rule = labor_depreciation_rule_of(jurisdiction)
    return rule is not None and rule.law == "not_depreciated" and rule.provenance == "published"


@lru_cache(maxsize=10_000)
def _entries(
    term: str, kind: PolicyKind | None, place: str | None, currency: str, known: tuple[str, ...]
) -> Sequence[PlausibleTerm]:
    """Return the most specific entry of the kind; of every kind where it is not known, each once.

    The longest list comes first, so that a kind with one favorable answer does not put it before the others.
    """
    chain = _chain(place, currency)
    found = (_entry(term, each, chain, known) for each in ((kind,) if kind else KINDS))
    once = {id(entry): entry for entry in found if entry is not None}.values()
    return sorted(once, key=lambda entry: len(entry.values), reverse=True)


def _entry(term: str, kind: PolicyKind, chain: frozenset[str], known: tuple[str, ...]) -> PlausibleTerm | None:
    fitting = [
        entry
        for entry in plausible_terms()
        if entry.term in (term, term.partition(".")[0])
        and (not entry.kinds or kind in entry.kinds)
        and (not entry.places or not chain.isdisjoint(entry.places))
        and all(name in known for name in entry.when_known)
    ]
    return max(fitting, key=lambda entry: _specificity(entry, term, chain), default=None)


def _specificity(entry: PlausibleTerm, term: str, chain: frozenset[str]) -> tuple[object, ...]:
    """Rank by the name of the term, what has to be known, the kind, and the place, the narrower one first."""
    narrow = any("-" in place for place in entry.places if place in chain)
    return entry.term == term, len(entry.when_known), bool(entry.kinds), bool(entry.places), narrow


def _chain(place: str | None, currency: str) -> frozenset[str]:
    """Return the place and the wider ones that it falls back to; without a place, the country of the currency."""
    if place in jurisdictions():
        return frozenset(jurisdictions()[place].chain)
    return frozenset({"USD": ("US",), "CAD": ("CA",), "GBP": ("GB",)}.get(currency, ()))


def _in_currency(entry: PlausibleTerm, currency: str) -> tuple[PlausibleValue, ...]:
    """Return the answers with amounts in the currency, to its minor unit."""
    if not entry.by_currency:
        return entry.values
    exponent = exponent_of(currency)
    minor_unit = Decimal(1).scaleb(-(2 if exponent is None else exponent))
    own = entry.by_currency.get(currency)
    times = 1 if own else times_in_currency(currency)
    return tuple(
        value if not isinstance(value, str) or value == "none" else str((Decimal(value) * times).quantize(minor_unit))
        for value in own or entry.values
    )


def times_in_currency(currency: str) -> int:
    """Return by what an amount in US dollars is multiplied: the power of ten that is listed; else 100 for a currency
    without a minor unit, and 1.
    """
    if currency == BASE_CURRENCY:
        return 1
    listed = (power for power, currencies in _data().magnitudes.items() if currency in currencies)
    return next(listed, 100 if exponent_of(currency) == 0 else 1)
