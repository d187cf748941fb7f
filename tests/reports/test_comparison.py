"""The policies compared: break-evens, average years, what they pay together, expenses and last days."""

from datetime import date
from decimal import Decimal

import pytest
from msgspec.structs import replace

from demo_sheet import demo_statement, report_context
from hitchworth.model.gap import GapStatement
from hitchworth.model.settlement import (
    BreakEven,
    Combined,
    ExpectedCost,
    ExpensePaid,
    PolicyComparison,
    PolicyShare,
)
from hitchworth.reports.content import Listing, Table
from hitchworth.reports.policy_comparison import policy_comparison
from hitchworth.reports.settlement_tables import comparison


def tables(statement: GapStatement) -> dict[str, Table]:
    return {block.caption: block for block in policy_comparison(report_context(statement)) if isinstance(block, Table)}


def break_even(dearer: str, extra: int, probability: str | None) -> BreakEven:
    return BreakEven(
        lower_premium_policy="plain",
        higher_premium_policy=dearer,
        loss="theft",
        extra_premium=Decimal(300),
        extra_payable=Decimal(extra),
        probability=None if probability is None else Decimal(probability),
    )


def minimal() -> GapStatement:
    """The demo's statement without anything to compare."""
    return replace(demo_statement(), comparison=PolicyComparison(break_evens=(), expected_costs=()), combined=())


def test_nothing_to_compare_says_nothing() -> None:
    assert policy_comparison(report_context(minimal())) == ()


def test_a_break_even_says_the_chance_and_in_how_many_years_it_is_once() -> None:
    # 300 more a year for 12,000 more in a theft: 300 / 12,000 = 2.5 %, once in 40 years.
    pairs = (break_even("better", 12000, "0.0250"), break_even("worse", 0, None))
    statement = replace(minimal(), comparison=PolicyComparison(break_evens=pairs, expected_costs=()))
    found = tables(statement)["The yearly chance of a loss above which the policy with the higher premium is worth it"]
    assert found.rows == (("Better\ncompared with plain", "$300.00", "2.5%\nonce in 40 years"),)
    (never,) = (block for block in policy_comparison(report_context(statement)) if isinstance(block, Listing))
    assert never.items == (
        "“worse” costs $300.00 a year more than “plain” but pays no more for any of the losses entered.",
    )


# 300 / 18,735 is 0.01601, and 62.45 years; the chance, rounded to 0.0160, would make it 62.5. Up to ten years with one
# decimal: 300 / 1,248 is 0.2404, and 4.16 years.
@pytest.mark.parametrize(("extra", "chance", "shown"), [(18735, "0.0160", "62"), (1248, "0.2404", "4.2")])
def test_the_years_are_those_of_the_amounts(extra: int, chance: str, shown: str) -> None:
    pairs = (break_even("better", extra, chance),)
    statement = replace(minimal(), comparison=PolicyComparison(break_evens=pairs, expected_costs=()))
    (found,) = tables(statement).values()
    assert found.rows[0][-1].endswith(f"once in {shown} years")


def test_an_average_year_is_shown_when_chances_were_given() -> None:
    cost = ExpectedCost(
        policy="plain", annual_premium=Decimal(64), expected_gap=Decimal(700), expected_cost=Decimal(764)
    )
    unknown = ExpectedCost(policy="new", annual_premium=None, expected_gap=Decimal(700), expected_cost=None)
    statement = replace(minimal(), comparison=PolicyComparison(break_evens=(), expected_costs=(cost, unknown)))
    (found,) = tables(statement).values()
    assert found.rows == (("Plain", "$64.00", "$700.00", "$764.00"), ("New", "–", "$700.00", "–"))


def test_what_policies_pay_together_adds_up() -> None:
    shares = tuple(PolicyShare(policy=name, payable=Decimal(paid)) for name, paid in (("one", 800), ("two", 150)))
    together = Combined(
        loss="theft",
        method="pro_rata",
        shares=shares,
        payable=Decimal(950),
        replacement_cost=Decimal(1000),
        gap=Decimal(50),
    )
    ((caption, found),) = tables(replace(minimal(), combined=(together,))).items()
    assert caption == "What the policies pay together, in proportion to their limits"
    assert found.rows == (("Theft", "$800.00", "$150.00", "$950.00", "$1,000.00", "$50.00"),)


def test_expenses_are_listed() -> None:
    first, *rest = demo_statement().settlements
    towed = replace(first, expenses=(ExpensePaid(kind="towing", incurred=Decimal(400), payable=Decimal(150)),))
    (found,) = tables(replace(minimal(), settlements=(towed, *rest))).values()
    assert found.rows == (("Auto extension", "Theft", "Towing", "$400.00", "$150.00"),)


def test_what_is_held_back_says_its_last_day() -> None:
    first, *rest = demo_statement().settlements
    held = replace(first, recoverable_depreciation=Decimal(90), recoverable_until=date(2027, 4, 30))
    blocks = comparison(report_context(replace(demo_statement(), settlements=(held, *rest))))
    cells = [cell for block in blocks if isinstance(block, Table) for row in block.rows for cell in row]
    assert "$90.00\nclaim by Apr 30, 2027" in cells
