"""The band: ranges by evidence, and the formula against a seeded simulation."""

import random
from decimal import Decimal
from math import comb
from statistics import fmean, quantiles, stdev

import pytest

from hitchworth.model.options import Options
from hitchworth.valuation.band import mean_and_variance
from hitchworth.valuation.money import Money
from hitchworth.valuation.remarks import Remarks
from hitchworth.valuation.spread import Spread, pert, spread
from valuation_parts import codes, part, valued, work


@pytest.mark.parametrize(
    ("entry", "low", "high"),
    [
        (part(evidence_grade="receipt"), 95, 105),
        (part(evidence_grade="written_quote"), 90, 115),
        (part(evidence_grade="own_estimate"), 80, 130),
        (part(low=Decimal(60)), 60, 130),
        (part(low=Decimal(60), high=Decimal(240)), 60, 240),
        (part(high=Decimal(90)), 80, 100),
        (part(low=Decimal(110), high=Decimal(120)), 100, 120),
        (work(hired=True), 95, 105),
        (work(), 80, 130),
    ],
)
def test_three_points(entry: object, low: int, high: int) -> None:
    found = spread(entry, 100_00, Money("USD"), Remarks())  # type: ignore[arg-type]
    assert found == Spread(low * 100_00, 100 * 100_00, high * 100_00)


def test_a_range_that_does_not_hold_the_cost_is_noted() -> None:
    assert codes(valued(part(high=Decimal(90)))) == ["range_widened"]
    assert codes(valued(part(low=Decimal(90), high=Decimal(110)))) == []


def test_fully_correlated_errors_add_up_as_they_are() -> None:
    spreads = [pert(Spread(0, 3, 6)), pert(Spread(0, 6, 12))]
    assert mean_and_variance(spreads, Decimal(1)) == (Decimal(9), Decimal(9))
    assert mean_and_variance(spreads, Decimal(0)) == (Decimal(9), Decimal(5))


def test_more_confidence_and_more_correlation_widen_the_band() -> None:
    parts = [part(name, "1000", low=Decimal(800), high=Decimal(1300)) for name in "abcde"]

    def width(confidence: str = "0.9", correlation: str = "0.2") -> Decimal:
        options = Options(confidence=Decimal(confidence), correlation=Decimal(correlation))
        band = valued(*parts, options=options).band
        return band.high - band.low

    assert width(confidence="0.8") < width(confidence="0.9") < width(confidence="0.99")
    assert width(correlation="0.0") < width(correlation="0.2") < width(correlation="0.9")


def beta_sum(dice: random.Random, spreads: list[tuple[int, int, int]]) -> float:
    """One draw of the sum of independent lines, each by the beta distribution of PERT."""
    return sum(
        low
        + (high - low) * dice.betavariate(1 + 4 * (likely - low) / (high - low), 1 + 4 * (high - likely) / (high - low))
        for low, likely, high in spreads
    )


def test_the_formula_agrees_with_a_simulation() -> None:
    dice = random.Random(20260615)
    terms = [(800 + 10 * number, 1000 + 10 * number, 1250 + 20 * number) for number in range(40)]
    drawn = [beta_sum(dice, terms) for _ in range(4000)]
    parts = [
        part(f"part {number}", str(likely), low=Decimal(low), high=Decimal(high))
        for number, (low, likely, high) in enumerate(terms)
    ]
    band = valued(*parts, options=Options(correlation=Decimal(0), confidence=Decimal("0.9"))).band
    mean, variance = mean_and_variance([pert(Spread(*line)) for line in terms], Decimal(0))
    assert float(mean) == pytest.approx(fmean(drawn), rel=1e-3)
    # PERT's (high - low) / 6 is a rule of thumb: the beta distribution itself deviates up to a tenth more
    assert float(variance.sqrt()) == pytest.approx(stdev(drawn), rel=0.15)
    fifth, *_, ninety_fifth = quantiles(drawn, n=20)
    assert float(band.high) == pytest.approx(ninety_fifth, rel=5e-3)
    assert float(mean - (Decimal(band.high) - mean)) == pytest.approx(fifth, rel=5e-3)


def test_the_formula_for_correlated_lines_agrees_with_a_simulation() -> None:
    dice = random.Random(7)
    lines, correlation = 12, 0.3
    spreads = [pert(Spread(0, 300, 600))] * lines  # standard deviation 100 each
    drawn = []
    for _ in range(6000):
        shared = dice.gauss(0, 1)
        drawn.append(
            sum(
                300 + 100 * (correlation**0.5 * shared + (1 - correlation) ** 0.5 * dice.gauss(0, 1))
                for _ in range(lines)
            )
        )
    _, variance = mean_and_variance(spreads, Decimal(str(correlation)))
    assert float(variance) == pytest.approx(100**2 * (lines + 2 * comb(lines, 2) * correlation))
    assert float(variance.sqrt()) == pytest.approx(stdev(drawn), rel=0.03)
