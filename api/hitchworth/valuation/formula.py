"""Formulas of the workings: a rule, and its numbers as text.

Numbers and signs only, "x" for times and "^" for a power, so that they read the same in every language.
"""

from decimal import Decimal
from fractions import Fraction
from typing import TypeAlias

from hitchworth.model.workings import Figure, Working, WorkingRule
from hitchworth.money import round_ratio

PLACES = 12
"""Decimal places of a share or an age: enough to recompute an amount to its last digit."""

Formula: TypeAlias = tuple[WorkingRule, str]
"""The rule, and the text on the left of the equals sign."""


def format_number(exact: Fraction) -> str:
    """Return an exact number of 0 or more as text, to PLACES decimals at most."""
    text = f"{round_ratio(*exact.as_integer_ratio(), PLACES):f}"
    return text.rstrip("0").rstrip(".")


def working(figure: Figure, formula: Formula, result: Decimal | str) -> Working:
    """Return the formula of a figure with its result on the right of the equals sign."""
    rule, text = formula
    return Working(figure=figure, rule=rule, formula=f"{text} = {result}")
