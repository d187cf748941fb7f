"""Refunds: a line that takes back units of another. Figures are worked by hand."""

from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from hitchworth.appraisal import estimate, with_refunds_applied
from hitchworth.model.build import Build
from hitchworth.model.entry import Component
from hitchworth.model.options import Options
from hitchworth.model.timeline import is_installed_on

BOUGHT, RETURNED, DAY = date(2026, 1, 10), date(2026, 3, 1), date(2026, 6, 1)
HINGES = Component(
    id="hinges",
    description="Hinges",
    category="hardware",
    quantity=Decimal(6),
    unit_cost=Decimal("8.50"),
    acquired_on=BOUGHT,
    tax=Decimal("5.00"),
    freight=Decimal("1.00"),
)


def refund(units: Any, day: date = RETURNED, name: str = "slip", **fields: Any) -> Component:
    return Component(
        id=name,
        description="Hinges taken back",
        category="hardware",
        quantity=Decimal(units),
        unit_cost=Decimal("-8.50"),
        acquired_on=day,
        refund_of="hinges",
        **fields,
    )


def applied(*components: Component) -> tuple[Component, ...]:
    return with_refunds_applied(Build(name="a", currency="USD", components=components)).components


def historical(day: date, *components: Component) -> str:
    build = with_refunds_applied(Build(name="a", currency="USD", components=components))
    return str(estimate(build, day, Options()).totals.historical_cost)


def test_a_build_without_refunds_stays_as_it_is() -> None:
    build = Build(name="a", currency="USD", components=(HINGES,))
    assert with_refunds_applied(build) is build


@pytest.mark.parametrize("units", [2, -2])
def test_part_of_a_line_is_taken_back(units: int) -> None:
    kept, returned = applied(HINGES, refund(units))
    # 6 hinges carry tax of 5.00 and freight of 1.00: 4 keep 3.33 and 0.67, 2 take 1.67 and 0.33 with them.
    assert (kept.id, kept.quantity, kept.tax, kept.freight, kept.removed_on) == (
        *("hinges", Decimal(4), Decimal("3.33"), Decimal("0.67"), None),
    )
    assert (returned.id, returned.quantity, returned.tax, returned.freight) == (
        *("slip", Decimal(2), Decimal("1.67"), Decimal("0.33")),
    )
    assert (returned.acquired_on, returned.removed_on, returned.refund_of) == (BOUGHT, RETURNED, None)
    assert returned.description == "Hinges taken back"
    # 6 x 8.50 + 5.00 + 1.00 = 57.00 before the refund; 4 x 8.50 + 3.33 + 0.67 = 38.00 after it
    assert historical(date(2026, 2, 1), HINGES, refund(units)) == "57.00"
    assert historical(DAY, HINGES, refund(units)) == "38.00"


def test_a_whole_line_is_taken_back() -> None:
    (removed,) = applied(HINGES, refund(-6))
    assert removed == replace(HINGES, removed_on=RETURNED)
    assert historical(date(2026, 2, 28), HINGES, refund(-6)) == "57.00"
    assert historical(RETURNED, HINGES, refund(-6)) == "0.00"


def test_a_line_is_taken_back_bit_by_bit() -> None:
    first, second = refund(1, RETURNED, "first"), refund(5, DAY, "second")
    left, taken = applied(second, HINGES, first)
    assert (left.id, left.quantity, left.removed_on) == ("hinges", Decimal(5), DAY)
    assert (taken.id, taken.quantity, taken.removed_on) == ("first", Decimal(1), RETURNED)
    assert left.tax is not None
    assert taken.tax is not None
    assert left.tax + taken.tax == Decimal("5.00")
    # 5 x 8.50 + 4.17 + 0.83 = 47.50
    assert historical(date(2026, 4, 1), HINGES, first, second) == "47.50"


def test_a_part_that_had_left_before_the_refund_left_then() -> None:
    gone = replace(HINGES, removed_on=date(2026, 2, 1))
    assert [part.removed_on for part in applied(gone, refund(2))] == [date(2026, 2, 1), date(2026, 2, 1)]


def test_the_order_of_the_lines_stays_and_other_lines_do_not_change() -> None:
    other = replace(HINGES, id="other")
    assert [part.id for part in applied(refund(2), other, HINGES)] == ["slip", "other", "hinges"]
    assert applied(refund(2), other, HINGES)[1] == other


def test_a_range_of_the_whole_line_is_split_and_an_unknown_tax_stays_unknown() -> None:
    ranged = replace(HINGES, tax=None, low=Decimal(30), likely=Decimal(60), high=Decimal(90), currency="EUR")
    kept, returned = applied(ranged, refund(2))
    assert (kept.tax, kept.low, kept.likely, kept.high) == (None, Decimal(20), Decimal(40), Decimal(60))
    assert (returned.tax, returned.low, returned.high) == (None, Decimal(10), Decimal(30))


def test_what_it_costs_to_put_right_stays_with_what_stays() -> None:
    """Once, and not once more for what was taken back."""
    kept, returned = applied(replace(HINGES, cost_to_cure=Decimal(12)), refund(2))
    assert (kept.cost_to_cure, returned.cost_to_cure) == (Decimal(12), None)


def test_a_refund_itself_is_never_in_the_trailer() -> None:
    assert is_installed_on(HINGES, DAY)
    assert not is_installed_on(refund(2), DAY)


@given(
    units=st.lists(st.decimals("0.001", 5, places=3), min_size=1, max_size=4),
    stays=st.decimals(0, 5, places=3),
    tax=st.decimals(0, 100, places=2),
)
def test_nothing_is_lost_in_the_split(units: list[Decimal], stays: Decimal, tax: Decimal) -> None:
    bought = replace(HINGES, quantity=stays + sum(units), tax=tax)
    refunds = [refund(count, name=f"slip {index}") for index, count in enumerate(units)]
    parts = applied(bought, *refunds)
    assert sum(part.quantity for part in parts) == bought.quantity
    assert sum(part.tax or Decimal(0) for part in parts) == tax
    installed = [part.quantity for part in parts if is_installed_on(part, DAY)]
    assert installed == ([stays] if stays else [])
