"""The sales comparison compared with published rules and examples."""

from datetime import date
from decimal import Decimal

import pytest

from hitchworth.model.build import Build, IndexMonth
from hitchworth.model.request import SalesComparisonRequest
from hitchworth.model.sales_comparison import (
    AdjustmentTerms,
    Comparable,
    ComparedSale,
    CustomAdjustment,
    Standing,
    Traits,
)
from hitchworth.reference.adjustment_guides import adjustment_guides
from hitchworth.valuation.sales_comparison import sales_comparison

DAY, SOLD = date(2026, 6, 1), date(2025, 6, 1)


def own(comparable_is: Standing, amount: str | None = None, rate: str | None = None) -> CustomAdjustment:
    """An adjustment by an amount or a rate."""
    return CustomAdjustment(
        element="feature",
        comparable_is=comparable_is,
        amount=None if amount is None else Decimal(amount),
        rate=None if rate is None else Decimal(rate),
        reason="given",
    )


def compared(price: str, index: str, *adjustments: CustomAdjustment) -> ComparedSale:
    """A sale of a year ago; the index went from 100 to `index` since."""
    comparable = Comparable(
        description="sale", price=Decimal(price), sold_on=SOLD, source="given", adjustments=adjustments
    )
    months = (IndexMonth(month="2025-06", value=Decimal(100)), IndexMonth(month="2026-06", value=Decimal(index)))
    request = SalesComparisonRequest(
        build=Build(name="Trailer", currency="USD", price_indexes={"market": months}),
        subject=Traits(),
        comparables=(comparable,),
        adjustments=AdjustmentTerms(price_index="market"),
    )
    return sales_comparison(request, DAY).sales_comparison.comparables[0]


# A glossary of residential appraisal, "Gross adjustment" and "Net adjustment": one of +3,000 and one of -3,000 are
# 6,000 gross and 0 net
def test_gross_and_net() -> None:
    found = compared("20000", "100", own("inferior", "3000"), own("superior", "3000"))
    assert (found.net_adjustment, found.gross_adjustment) == (Decimal(0), Decimal(6000))


# The same glossary, as common practice: 15 percent net and 25 percent gross of the price of the comparable
def test_guides() -> None:
    assert (adjustment_guides().net, adjustment_guides().gross) == (Decimal("0.15"), Decimal("0.25"))


# An appraiser's article, "Adjustment grid sequence in the sales comparison approach" (2021): adjustments for the
# transaction first, each on the result of the one before; those for the property are all on the price after these.
# 100,000 that market conditions raise by 7 percent are 107,000; then two differences of 5 and 2 percent are 5,350 and
# 2,140, not 5,350 and 2,247.
def test_rates_are_on_the_price_after_the_date_of_sale() -> None:
    found = compared("100000", "107", own("inferior", rate="0.05"), own("inferior", rate="0.02"))
    assert [one.amount for one in found.adjustments] == [Decimal(7000), Decimal(5350), Decimal(2140)]
    assert found.indicated_value == Decimal(114490)


# Common practice in every handbook: the comparable is adjusted, never the subject; inferior up, superior down
@pytest.mark.parametrize(("standing", "value"), [("inferior", "16000.00"), ("superior", "14000.00")])
def test_direction(standing: Standing, value: str) -> None:
    assert str(compared("15000", "100", own(standing, "1000")).indicated_value) == value


# A course on comparable sales, "The adjustment framework: paired sales analysis": sold at 340,000 with a garage and at
# 325,000 without, so the garage is worth 15,000; the sale without it, adjusted, says what the one with it says
def test_paired_sales() -> None:
    assert compared("325000", "100", own("inferior", "15000")).indicated_value == Decimal(340000)
