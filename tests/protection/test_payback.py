"""Paybacks: from the discount entered and nothing else."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hitchworth.model.build import Build, Protection
from hitchworth.model.policy import Policy
from hitchworth.model.protection import Payback
from hitchworth.protection.payback import paybacks

AUTO = Policy(name="auto", basis="actual_cash_value", annual_premium=Decimal(240))
HOME = Policy(name="home", basis="replacement_cost", annual_premium=Decimal(900))


def lock(
    cost: str | None = None, discount: str | None = None, rate: str | None = None, policy: str | None = None
) -> Protection:
    """A lock with these terms."""
    paid, saved, share = (None if each is None else Decimal(each) for each in (cost, discount, rate))
    return Protection(name="coupler_lock", cost=paid, annual_discount=saved, premium_discount_rate=share, policy=policy)


def payback(lock: Protection, *policies: Policy, currency: str = "USD") -> Payback:
    """Of this lock."""
    (found,) = paybacks(Build(name="a", currency=currency, protections=(lock,)), policies)
    return found


@pytest.mark.parametrize(
    ("fitted", "policies", "saving", "years"),
    [
        (lock(cost="90", discount="20"), (), "20", "4.50"),
        (lock(cost="90", rate="0.05"), (AUTO,), "12.00", "7.50"),
        (lock(cost="90", rate="0.05", policy="home"), (AUTO, HOME), "45.00", "2.00"),
        (lock(cost="90", rate="0.05"), (AUTO, HOME), None, None),  # of which policy?
        (lock(cost="90", rate="0.05"), (), None, None),
        (lock(cost="90", discount="0"), (), "0", None),
        (lock(cost="90"), (AUTO,), None, None),
        (lock(discount="20"), (), "20", None),
        (lock(cost="0", discount="20"), (), "20", "0.00"),
    ],
)
def test_payback(fitted: Protection, policies: tuple[Policy, ...], saving: str | None, years: str | None) -> None:
    found = payback(fitted, *policies)
    assert (found.annual_saving, found.years) == tuple(
        None if each is None else Decimal(each) for each in (saving, years)
    )


def test_a_saving_by_rate_has_the_minor_unit_of_the_currency() -> None:
    fitted = lock(cost="90", rate="0.0333")
    assert str(payback(fitted, AUTO).annual_saving) == "7.99"
    assert str(payback(fitted, AUTO, currency="JPY").annual_saving) == "8"


def test_a_measure_without_money_has_no_payback() -> None:
    assert paybacks(Build(name="a", currency="USD", protections=(Protection(name="smoke_alarm"),)), ()) == ()


@given(cost=st.decimals(1, 1000, places=2), saving=st.decimals(1, 500, places=2), more=st.decimals(0, 500, places=2))
def test_a_bigger_discount_never_takes_longer(cost: Decimal, saving: Decimal, more: Decimal) -> None:
    longer, shorter = (payback(lock(str(cost), str(each))).years for each in (saving, saving + more))
    assert longer is not None
    assert shorter is not None
    assert shorter <= longer
