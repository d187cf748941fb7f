"""Curves: lines through points, of which only the two next to an age are computed."""

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hitchworth.valuation.curve import Curve, PointCurve, YearlyCurve
from hitchworth.valuation.depreciation_methods import DecliningBalance
from openformula import declining_balance

shares = st.fractions(0, 1, max_denominator=50)
lives = st.fractions(Fraction(1, 2), 40, max_denominator=10)


def half(number: int, _: Fraction) -> Fraction:
    return Fraction(1, 2**number)


@pytest.mark.parametrize(
    ("age", "span"),
    [
        ("0", ("0", "1", "0.5", "0.5")),
        ("0.4", ("0", "1", "0.5", "0.5")),
        ("0.5", ("0.5", "0.5", "1.5", "0.25")),
        ("1.6", ("1.5", "0.25", "1.75", "0.125")),
        ("1.75", ("1.75", "0.125", "1.75", "0.125")),
        ("900", ("1.75", "0.125", "1.75", "0.125")),
    ],
)
def test_points_lie_a_year_apart_and_at_the_end(age: str, span: tuple[str, ...]) -> None:
    curve = Curve(YearlyCurve(half, Fraction("1.75"), first=Fraction(1, 2)))
    assert curve.span(Fraction(age)) == tuple(map(Fraction, span))
    assert Fraction(span[1]) >= curve.at(Fraction(age)) >= Fraction(span[3])


def test_only_the_two_points_next_to_an_age_are_computed() -> None:
    computed: list[int] = []

    def share(number: int, _: Fraction) -> Fraction:
        computed.append(number)
        return Fraction(1, number + 1)

    curve = Curve(YearlyCurve(share, Fraction(100)))
    assert curve.at(Fraction(57, 2)) == curve.at(Fraction(57, 2)) == (Fraction(1, 29) + Fraction(1, 30)) / 2
    assert computed == [28, 29]


@settings(deadline=None)
@given(
    rate=shares,
    residual=shares,
    switch_over=st.none() | lives,
    first=st.sampled_from([Fraction(1), Fraction(1, 2), Fraction(1, 8)]),
    age=st.fractions(0, 120, max_denominator=20),
)
def test_declining_balance_by_formula_is_that_drawn_year_by_year(
    rate: Fraction, residual: Fraction, switch_over: Fraction | None, first: Fraction, age: Fraction
) -> None:
    drawn = Curve(PointCurve(declining_balance(rate, residual, switch_over=switch_over, first=first)))
    left = Curve(DecliningBalance(rate, residual, life=switch_over, first=first).curve()).at(age)
    assert abs(left - drawn.at(age)) < Fraction(1, 10**140)  # as far as a balance is carried
