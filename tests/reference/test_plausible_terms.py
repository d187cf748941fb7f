"""The plausible answers to open terms: every entry, and every kind of policy in every place and currency."""

from decimal import Decimal
from functools import cache
from itertools import pairwise
from typing import Any, get_args

import msgspec
import pytest

from hitchworth.model.loss import Loss, Situation
from hitchworth.model.policy import ABSENT, AbsentTerm, Policy, PolicyKind
from hitchworth.reference.currencies import currencies
from hitchworth.reference.jurisdictions import jurisdictions
from hitchworth.reference.load import read
from hitchworth.reference.perils import canonical_peril, gradual_perils
from hitchworth.reference.plausible_terms import (
    PlausibleTerm,
    default_sales_tax_rate,
    has_plausible_values,
    labor_is_kept,
    plausible_terms,
    plausible_values,
    source_of,
)
from hitchworth.reference.schedules import library_categories

FIELDS = {field.name: field.type for record in (Policy, Loss) for field in msgspec.structs.fields(record)}
"""The types of what may be open: the terms of a policy, and what the wreck of a loss is worth."""

KINDS = (None, *get_args(PolicyKind))
PLACES = (None, "XX", *jurisdictions())
AMOUNTS = {"plain_trailer", "actual_cash_value", "replacement_cost"}
WORDS = {"amount": AMOUNTS, "limit": AMOUNTS, "total_loss_tax_rate": {"sales_tax_rate"}}
"""The words that stand for an amount or a rate, by term."""

KEYED = {"covers_perils", "covers_situations"}
LESS_IS_WORSE = {"limit", "custom_equipment_limit", "contents_limit", "replacement_years", "total_loss_threshold"}
MORE_IS_WORSE = {"deductible", "coinsurance_rate"}
TRUE_IS_WORSE = {"depreciates_labor", "deducts_obsolescence", "holdback"}
TERMS = sorted({entry.term for entry in plausible_terms()})

each = pytest.mark.parametrize("entry", plausible_terms(), ids=lambda entry: f"{entry.term}-{'-'.join(entry.kinds)}")


@each
def test_an_entry_names_a_term_and_conditions_that_exist(entry: PlausibleTerm) -> None:
    name, _, key = entry.term.partition(".")
    assert name in FIELDS
    assert not key or name in KEYED
    if key and name == "covers_situations":
        assert key in get_args(Situation)
    if key and name == "covers_perils":
        assert canonical_peril(key) == key
        assert key not in gradual_perils(), "gradual damage is excluded by custom, so nobody is asked"
    assert set(entry.places) | set(entry.source_places) <= set(jurisdictions())
    assert set(entry.when_known) <= set(FIELDS)
    assert set(entry.by_currency) <= set(currencies().exponents)


@each
def test_an_entry_says_where_it_comes_from(entry: PlausibleTerm) -> None:
    assert len(entry.source.split()) >= 3
    assert set(entry.source_places) <= {"US", "GB", *(code for code in jurisdictions() if code.startswith("US-"))}


@each
def test_answers_are_different_and_fit_the_term(entry: PlausibleTerm) -> None:
    for values in (entry.values, *entry.by_currency.values()):
        assert values
        assert len({str(value) for value in values}) == len(values)
        for value in values:
            assert _fits(entry.term, value), value
    assert all(value in entry.values for values in entry.by_currency.values() for value in values if value == ABSENT)


def _fits(term: str, value: object) -> bool:
    if "." in term or term in KEYED:
        return isinstance(value, bool)
    if value == ABSENT:
        return term in get_args(AbsentTerm)
    if value in WORDS.get(term, ()):
        return True
    msgspec.convert(value, FIELDS[term])
    return True


@each
def test_the_least_favorable_comes_first(entry: PlausibleTerm) -> None:
    for values in (entry.values, *entry.by_currency.values()):
        assert _worst_first(entry.term, values), values


def _worst_first(term: str, values: tuple[object, ...]) -> bool:
    """Return whether the order is right; amounts that are words are in order by themselves, none is the best."""
    numbers = [Decimal(str(value)) for value in values if isinstance(value, str) and value[0].isdigit()]
    steps = list(pairwise(numbers))
    if term in LESS_IS_WORSE:
        assert ABSENT not in values[:-1]
        return all(a < b for a, b in steps)
    if term in MORE_IS_WORSE:
        return all(a > b for a, b in steps)
    if set(values) == {True, False}:
        return values[0] is (term in TRUE_IS_WORSE)
    return True


