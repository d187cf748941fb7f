"""Reconciliation: one value from several indications, each with its weight."""

from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction
from math import lcm
from typing import NamedTuple

from hitchworth.valuation.money import Money, split

WHOLE = 10_000
"""Weights are printed in parts of this, four places, and still add up to 1."""


class Reconciled(NamedTuple):
    """The weighted mean, with the weights that add up to 1 and the contributions that add up to the mean."""

    value: int
    weights: tuple[Decimal, ...]
    contributions: tuple[int, ...]


def reconciled(values: Sequence[int], weights: Sequence[Decimal], money: Money) -> Reconciled:
    """Weigh values in whole minor units, none of them negative.

    The mean is reckoned with the weights as they are given and rounded once. Printed weights and contributions are
    split by largest remainder. Raises ValueError where no weight is more than 0.
    """
    whole = _in_whole_numbers(weights)
    if not any(whole):
        raise ValueError("nothing to weigh by: every weight is 0")
    weighed = [value * weight for value, weight in zip(values, whole, strict=True)]
    value = money.divide(sum(weighed), sum(whole))
    return Reconciled(
        value,
        tuple(Decimal(part).scaleb(-4) for part in split(WHOLE, whole)),
        tuple(split(value, weighed)),
    )


def _in_whole_numbers(weights: Sequence[Decimal]) -> list[int]:
    """The weights in the same proportion, as whole numbers."""
    exact = [Fraction(weight) for weight in weights]
    common = lcm(*(weight.denominator for weight in exact))
    return [int(weight * common) for weight in exact]
