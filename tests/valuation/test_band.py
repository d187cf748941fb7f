"""The band: ranges by evidence, and each line's share of the variance."""

from decimal import Decimal
from itertools import pairwise
from typing import Any

import pytest

from hitchworth.model.estimate import Band
from hitchworth.model.options import Options, ThreePoint
from hitchworth.money import Money
from hitchworth.valuation.cost import Entry
from hitchworth.valuation.notes import NoteCollector
from hitchworth.valuation.spread import Spread, pool_guesses, spread
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
        (part(low=Decimal(60), likely=Decimal(100), high=Decimal(240)), 60, 240),
        (work(hired=True), 80, 130),
        (work(hired=True, evidence_grade="receipt"), 95, 105),
        (work(), 50, 250),
        (work(evidence_grade="own_estimate"), 80, 130),
        (work(evidence_grade="written_quote"), 90, 115),
        (work(hired=True, evidence_grade="guess"), 50, 250),
        (work(low=Decimal(60), high=Decimal(240)), 60, 240),
        (work(low=Decimal(90)), 90, 250),
    ],
)
def test_three_points(entry: object, low: int, high: int) -> None:
    found = spread(entry, 100_00, Money("USD"), NoteCollector())  # type: ignore[arg-type]
    assert found == Spread(low * 100_00, 100 * 100_00, high * 100_00)


def hours_at(*rates: int, **terms: Any) -> Band:
    """The band of a hundred hours, as entries at these market rates."""
    hours = str(Decimal(100) / len(rates))
    entries = [
        work(f"work {number}", hours, "0", market_rate=Decimal(rate), **terms) for number, rate in enumerate(rates)
    ]
    return valued(*entries).band


def test_guesses_of_a_rate_give_bands_that_overlap() -> None:
    """100 hours at 25, low 1,250, high 6,250: mean (1,250 + 10,000 + 6,250) / 6 = 2,917, deviation 5,000 / 6 = 833.

    At 90 percent, 1.645 deviations are 1,371: about 1,546 to 4,287. At 60 it is 2.4 times that, from about 3,710.
    """
    bands = [hours_at(rate) for rate in (25, 60, 85, 120)]
    assert bands[0].low < 1800
    assert bands[0].high > 4000
    assert all(one.high > other.low for one, other in pairwise(bands))
    quoted = [hours_at(rate, evidence_grade="written_quote") for rate in (25, 60, 85, 120)]
    assert all(one.high < other.low for one, other in pairwise(quoted))


def test_one_guess_for_many_entries_is_as_far_off_for_each() -> None:
    assert hours_at(*[60] * 25) == hours_at(60)
    own_estimates = hours_at(*[60] * 25, evidence_grade="own_estimate")
    whole = hours_at(60, evidence_grade="own_estimate")
    assert own_estimates.high - own_estimates.low < (whole.high - whole.low) * Decimal("0.6")


def test_guesses_at_different_rates_and_ranges_that_are_stated_are_not_one_guess() -> None:
    two, one = hours_at(59, 61), hours_at(60)
    assert two.high - two.low < one.high - one.low
    hourly: dict[str, Any] = {"hours": "10", "rate": "0", "market_rate": Decimal(60)}
    entries: list[Entry] = [
        work("a", **hourly),
        work("b", **hourly, low=Decimal(300), high=Decimal(1500)),
        part(unit_cost="600"),
    ]
    spreads = [spread(entry, 600_00, Money("USD"), NoteCollector()) for entry in entries]
    assert pool_guesses(entries, spreads) == (spreads, [0, 1, 2])
    assert pool_guesses([*entries, entries[0]], [*spreads, spreads[0]]) == (
        [Spread(*(2 * point for point in (spreads[0].low, spreads[0].likely, spreads[0].high))), *spreads[1:]],
        [0, 1, 2, 0],
    )


def test_a_paid_rate_without_a_market_rate_is_one_guess_too() -> None:
    entries: list[Entry] = [work("a", "10", "30"), work("b", "20", "30"), work("c", "20", "30", hired=True)]
    spreads = [spread(entry, 300_00, Money("USD"), NoteCollector()) for entry in entries]
    assert pool_guesses(entries, spreads)[1] == [0, 0, 1]