def test_the_order_of_the_rest() -> None:
    """Those whose order no rule says: worst first, by hand."""
    found = {entry.term: entry.values for entry in plausible_terms() if entry.term in {"amount", "values_by"}}
    assert found == {
        # a plain trailer costs less than what is built on it; depreciation makes it less, not more
        "amount": ("plain_trailer", "actual_cash_value", "replacement_cost"),
        # a trailer built by its owner sells for less than it costs
        "values_by": ("market_value", "cost_less_depreciation"),
    }
    assert plausible_values("total_loss_tax_rate", None, "US-WA", "USD") == ("0", "sales_tax_rate")
    assert plausible_values("settles_as", None, "US-WA", "USD") == ("registered_class", "built_use")


def test_an_entry_that_no_kind_and_place_takes_is_not_there() -> None:
    """Two entries of the same conditions would hide one another."""
    keys = [(entry.term, kind, place, entry.when_known) for entry in plausible_terms() for kind, place in _at(entry)]
    assert len(keys) == len(set(keys))


def _at(entry: PlausibleTerm) -> list[tuple[str, str]]:
    return [(kind, place) for kind in entry.kinds or ("any",) for place in entry.places or ("any",)]


@cache
def currencies_used() -> tuple[str, ...]:
    listed = {code for entry in plausible_terms() for code in entry.by_currency}
    return (*sorted(listed | {"USD", "EUR", "JPY", "KRW", "IDR", "KWD", "CLF", "XXX"} & set(currencies().exponents)),)


@pytest.mark.parametrize("term", TERMS)
@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_place_and_currency_has_answers(term: str, kind: PolicyKind | None) -> None:
    for place in PLACES:
        for currency in currencies_used():
            for known in ((), ("amount",)):
                values = plausible_values(term, kind, place, currency, known)
                assert values, (place, currency)
                assert all(_fits(term, value) for value in values)
                assert len(values) == len(set(values))


@pytest.mark.parametrize(
    ("currency", "values"),
    [
        ("USD", ("2500.00", "1000.00", "500.00", "250.00")),
        ("GBP", ("1000.00", "500.00", "250.00", "100.00")),
        ("JPY", ("200000", "100000", "50000", "30000")),
        ("KRW", ("2500000", "1000000", "500000", "250000")),  # by its magnitude
        ("VUV", ("250000", "100000", "50000", "25000")),  # in no list, without a minor unit
        ("KWD", ("2500.000", "1000.000", "500.000", "250.000")),  # in no list, three decimals
        ("XXX", ("2500.00", "1000.00", "500.00", "250.00")),  # unknown: as if it had two decimals
    ],
)
def test_deductibles_are_customary_in_the_currency(currency: str, values: tuple[str, ...]) -> None:
    assert plausible_values("deductible", "recreational_vehicle", None, currency) == values


def test_absent_is_absent_in_every_currency() -> None:
    assert plausible_values("custom_equipment_limit", "commercial", None, "JPY") == ("100000", "300000", "none")
    assert plausible_values("custom_equipment_limit", "commercial", None, "GBP") == ("1000.00", "2500.00", "none")


@pytest.mark.parametrize(
    ("term", "kind", "place", "known", "values"),
    [
        # the entry of the kind and the place goes before that of the kind, and that before the general one
        ("limit", "homeowners", "US-WA", (), ("1500", "2000")),
        ("limit", "homeowners", "DE", (), ("plain_trailer", "none")),
        ("limit", "commercial", "US-WA", (), ("plain_trailer", "none")),
        ("limit", "commercial", "US-WA", ("amount",), ("none",)),
        ("limit", "homeowners", "US-WA", ("amount",), ("none",)),  # what is known goes before kind and place
        ("coinsurance_rate", "homeowners", "US-WA", (), ("0",)),
        ("coinsurance_rate", "homeowners", "GB", (), ("1", "0")),
        ("coinsurance_rate", "homeowners", "GB-NIR", (), ("1", "0")),  # falls back to GB
        ("coinsurance_rate", "builders_risk", "GB", (), ("1", "0.9", "0.8", "0")),
        # the narrower place goes before the wider one
        ("total_loss_tax_rate", "commercial", "US-WA", (), ("0", "sales_tax_rate")),
        ("total_loss_tax_rate", "commercial", "US-OR", (), ("0",)),
        ("total_loss_tax_rate", "commercial", "CA-ON", (), ("0", "sales_tax_rate")),
        ("total_loss_tax_rate", "commercial", "DE", (), ("0",)),
        # the peril's own entry goes before that of perils
        ("covers_perils.flood", "homeowners", "US-WA", (), (False,)),
        ("covers_perils.flood", "commercial", "US-WA", (), (True,)),
        ("covers_perils.flood", "builders_risk", "US-WA", (), (False, True)),
        ("covers_perils.meteor", "commercial", "US-WA", (), (False, True)),
        ("covers_situations.towed", "homeowners", None, (), (False, True)),
        ("covers_situations.towed", "commercial", None, (), (True,)),
        ("basis", "scheduled_property", None, (), ("actual_cash_value", "replacement_cost")),
        ("basis", "scheduled_property", None, ("amount",), ("stated_amount", "agreed_value")),
    ],
)
def test_the_most_specific_entry_counts(
    term: str, kind: PolicyKind, place: str | None, known: tuple[str, ...], values: tuple[object, ...]
) -> None:
    assert plausible_values(term, kind, place, "USD", known) == values


