"""A quote against as built: by cause, by category, by line, and what the hours say."""

from typing import Any

import pytest

from hitchworth.model.build import Build
from hitchworth.model.change_order import ChangeOrder
from hitchworth.model.options import Options
from hitchworth.model.pricing import CustomerSupply, QuoteAllowance, QuotePricing, ShopRate, WasteAllowance
from hitchworth.model.quote_variance import QuoteVariance
from hitchworth.quoting.variance import quote_variance
from quotes import DAY, NO_TAX, D, camper, part, rates, work


def compared(quoted: Build, built: Build, changes: tuple[ChangeOrder, ...] = (), **pricing: Any) -> QuoteVariance:
    terms = QuotePricing(**{"tax": NO_TAX} | pricing)
    return quote_variance(quoted, terms, changes, DAY, Options(), built=built)


def causes(found: Any) -> dict[str, str]:
    return {each.cause: str(each.amount) for each in found.causes}


def test_quantity_comes_first_at_the_quoted_price() -> None:
    # 10 at 7 are quoted; 12 at 8 are bought: 2 more at 7 are 14, then 12 x 1 more.
    found = compared(camper(part("sheet", 7, 10)), camper(part("sheet", 8, 12)))
    assert (str(found.quoted), str(found.built), str(found.variance)) == ("70.00", "96.00", "26.00")
    assert causes(found) == causes(found.lines[0]) == {"quantity": "14.00", "price": "12.00"}


def test_waste_was_quoted_and_freight_does_not_grow_with_the_quantity() -> None:
    waste = (WasteAllowance(category="body", rate=D("0.1")),)
    quoted, built = camper(part("sheet", 10, 10, freight=D(30))), camper(part("sheet", 10, 12, freight=D(30)))
    assert causes(compared(quoted, built, waste=waste)) == {"quantity": "10.00"}
    dearer = camper(part("sheet", 10, 11, freight=D(35)))
    assert causes(compared(quoted, dearer, waste=waste)) == {"price": "5.00"}


def test_tax_and_exchange_that_were_paid_are_price() -> None:
    built = camper(part("sheet", 10, 1, tax=D(1), currency="EUR", exchange_rate=D("1.5"), freight=D(2)))
    assert causes(compared(camper(part("sheet", 10, freight=D(3))), built)) == {"price": "6.50"}


def test_freight_of_a_quote_is_at_the_rate_of_the_quote() -> None:
    # 2 x 10 and 3 of freight in euros, quoted at 1.2: 27.60. A third one at the quoted price is 12 more.
    euros: dict[str, Any] = {"currency": "EUR", "exchange_rate": D("1.5"), "freight": D(3)}
    quoted = part("sheet", 9, 2, replacement_unit_cost=D(10), quoted_on=DAY, quoted_exchange_rate=D("1.2"), **euros)
    built = part("sheet", 10, 3, currency="EUR", exchange_rate=D("1.2"), freight=D(3))
    assert causes(compared(camper(quoted), camper(built))) == {"quantity": "12.00"}
    as_paid = part("sheet", 10, 2, **euros)
    assert causes(compared(camper(as_paid), camper(part("sheet", 10, 3, **euros)))) == {"quantity": "15.00"}


def test_what_was_not_quoted_or_not_built_is_scope() -> None:
    found = compared(camper(part("sheet", 10), part("door", 40)), camper(part("sheet", 10), part("lamp", 15)))
    assert [(line.id, line.kind, str(line.variance), causes(line)) for line in found.lines] == [
        ("door", "component", "-40.00", {"scope": "-40.00"}),
        ("lamp", "component", "15.00", {"scope": "15.00"}),
    ]
    assert causes(found) == {"scope": "-25.00"}


def test_hours_of_the_workshop_are_at_the_rates_of_the_quote_and_hired_ones_as_paid() -> None:
    rate = (ShopRate(rate=D(80)),)
    found = compared(
        camper(work("cut", 10), work("weld", 2, hired=True)),
        camper(work("cut", 13, 25), work("weld", 2, 95, hired=True)),
        shop_rates=rate,
    )
    assert [causes(line) for line in found.lines] == [{"labor_hours": "240.00"}, {"price": "30.00"}]


