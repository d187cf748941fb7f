"""What a policy is expected to pay, and when: between which ends, now, and what is claimed later."""

from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from msgspec.structs import replace

from demo_sheet import demo_statement, localized_demo_statement, report_context
from hitchworth.reports.expected_settlement import _payments

LATER = {"payable_now": Decimal(6000), "recoverable_depreciation": Decimal(2500)}
NOW = ("Paid now", "$6,000.00")


@pytest.mark.parametrize(
    ("terms", "rows"),
    [
        ({}, ()),
        (LATER, (NOW, ("Recoverable depreciation", "$2,500.00"))),
        (
            {**LATER, "recoverable_until": date(2027, 1, 15)},
            (NOW, ("Recoverable depreciation\nclaim by Jan 15, 2027", "$2,500.00")),
        ),
    ],
)
def test_what_is_paid_later_has_the_day_by_which_it_is_claimed(
    terms: dict[str, Any], rows: tuple[tuple[str, str], ...]
) -> None:
    settlement = replace(
        localized_demo_statement().settlements[0],
        **{
            "payable": Decimal(8500),
            "payable_at_best": Decimal(8500),
            "recoverable_depreciation": Decimal(0),
            "recoverable_until": None,
            **terms,
        },
    )
    first, *others = _payments(report_context(demo_statement()), settlement).rows
    assert first[1] == "$8,500.00"
    assert tuple(others) == rows