def test_entries_of_one_guess_share_its_part_of_the_variance_by_their_width() -> None:
    """Pooled, 10 and 30 hours at 60 are 1,200 to 6,000: three quarters of its share belong to the second."""
    first = work("a", "10", "0", market_rate=Decimal(60))
    second = work("b", "30", "0", market_rate=Decimal(60))
    nothing = work("c", "30", "0")
    other = part(unit_cost="2400", low=Decimal(0), high=Decimal(4800))
    found = valued(other, first, second, nothing, options=Options(correlation=Decimal(0)))
    # Widths of 4,800 each. The part's mode is in the middle: alpha = beta = 3. That of the hours, 2,400, is a quarter
    # up: alpha = 2, beta = 4. So the variances are as 9 to 8: shares of 9/17 and 8/17 = 0.4706, a quarter and the rest.
    assert [str(line.variance_share) for line in found.lines] == ["0.5294", "0.1177", "0.3530", "0.0000"]


def test_a_range_that_does_not_hold_the_cost_is_noted() -> None:
    assert codes(valued(part(high=Decimal(90)))) == ["range_widened"]
    assert codes(valued(part(low=Decimal(90), high=Decimal(110)))) == []


def test_no_low_is_below_zero_and_no_high_above_the_sum_of_the_highs() -> None:
    """One line from 0 to 1,000 with its mode at 100, triangular: F = x^2 / 100,000 up to the mode, so 5 percent lie
    below sqrt(5,000) = 70.71; above it 1 - F = (1,000 - x)^2 / 900,000, so 5 percent lie above 1,000 - sqrt(45,000).
    """
    options = Options(three_point="triangular")
    band = valued(part(low=Decimal(0), high=Decimal(1000)), options=options).band
    assert float(band.low) == pytest.approx(70.71, abs=0.01)
    assert float(band.high) == pytest.approx(1000 - 45_000**0.5, abs=0.01)
    widest = valued(part(low=Decimal(0), high=Decimal(1000)), options=Options(confidence=Decimal("0.999"))).band
    assert 0 <= widest.low < widest.high <= 1000


def test_more_confidence_and_more_correlation_widen_the_band() -> None:
    parts = [part(name, "1000", low=Decimal(800), high=Decimal(1300)) for name in "abcde"]

    def width(confidence: str = "0.9", correlation: str = "0.2") -> Decimal:
        options = Options(confidence=Decimal(confidence), correlation=Decimal(correlation))
        band = valued(*parts, options=options).band
        return band.high - band.low

    assert width(confidence="0.8") < width(confidence="0.9") < width(confidence="0.99")
    assert width(correlation="0.0") < width(correlation="0.2") < width(correlation="0.9")


def test_a_stated_likely_cost_replaces_the_computed_one() -> None:
    found = spread(part(likely=Decimal(200), evidence_grade="receipt"), 100_00, Money("USD"), NoteCollector())
    assert found == Spread(190 * 100_00, 200 * 100_00, 210 * 100_00)


def test_a_likely_cost_that_differs_is_noted_and_the_band_holds_the_replacement_cost() -> None:
    found = valued(part(likely=Decimal(200)))
    (note,) = found.notes
    assert (note.code, note.parameters) == ("likely_differs", {"likely": "200.00", "computed": "100.00"})
    assert found.band.likely == 200
    assert found.band.low <= found.totals.replacement_cost == 100
    assert [note.code for note in valued(part(likely=Decimal(100))).notes] == []


@pytest.mark.parametrize("correlation", ["0", "0.2", "1"])
@pytest.mark.parametrize("three_point", ["pert", "triangular"])
def test_the_parts_of_the_variance_add_up_and_follow_the_width(correlation: str, three_point: ThreePoint) -> None:
    widths = {"a": 10, "b": 20, "c": 400}
    parts = [
        part(name, "1000", low=Decimal(1000 - width), high=Decimal(1000 + width)) for name, width in widths.items()
    ]
    options = Options(correlation=Decimal(correlation), three_point=three_point)
    shares = [line.variance_share for line in valued(*parts, options=options).lines]
    assert abs(sum(shares, Decimal(-1))) <= Decimal("0.0002")
    assert shares == sorted(shares)
    if correlation == "0":
        assert shares[2] == round(Decimal(160_000) / 160_500, 4)
    if correlation == "1":
        assert shares[2] == round(Decimal(400) / 430, 4)


def test_better_evidence_for_the_widest_line_narrows_the_band_most() -> None:
    terms = {"a": ("5000", "own_estimate"), "b": ("800", "own_estimate"), "c": ("6000", "written_quote")}

    def width(better: str = "") -> Decimal:
        parts = [
            part(name, cost, evidence_grade="receipt" if name == better else grade)
            for name, (cost, grade) in terms.items()
        ]
        band = valued(*parts).band
        return band.high - band.low

    shares = {
        line.id: line.variance_share
        for line in valued(*(part(n, c, evidence_grade=g) for n, (c, g) in terms.items())).lines
    }
    assert min(terms, key=width) == max(shares, key=shares.__getitem__) == "a"
