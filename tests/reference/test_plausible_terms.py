"""The plausible answers to open terms, by place and by currency."""

from decimal import Decimal

import pytest

from hitchworth.reference.currencies import currencies
from hitchworth.reference.plausible_terms import plausible_terms, values_in_place

DEDUCTIBLE = plausible_terms()["deductible"]


@pytest.mark.parametrize(
    ("currency", "values"),
    [
        ("USD", ("2500.00", "1000.00", "500.00", "250.00")),
        ("GBP", ("1000.00", "500.00", "250.00", "100.00")),
        ("JPY", ("200000", "100000", "50000", "30000")),
        ("KRW", ("2500000", "1000000", "500000", "250000")),  # by its magnitude
        ("VUV", ("250000", "100000", "50000", "25000")),  # in no list, without a minor unit
        ("KWD", ("2500.000", "1000.000", "500.000", "250.000")),  # in no list, three decimals
    ],
)
def test_deductibles_are_customary_in_the_currency(currency: str, values: tuple[str, ...]) -> None:
    assert values_in_place("deductible", None, currency) == values


def test_every_currency_that_is_listed_exists_and_is_listed_once() -> None:
    listed = [*DEDUCTIBLE.by_currency, *(code for codes in DEDUCTIBLE.multipliers.values() for code in codes)]
    assert set(listed) <= set(currencies().exponents)
    assert len(listed) == len(set(listed))


@pytest.mark.parametrize("currency", DEDUCTIBLE.by_currency)
def test_the_least_favorable_comes_first_in_every_currency(currency: str) -> None:
    values = [Decimal(value) for value in DEDUCTIBLE.by_currency[currency]]
    assert values == sorted(values, reverse=True)


# 10 CCR 2695.9(f)(1) (California) bars it; in Colorado a court let it be, in Washington none is known.
@pytest.mark.parametrize(("place", "values"), [("US-CA", (False,)), ("US-CO", (True, False)), ("US-WA", (True, False))])
def test_a_rule_that_bars_the_depreciation_of_labor_leaves_one_answer(place: str, values: tuple[bool, ...]) -> None:
    assert values_in_place("depreciates_labor", place, "USD") == values