def test_of_an_unknown_kind_every_answer_is_plausible_that_is_under_some_kind() -> None:
    for term in TERMS:
        by_kind = {value for kind in get_args(PolicyKind) for value in plausible_values(term, kind, "US-WA", "USD")}
        assert set(plausible_values(term, None, "US-WA", "USD")) == by_kind


@pytest.mark.parametrize(
    ("term", "values"),
    [
        # only builder's risk has a clause; only homeowners excludes flood; the worst comes first all the same
        ("coinsurance_rate", ("1", "0.9", "0.8", "0")),
        ("covers_perils.flood", (False, True)),
        ("covers_situations.towed", (False, True)),
        ("contents_limit", ("0", "1000.00", "none")),
        ("deductible", ("2500.00", "1000.00", "500.00", "250.00", "0.00")),
    ],
)
def test_of_an_unknown_kind_too_the_least_favorable_comes_first(term: str, values: tuple[object, ...]) -> None:
    found = plausible_values(term, None, "US-WA", "USD")
    assert tuple(dict.fromkeys(_number(value) for value in found)) == tuple(_number(value) for value in values)


def _number(value: object) -> object:
    return Decimal(value) if isinstance(value, str) and value[0].isdigit() else value


@pytest.mark.parametrize(
    ("currency", "values"), [("USD", ("0", "sales_tax_rate")), ("CAD", ("0", "sales_tax_rate")), ("GBP", ("0",))]
)
def test_without_a_place_the_country_of_the_currency_counts(currency: str, values: tuple[str, ...]) -> None:
    assert plausible_values("total_loss_tax_rate", "commercial", None, currency) == values
    assert plausible_values("total_loss_tax_rate", "commercial", "DE", currency) == ("0",)


def test_parts_that_wear_are_every_tire_and_every_battery_of_the_schedules() -> None:
    worst, none = plausible_values("betterment_categories", None, None, "USD")
    assert isinstance(worst, tuple)
    wearing = {name for name in library_categories() if name.startswith(("tires", "battery"))}
    assert (set(worst), none) == (wearing, ())


@pytest.mark.parametrize(
    ("currency", "most"), [("CNY", "25000.00"), ("HUF", "250000.00"), ("ARS", "2500000.00"), ("IDR", "25000000.00")]
)
def test_a_currency_of_small_units_has_its_magnitude(currency: str, most: str) -> None:
    assert plausible_values("deductible", "commercial", None, currency)[0] == most


def test_every_currency_with_a_magnitude_exists_and_has_one() -> None:
    magnitudes = read("plausible_terms.yaml", dict[str, Any])["magnitudes"]
    listed = [code for codes in magnitudes.values() for code in codes]
    assert set(listed) <= set(currencies().exponents)
    assert len(listed) == len(set(listed))


def test_a_term_without_answers_says_so() -> None:
    assert has_plausible_values("covers_perils.meteor")
    assert has_plausible_values("deductible")
    assert not has_plausible_values("sublimits")
    assert not has_plausible_values("covers_damages")
    assert plausible_values("sublimits", None, None, "USD") == ()


def test_law_is_cited_in_its_own_place_only() -> None:
    # 10 CCR (California) is cited there alone for the tax on a total loss; a count of US states in the US alone
    assert "10 CCR" in source_of("total_loss_tax_rate", None, "US-CA", "USD")
    assert source_of("total_loss_tax_rate", None, "US-WA", "USD") == ""
    assert "23 states" in source_of("values_by", None, "US-WA", "USD")
    assert source_of("values_by", None, "DE", "EUR") == ""
    assert source_of("deductible", "commercial", "DE", "EUR") == "Customary deductibles for physical damage"
    assert source_of("sublimits", None, "US-WA", "USD") == ""


# 10 CCR 2695.9(f)(1) (California) bars it; in Colorado a court let it be, in Washington none is known.
@pytest.mark.parametrize(("place", "values"), [("US-CA", (False,)), ("US-CO", (True, False)), ("US-WA", (True, False))])
def test_a_rule_that_bars_the_depreciation_of_labor_leaves_one_answer(place: str, values: tuple[bool, ...]) -> None:
    assert plausible_values("depreciates_labor", None, place, "USD") == values
    assert labor_is_kept(place) is (place == "US-CA")


def test_the_rate_of_sales_tax_where_the_build_has_none() -> None:
    # about the average of combined state and local rates in the US, rounded up [common practice]
    assert default_sales_tax_rate() == Decimal("0.09")
