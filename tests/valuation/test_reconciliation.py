"""Reconciliation: the mean is within the values, and the parts add up to it."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from build_strategies import decimals
from hitchworth.money import Money
from hitchworth.valuation.sales_comparison_approach import reconcile

DOLLARS = Money("USD")
NAMES = "abcdefgh"
indications = st.lists(st.tuples(st.integers(0, 10**9), decimals("0", "9", 3)), min_size=1, max_size=8).filter(
    lambda pairs: any(weight for _, weight in pairs)
)


def test_three_to_one() -> None:
    """(3 x 100.00 + 1 x 200.01) / 4 = 125.0025, so 125.00: 75.00 from the first, 50.00 from the second."""
    found = reconcile([10000, 20001], [Decimal(3), Decimal(1)], "ab", DOLLARS)
    assert (found.value, found.contributions) == (12500, (7500, 5000))
    assert found.weights == (Decimal("0.7500"), Decimal("0.2500"))


def test_thirds_add_up_to_one() -> None:
    found = reconcile([300, 300, 300], [Decimal(1)] * 3, "abc", DOLLARS)
    assert found.weights == (Decimal("0.3334"), Decimal("0.3333"), Decimal("0.3333"))
    assert found.contributions == (100, 100, 100)
    turned = reconcile([300, 300, 300], [Decimal(1)] * 3, "cba", DOLLARS)
    assert turned.weights == (Decimal("0.3333"), Decimal("0.3333"), Decimal("0.3334")), "it stays with the name"


def test_nothing_to_weigh_by() -> None:
    with pytest.raises(ValueError, match="every weight is 0"):
        reconcile([1, 2], [Decimal(0), Decimal(0)], "ab", DOLLARS)


@given(pairs=indications)
def test_the_parts_add_up_and_the_mean_lies_within(pairs: list[tuple[int, Decimal]]) -> None:
    values, weights = zip(*pairs, strict=True)
    found = reconcile(values, weights, NAMES, DOLLARS)
    assert sum(found.weights) == 1
    assert sum(found.contributions) == found.value
    weighed = [value for value, weight in pairs if weight]
    assert min(weighed) <= found.value <= max(weighed)


@given(pairs=indications, factor=decimals("0.1", "50", 1))
def test_only_the_proportion_of_the_weights_counts(pairs: list[tuple[int, Decimal]], factor: Decimal) -> None:
    values, weights = zip(*pairs, strict=True)
    assert reconcile(values, weights, NAMES, DOLLARS) == reconcile(
        values, [w * factor for w in weights], NAMES, DOLLARS
    )
