"""A formula of the workings: the rule that it goes by, and its numbers.

Numbers and signs only, "x" for times and "^" for a power, so that they read the same in every language.
"""

from fractions import Fraction
from typing import TypeAlias

from hitchworth.model.estimate import WorkingRule
from hitchworth.valuation.money import printed

PLACES = 12
"""Decimals of a share or an age: enough to redo an amount to its last digit."""

Formula: TypeAlias = tuple[WorkingRule, str]
"""The rule, and what stands before the equals sign."""


def number(exact: Fraction) -> str:
    """An exact number that is not negative, to PLACES decimals at most."""
    text = f"{printed(*exact.as_integer_ratio(), PLACES):f}"
    return text.rstrip("0").rstrip(".")
