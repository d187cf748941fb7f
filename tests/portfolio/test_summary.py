"""What a portfolio comes to: sums by hand, percentiles as numpy has them."""

from datetime import date
from decimal import Decimal
from typing import Any

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from hitchworth.model.portfolio import OutgrownInMonth, PortfolioLimit, RevaluedBuild
from hitchworth.portfolio.summary import summarize
from portfolio_documents import TERMS


def build(identity: str, cost: str, gap: str | None = None, currency: str = "USD", **more: Any) -> RevaluedBuild:
    return RevaluedBuild(
        id=identity,
        document=identity,
        currency=currency,
        replacement_cost=Decimal(cost),
        actual_cash_value=Decimal(cost) / 2,
        gap=None if gap is None else Decimal(gap),
        **more,
    )


def limit(state: Any, since: date | None, lacking: str) -> PortfolioLimit:
    return PortfolioLimit(
        policy="RV",
        term="limit",
        state=state,
        limit=Decimal(10),
        basis="replacement_cost",
        since=since,
        lacking=Decimal(lacking),
    )


def test_each_currency_is_added_up_by_itself() -> None:
    builds = [
        build("a", "100.00", "10.00"),
        build("b", "30.00", "-5.00"),
        build("c", "7.00"),
        build("d", "20", "3", "JPY"),
        RevaluedBuild(id="e", document="e", problem="wrong"),
    ]
    summary = summarize(builds, TERMS)
    yen, dollars = summary.sums
    assert (summary.builds, summary.unreadable, summary.terms) == (5, 1, TERMS)
    assert (yen.currency, yen.builds, str(yen.replacement_cost), str(yen.gap)) == ("JPY", 1, "20", "3")
    assert (dollars.builds, dollars.builds_with_gap) == (3, 2)
    assert (str(dollars.replacement_cost), str(dollars.actual_cash_value)) == ("137.00", "68.50")
    assert str(dollars.gap) == "5.00"  # 10 - 5
    assert [(each.percent, str(each.gap)) for each in dollars.gap_percentiles][:4] == [
        (5, "-5.00"),
        (25, "-5.00"),
        (50, "-5.00"),  # the first of two is not exceeded by half of them
        (75, "10.00"),
    ]


def test_limits_are_counted_by_what_becomes_of_them() -> None:
    march, april = date(2027, 3, 1), date(2027, 4, 30)
    builds = [
        build("a", "1", limits=(limit("exceeded", None, "40.00"), limit("outgrown", april, "9.00"))),
        build("b", "1", limits=(limit("exceeded", march, "2.50"), limit("outgrown", march, "9.00"))),
        build("c", "1", limits=(limit("outgrown", date(2027, 3, 31), "9.00"),)),
    ]
    (found,) = summarize(builds, TERMS).sums
    assert (found.limits_exceeded, str(found.lacking), found.limits_outgrown) == (2, "42.50", 3)
    assert found.outgrown_by_month == (
        OutgrownInMonth(month="2027-03", limits=2),
        OutgrownInMonth(month="2027-04", limits=1),
    )


@given(st.lists(st.integers(-(10**12), 10**12), min_size=1, max_size=60))
def test_percentiles_are_those_of_numpy(cents: list[int]) -> None:
    """Its method inverted_cdf is the nearest rank (method 1 of Hyndman and Fan, The American Statistician 50, 1996)."""
    builds = [build(str(number), "1", str(Decimal(gap) / 100)) for number, gap in enumerate(cents)]
    (found,) = summarize(builds, TERMS).sums
    percents = (5, 25, 50, 75, 90, 95, 99, 100)
    expected = np.percentile(np.array(cents), percents, method="inverted_cdf")
    assert [each.percent for each in found.gap_percentiles] == list(percents)
    assert [int(each.gap * 100) for each in found.gap_percentiles] == [int(value) for value in expected]


def test_nothing_has_no_percentiles() -> None:
    assert summarize([], TERMS).sums == ()
    assert summarize([build("a", "1")], TERMS).sums[0].gap_percentiles == ()
