"""Overhead and profit, each as a markup or as a margin, on the lines that lack them."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hitchworth.model.pricing import KindMarkup
from quotes import D, part, quoted, rates, work


# Direct cost 1,000, worked by hand:
#   10 % and 20 % as markups side by side: 100 and 200; compounded: 100 and 220
#   20 % as a margin: 1,000 / 0.8 = 1,250, so 250; both as margins of 10 % and 20 %: 1,000 / 0.7 = 1,428.57 (.571):
#   overhead 142.857, profit 285.714
#   overhead 10 % as a markup, profit 20 % as a margin of the whole price: 1,100 / 0.8 = 1,375, profit 275
#   overhead 10 % as a margin, profit 20 % as a markup on cost: price 1,200 / 0.9 = 1,333.33, overhead 133.33
#   the same compounded: price = 1.2 x 1,000 / (1 - 1.2 x 0.1) = 1,363.64, overhead 136.36, profit 20 % of 1,136.36
@pytest.mark.parametrize(
    ("markup", "overhead", "profit"),
    [
        (rates("0.1", "0.2"), "100.00", "200.00"),
        (rates("0.1", "0.2", compounded=True), "100.00", "220.00"),
        (rates("0", "0.2", profit_basis="margin"), "0.00", "250.00"),
        (rates("0.1", "0.2", overhead_basis="margin", profit_basis="margin"), "142.86", "285.71"),
        (rates("0.1", "0.2", profit_basis="margin"), "100.00", "275.00"),
        (rates("0.1", "0.2", profit_basis="margin", compounded=True), "100.00", "275.00"),
        (rates("0.1", "0.2", overhead_basis="margin"), "133.33", "200.00"),
        (rates("0.1", "0.2", overhead_basis="margin", compounded=True), "136.36", "227.27"),
    ],
)
def test_what_rates_come_to(markup: object, overhead: str, profit: str) -> None:
    totals = quoted(part("a", 1000), markup=markup).totals
    assert (str(totals.overhead), str(totals.profit)) == (overhead, profit)
    assert totals.price == totals.direct_cost + totals.overhead + totals.profit


def test_a_line_bears_only_what_its_price_lacks() -> None:
    lines = quoted(
        part("nothing", 100),
        part("overhead", 100, price_includes="overhead"),
        part("both", 100, price_includes="overhead_and_profit"),
        part("all", 100, price_includes="all"),
        markup=rates("0.1", "0.2", compounded=True),
    ).lines
    # Profit on the first is on 110; on the second its 100 has the overhead inside.
    assert [(str(line.overhead), str(line.profit)) for line in lines] == [
        ("10.00", "22.00"),
        ("0.00", "20.00"),
        ("0.00", "0.00"),
        ("0.00", "0.00"),
    ]


def test_a_margin_on_a_line_with_overhead_inside_is_of_its_price() -> None:
    (line,) = quoted(part("a", 80, price_includes="overhead"), markup=rates("0.5", "0.2", profit_basis="margin")).lines
    assert str(line.profit) == "20.00"  # 80 / 0.8 = 100


def test_each_kind_of_cost_can_have_rates_of_its_own() -> None:
    found = quoted(
        part("a", 100),
        work("own", 1, 100),
        work("hired", 1, 100, hired=True),
        markup=rates("0.1"),
        markups=(
            KindMarkup(kind="labor", overhead_rate=D("0.5")),
            KindMarkup(kind="hired_labor", overhead_rate=D("0.2")),
        ),
    )
    assert [str(line.overhead) for line in found.lines] == ["10.00", "50.00", "20.00"]
    assert [(each.kind, str(each.overhead_base), str(each.overhead_on_cost)) for each in found.markups] == [
        ("material", "100.00", "0.100000000000"),
        ("labor", "100.00", "0.500000000000"),
        ("hired_labor", "100.00", "0.200000000000"),
    ]


def test_terms_show_the_bases_and_shares_on_cost() -> None:
    (terms,) = quoted(
        part("a", 100), part("b", 40, price_includes="overhead"), markup=rates("0.1", "0.2", profit_basis="margin")
    ).markups
    # 100 bears overhead, 140 bears profit; 1.1 / 0.8 - 1.1 = 0.275 of direct cost.
    assert (str(terms.overhead_base), str(terms.profit_base)) == ("100.00", "140.00")
    assert terms.profit_on_cost == D("0.275")


def test_the_total_is_rounded_once_and_split_by_largest_remainder() -> None:
    # 10 % of 0.05, 0.05 and 0.06 is 0.016 together, so 0.02: the largest remainder is that of 0.06 (0.006), then a.
    lines = quoted(part("a", "0.05"), part("b", "0.05"), part("c", "0.06"), markup=rates("0.1")).lines
    assert [str(line.overhead) for line in lines] == ["0.01", "0.00", "0.01"]


@given(
    costs=st.lists(st.integers(0, 10**7), min_size=1, max_size=8),
    overhead=st.integers(0, 45),
    profit=st.integers(0, 45),
    bases=st.tuples(*[st.sampled_from(["markup", "margin"])] * 2),
    compounded=st.booleans(),
)
def test_lines_always_add_up_and_a_margin_is_of_the_price(
    costs: list[int], overhead: int, profit: int, bases: tuple[str, str], compounded: bool
) -> None:
    shares = Decimal(overhead) / 100, Decimal(profit) / 100
    found = quoted(
        *(part(f"p{index}", str(Decimal(cost) / 100)) for index, cost in enumerate(costs)),
        markup=rates(
            str(shares[0]), str(shares[1]), overhead_basis=bases[0], profit_basis=bases[1], compounded=compounded
        ),
    )
    totals = found.totals
    for name in ("direct_cost", "overhead", "profit", "price"):
        assert sum(getattr(line, name) for line in found.lines) == getattr(totals, name)
    for amount, share, basis in zip((totals.overhead, totals.profit), shares, bases, strict=True):
        if basis == "margin":
            assert abs(amount - share * totals.price) <= D("0.02")
