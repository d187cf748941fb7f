"""Towing, storage and loss of use: what an allowance pays of an expense."""

from decimal import Decimal

from msgspec.structs import replace

from hitchworth.model.loss import Expense, Loss
from hitchworth.model.policy import Allowance, Policy
from valued_builds import DAY, circumstances, known_policy, line, settle

POLICY = known_policy(
    "p",
    basis="actual_cash_value",
    settles_as="built_use",
    depreciates_labor=False,
    excluded_perils=("flood",),
    allowances=(
        Allowance(kind="towing", limit=Decimal(300)),
        Allowance(kind="loss_of_use", limit=Decimal(1000), per_day=Decimal(40), waiting_days=2),
    ),
)


def paid(*expenses: Expense, peril: str = "fire", policy: Policy = POLICY) -> list[str]:
    loss = Loss(name="l", peril=peril, extent="total", occurred_on=DAY, expenses=expenses)
    return [str(each.payable) for each in settle(policy, circumstances(loss, line("body", "body", "9000"))).expenses]


def test_one_allowance_serves_all_expenses_of_its_kind() -> None:
    tow = Expense(kind="towing", amount=Decimal(200))
    assert paid(tow, tow) == ["200.00", "100.00"]


def test_by_the_day_after_the_waiting_days() -> None:
    # 10 days at 50, the first 2 are not paid, 40 a day at most: 8 x 40.
    assert paid(Expense(kind="loss_of_use", amount=Decimal(500), days=10)) == ["320.00"]


def test_no_more_than_the_limit() -> None:
    assert paid(Expense(kind="loss_of_use", amount=Decimal(9000), days=90)) == ["1000.00"]


def test_what_no_allowance_names_is_not_paid() -> None:
    assert paid(Expense(kind="storage", amount=Decimal(120))) == ["0.00"]


def test_an_excluded_peril_pays_no_expense() -> None:
    assert paid(Expense(kind="towing", amount=Decimal(200)), peril="flood") == ["0.00"]


def test_zero_days_are_no_fault() -> None:
    assert paid(Expense(kind="loss_of_use", amount=Decimal(500), days=0)) == ["0.00"]


def test_no_days_are_one_day() -> None:
    by_the_day = replace(POLICY, allowances=(Allowance(kind="storage", limit=Decimal(500), per_day=Decimal(20)),))
    assert paid(Expense(kind="storage", amount=Decimal(900)), policy=by_the_day) == ["20.00"]
    assert paid(Expense(kind="loss_of_use", amount=Decimal(900))) == ["0.00"]


def test_perils_are_excluded_in_any_case() -> None:
    assert paid(Expense(kind="towing", amount=Decimal(200)), peril="Flood") == ["0.00"]
