"""The depreciation functions of OpenFormula (OASIS OpenDocument 1.3, part 4, section 6.12), as defined there.

The tests compare the schedules with them: textbook forms, period by period, in exact fractions.
"""

from collections.abc import Iterator
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from typing import TypeAlias

from hitchworth.money import PRECISE, half_up
from hitchworth.valuation.curve import Curve, Point, PointCurve
from hitchworth.valuation.depreciation_methods import DEFAULT_FACTOR, MAX_YEARS, ONE, bound_denominator

Number: TypeAlias = int | Decimal | Fraction
Balances: TypeAlias = Iterator[Point]
"""Pairs of an age in years and the share of the cost that is left at it, from (0, 1) on."""


def declining_balance(
    rate: Fraction,
    residual: Fraction,
    *,
    switch_over: Fraction | None = None,
    first: Fraction = ONE,
    places: int | None = None,
) -> Balances:
    """Each year takes `rate` of what is left, down to the residual.

    `switch_over` is the life in years, if the method is to switch to straight line: as soon as what remains, spread
    over the remaining life, takes more in a year. `first` is the length of the first year. `places` rounds each
    year's depreciation half up and goes on with the rounded balance, as the tables of IRS Publication 946 do.
    """
    age, balance = Fraction(0), ONE
    yield age, balance
    while balance > residual and age < MAX_YEARS:
        period = ONE if age else first
        yearly = balance * rate
        if switch_over is not None:
            remaining = switch_over - age
            period = min(period, remaining)
            yearly = max(yearly, (balance - residual) / remaining)
        loss = yearly * period
        if places is not None:
            loss = Fraction(half_up(loss.numerator * 10**places, loss.denominator), 10**places)
        age += period
        balance = max(bound_denominator(balance - loss), residual)
        yield age, balance


def sln(cost: Number, salvage: Number, life: Number) -> Fraction:
    """Straight line: depreciation of one period (6.12.45).

    The standard misprints its syntax line as DDB and prints no formula. Raises ZeroDivisionError for a life of 0.
    """
    return (Fraction(cost) - Fraction(salvage)) / Fraction(life)


def syd(cost: Number, salvage: Number, life: Number, period: Number) -> Fraction:
    """Sum of years' digits: depreciation of a period, counted from 1 (6.12.46)."""
    years = Fraction(life)
    return (Fraction(cost) - Fraction(salvage)) * 2 * (years + 1 - Fraction(period)) / (years * (years + 1))


def db(cost: Number, salvage: Number, life: int, period: int, months: int = 12) -> Fraction:
    """Fixed declining balance: depreciation of a period, counted from 1, with `months` in the first (6.12.13).

    The rate, 1 - (salvage / cost) ^ (1 / life), is rounded to three decimals, so the balance does not land on the
    salvage. The standard prints the general formula with its sign reversed; what a period takes is the value before it
    less the value after it. Raises ValueError outside the constraints that the standard prints.
    """
    price, rest = Fraction(cost), Fraction(salvage)
    if not (price > 0 and rest >= 0 and life > 0 and period > 0 and 0 < months < 13):
        raise ValueError("DB needs cost > 0, salvage >= 0, life > 0, period > 0 and 1 to 12 months")
    rate = _fixed_rate(rest / price, life)
    first = Fraction(months, 12)
    if period == 1:
        return price * rate * first
    before = price * (1 - rate * first) * (1 - rate) ** (period - 2)
    if period <= life:
        return before * rate
    return before * rate * (1 - first) if period == life + 1 else Fraction(0)


def _fixed_rate(left: Fraction, life: int) -> Fraction:
    share = PRECISE.divide(Decimal(left.numerator), Decimal(left.denominator))
    root = PRECISE.power(share, PRECISE.divide(Decimal(1), Decimal(life))) if share else share
    return Fraction((1 - root).quantize(Decimal("0.001"), ROUND_HALF_UP, PRECISE))


def ddb(cost: Number, salvage: Number, life: Number, period: Number, factor: Number = DEFAULT_FACTOR) -> Fraction:
    """Declining balance with a factor, by default 2: depreciation of a period, from 1 to the life (6.12.14).

    A rate above 1 counts as 1. Exact at a whole period; at a broken one the power is taken to 100 digits.
    """
    price, rest, at = Fraction(cost), Fraction(salvage), Fraction(period)
    if not (0 <= rest <= price and 1 <= at <= Fraction(life) and Fraction(factor) > 0):
        raise ValueError("DDB needs 0 <= salvage <= cost, a period from 1 to the life, and a factor above 0")
    kept = 1 - _rate(life, factor)
    before, after = price * _root_power(kept, at - 1), price * _root_power(kept, at)
    return max(before - max(after, rest), Fraction(0))


def _root_power(base: Fraction, exponent: Fraction) -> Fraction:
    if exponent.denominator == 1:
        return base**exponent.numerator
    if not base:
        return base
    number = PRECISE.divide(Decimal(base.numerator), Decimal(base.denominator))
    return Fraction(PRECISE.power(number, PRECISE.divide(Decimal(exponent.numerator), Decimal(exponent.denominator))))


def vdb(  # noqa: PLR0917  the order of arguments is the standard's
    cost: Number,
    salvage: Number,
    life: Number,
    start: Number,
    end: Number,
    factor: Number = DEFAULT_FACTOR,
    *,
    no_switch: bool = False,
) -> Fraction:
    """Declining balance between two points of the life, switching to straight line unless `no_switch` (6.12.50).

    The standard gives words and no formula. Two spreadsheet programs agree on this rule if the life is a whole number:
    compute whole periods, and take of each the part between the two points.
    """
    price, rest, years = Fraction(cost), Fraction(salvage), Fraction(life)
    if not (0 <= rest <= price and years > 0 and 0 <= Fraction(start) <= Fraction(end) <= years):
        raise ValueError("VDB needs 0 <= salvage <= cost and 0 <= start <= end <= life")
    if not price:
        return price
    rate = _rate(life, factor)
    curve = Curve(PointCurve(declining_balance(rate, rest / price, switch_over=None if no_switch else years)))
    return price * (curve.at(Fraction(start)) - curve.at(Fraction(end)))


def _rate(life: Number, factor: Number) -> Fraction:
    return min(Fraction(factor) / Fraction(life), ONE)