def test_overhead_profit_and_handling_are_not_in_it_and_what_the_customer_brings_is_not_either() -> None:
    found = compared(
        camper(part("sheet", 10), part("stove", 200)),
        camper(part("sheet", 10), part("stove", 230)),
        markup=rates("0.5"),
        customer_supplies=(CustomerSupply(id="stove", handling=D(35)),),
    )
    assert (str(found.quoted), str(found.built), found.lines) == ("10.00", "10.00", ())


def test_accepted_changes_belong_to_the_quote() -> None:
    signed: dict[str, Any] = {"accepted_by": "A. Customer", "accepted_on": DAY}
    change = ChangeOrder(number="1", dated=DAY, reason="x", components=(part("lamp", 15),), **signed)
    pending = ChangeOrder(number="2", dated=DAY, reason="x", components=(part("sofa", 90),))
    built = camper(part("sheet", 10), part("lamp", 15), part("sofa", 90))
    assert causes(compared(camper(part("sheet", 10)), built, (change, pending))) == {"scope": "90.00"}


def test_an_allowance_is_compared_with_what_was_chosen() -> None:
    allowance = QuoteAllowance(id="curtains", description="Curtains", amount=D(450))
    found = compared(camper(), camper(part("curtains", 130, 4, category="allowance")), allowances=(allowance,))
    assert (str(found.variance), causes(found)) == ("70.00", {"price": "70.00"})


def test_categories_add_up() -> None:
    found = compared(
        camper(part("sheet", 10, 3), part("lamp", 5, category="lighting"), work("cut", 2, 30)),
        camper(part("sheet", 11, 3), part("wire", 7, category="electrical"), work("cut", 3, 30)),
    )
    assert [
        (each.category, str(each.quoted), str(each.built), str(each.variance), causes(each))
        for each in found.categories
    ] == [
        ("body", "30.00", "33.00", "3.00", {"price": "3.00"}),
        ("lighting", "5.00", "0.00", "-5.00", {"scope": "-5.00"}),
        ("labor", "60.00", "90.00", "30.00", {"labor_hours": "30.00"}),
        ("electrical", "0.00", "7.00", "7.00", {"scope": "7.00"}),
    ]
    assert sum(each.variance for each in found.categories) == found.variance == 35
    assert sum(each.quoted for each in found.categories) == found.quoted
    assert sum(each.built for each in found.categories) == found.built


def test_a_removed_part_was_not_built_and_a_price_of_thirds_comes_back_to_the_cent() -> None:
    built = camper(part("sheet", "33.333333", 3), part("gone", 9, removed_on=DAY))
    found = compared(camper(part("sheet", "33.34", 3)), built)
    assert (str(found.quoted), str(found.built), causes(found)) == ("100.02", "100.00", {"price": "-0.02"})


def test_the_hours_say_how_much_longer_each_kind_of_work_took() -> None:
    found = compared(
        camper(
            work("a", 10, 1, category="joinery"),
            work("b", 20, 1, category="joinery"),
            work("c", 5, 1, category="joinery"),
            work("d", 4, 1, category="electrical"),
            work("zero", 0, 1, category="paint"),
        ),
        camper(
            work("a", 12, 1, category="joinery"),
            work("b", 18, 1, category="joinery"),
            work("new", 3, 1, category="joinery"),
            work("d", 6, 1, category="electrical"),
            work("zero", 2, 1, category="paint"),
        ),
    )
    # Joinery: 30 quoted and 30 built of two tasks, 0.9 to 1.2 of what was quoted; one task more, one not done.
    assert [
        (each.category, each.quoted_hours, each.built_hours, each.unquoted_hours, each.tasks) for each in found.hours
    ] == [
        ("electrical", D(4), D(6), D(0), 1),
        ("joinery", D(30), D(30), D(3), 2),
        ("paint", D(0), D(0), D(2), 0),
    ]
    assert [(each.likely, each.low, each.high) for each in found.hours] == [
        (D("1.5"), None, None),
        (D(1), D("0.9"), D("1.2")),
        (None, None, None),
    ]


@pytest.mark.parametrize(("built", "likely"), [(4, "1.3333"), (5, "1.6667")])
def test_a_multiple_has_four_places(built: int, likely: str) -> None:
    (learned,) = compared(camper(work("a", 3, 1)), camper(work("a", built, 1))).hours
    assert str(learned.likely) == likely
