"""Several policies on one loss, and policies against one another."""

from decimal import Decimal

import pytest
from msgspec.structs import replace

from hitchworth.coverage.comparison import break_evens, expected_costs
from hitchworth.coverage.coordination import combined
from hitchworth.model.loss import Damage, Expense, Loss
from hitchworth.model.policy import Allowance, Coordination, Policy
from hitchworth.model.settlement import Combined
from valued_builds import DAY, USD, circumstances, dollars, known_policy, line, settle

FIRE = Loss(name="fire", peril="fire", extent="total", occurred_on=DAY)
AROUND = circumstances(FIRE, line("trailer", "body", "90000", "30000"))
FIRST = known_policy(
    "first",
    basis="replacement_cost",
    settles_as="built_use",
    depreciates_labor=False,
    holdback=False,
    limit=Decimal(100_000),
    annual_premium=Decimal(900),
)
SECOND = replace(FIRST, name="second", limit=Decimal(200_000), annual_premium=Decimal(1200))


def together(method: str, *policies: Policy) -> Combined:
    alone = tuple(settle(policy, AROUND) for policy in policies)
    names = tuple(policy.name for policy in policies)
    (answer,) = combined(alone, policies, Coordination(method=method, policies=names), USD)  # type: ignore[arg-type]
    return answer


def shares(answer: Combined) -> list[str]:
    return [str(share.payable) for share in answer.shares]


def test_pro_rata_by_limits() -> None:
    # Common practice (other-insurance clause): limits 100,000 and 200,000, loss 90,000: 30,000 and 60,000.
    answer = together("pro_rata", FIRST, SECOND)
    assert shares(answer) == ["30000.00", "60000.00"]
    assert answer.gap == 0


def test_primary_pays_first_and_excess_the_rest() -> None:
    answer = together("primary_excess", replace(FIRST, limit=Decimal(50_000)), SECOND)
    assert shares(answer) == ["50000.00", "40000.00"]
    assert answer.payable == 90000


def test_nobody_is_paid_more_than_the_loss() -> None:
    for method in ("pro_rata", "primary_excess"):
        assert together(method, SECOND, FIRST, replace(FIRST, name="third", limit=None)).payable <= 90000


def test_what_neither_pays_is_the_gap() -> None:
    answer = together("primary_excess", replace(FIRST, limit=Decimal(20_000)), replace(SECOND, limit=Decimal(25_000)))
    assert answer.gap == 45000


def test_break_even_probability() -> None:
    # 300 more premium buys 30,000 more on a total loss: worth it from 1 percent a year on.
    dear = replace(FIRST, name="dear", annual_premium=Decimal(1200))
    cheap = replace(FIRST, name="cheap", basis="actual_cash_value")
    (even,) = break_evens([settle(policy, AROUND) for policy in (dear, cheap)], (dear, cheap), USD)
    assert (even.lower_premium_policy, even.higher_premium_policy, even.probability) == (
        "cheap",
        "dear",
        Decimal("0.0100"),
    )


def test_no_break_even_where_the_dearer_policy_pays_no_more() -> None:
    (even,) = break_evens([settle(policy, AROUND) for policy in (FIRST, SECOND)], (FIRST, SECOND), USD)
    assert (even.extra_payable, even.probability) == (Decimal(0), None)


@pytest.mark.parametrize(
    ("premium", "more", "probability"),
    [
        (1200, 30000, "0.0100"),
        (1200, 300, "1.0000"),  # 300 for 300: only where it is lost every year
        (1200, 299, None),  # 300 a year for 299 in a year of loss
        (900, 0, None),
        (900, 100, "0.0000"),
    ],
)
def test_break_even_only_where_it_can_pay_off(premium: int, more: int, probability: str | None) -> None:
    low, high = (replace(FIRST, name=name, limit=Decimal(30_000 + extra)) for name, extra in (("a", 0), ("b", more)))
    policies = (replace(low, annual_premium=Decimal(900)), replace(high, annual_premium=Decimal(premium)))
    (even,) = break_evens([settle(policy, AROUND) for policy in policies], policies, USD)
    assert even.extra_payable == more
    assert even.probability == (None if probability is None else Decimal(probability))


@pytest.mark.parametrize(("chance", "cost"), [("0.02", "1500.00"), ("0", "900.00")])
def test_expected_cost_by_the_users_own_probabilities(chance: str, cost: str) -> None:
    worn = replace(FIRST, basis="actual_cash_value")
    likely = replace(FIRE, annual_probability=Decimal(chance))
    (expected,) = expected_costs([settle(worn, AROUND)], (worn,), (likely,), USD)
    assert str(expected.expected_cost) == cost


def test_no_expected_cost_without_the_users_probabilities() -> None:
    assert expected_costs([settle(FIRST, AROUND)], (FIRST,), (FIRE,), USD) == ()


def test_what_is_paid_together_does_not_hang_on_the_order_where_one_policy_counts_a_total_loss() -> None:
    part = replace(FIRE, extent="partial", damage=(Damage(id="hull", fraction=Decimal(1)),))
    around = circumstances(part, line("hull", "body", "6000"), line("rest", "roof", "4000"))
    total, repair = (
        replace(FIRST, total_loss_threshold=Decimal("0.5")),
        replace(SECOND, total_loss_threshold=Decimal(1)),
    )
    alone = tuple(settle(policy, around) for policy in (total, repair))
    for names in (("first", "second"), ("second", "first")):
        (answer,) = combined(alone, (total, repair), Coordination(method="primary_excess", policies=names), USD)
        assert (answer.payable, answer.replacement_cost) == dollars(10000, 10000)


def test_two_policies_on_actual_cash_value_pay_no_more_than_it() -> None:
    # 90,000 new, 60,000 after wear, deductible 500 each: together 60,000; in halves 29,500 each.
    worn = replace(FIRST, basis="actual_cash_value", deductible=Decimal(500), limit=Decimal(100_000))
    twin = replace(worn, name="second")
    assert shares(together("primary_excess", worn, twin)) == ["59500.00", "500.00"]
    assert shares(together("pro_rata", worn, twin)) == ["29500.00", "29500.00"]


def test_a_policy_that_does_not_cover_the_loss_takes_no_part() -> None:
    assert shares(together("pro_rata", replace(FIRST, excluded_perils=("fire",)), SECOND)) == ["0.00", "90000.00"]


def test_what_an_allowance_pays_counts_toward_the_break_even_and_the_average_year() -> None:
    # 60 more premium buys 300 of towing and nothing else: worth it from one such loss in five years on.
    towed = replace(FIRE, expenses=(Expense(kind="towing", amount=Decimal(400)),), annual_probability=Decimal("0.1"))
    around = replace(AROUND, loss=towed)
    plain = replace(FIRST, name="plain", annual_premium=Decimal(900))
    towing = replace(
        plain,
        name="towing",
        annual_premium=Decimal("959.999"),
        allowances=(Allowance(kind="towing", limit=Decimal(300)),),
    )
    settlements = [settle(policy, around) for policy in (plain, towing)]
    (even,) = break_evens(settlements, (plain, towing), USD)
    assert (str(even.extra_premium), str(even.extra_payable)) == ("60.00", "300.00")
    assert even.probability == Decimal("0.2")
    costs = expected_costs(settlements, (plain, towing), (towed,), USD)
    assert costs[0].expected_gap - costs[1].expected_gap == Decimal(30)
    assert str(costs[1].annual_premium) == "960.00"
