"""Payments that add up to the cent, retainage, the deposit, and what is refused."""

from datetime import date
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hitchworth.model.pricing import Payment, Retainage
from hitchworth.model.quote import Quote
from hitchworth.quoting.priced_quote import QuoteFaultsError
from quotes import D, camper, part, quoted


def pay(milestone: str, share: str | None = None, amount: str | None = None, **more: Any) -> Payment:
    return Payment(
        milestone=milestone,
        share=None if share is None else D(share),
        amount=None if amount is None else D(amount),
        **more,
    )


def amounts(found: Quote) -> list[str]:
    return [str(payment.amount) for payment in found.payments]


def test_shares_are_split_by_largest_remainder() -> None:
    # A third of 100.00 each, to 12 places: 33.33 with a remainder of a third; the cent goes to the first in order.
    third = "0.333333333333"
    found = quoted(part("a", 100), payments=(pay("one", third), pay("two", third), pay("rest")))
    assert amounts(found) == ["33.33", "33.33", "33.34"]
    half = quoted(part("a", "0.03"), payments=(pay("one", "0.5"), pay("two", "0.5")))
    assert amounts(half) == ["0.02", "0.01"]


def test_an_amount_stays_as_it_is_and_the_balance_takes_the_rest() -> None:
    found = quoted(
        part("a", "999.99"),
        payments=(pay("deposit", amount="100"), pay("half", "0.5"), pay("rest", due_on=date(2026, 9, 1))),
    )
    # 499.995 and 399.995 have the same remainder: the earlier payment gets the cent.
    assert amounts(found) == ["100.00", "500.00", "399.99"]
    assert [payment.share for payment in found.payments] == [None, D("0.5"), None]
    assert found.payments[2].due_on == date(2026, 9, 1)


def test_a_payment_without_a_rest_may_be_nothing() -> None:
    assert amounts(quoted(part("a", 100), payments=(pay("all", amount="100"), pay("rest")))) == ["100.00", "0.00"]
    assert amounts(quoted(payments=(pay("one", "1"),))) == ["0.00"]


@pytest.mark.parametrize(
    ("payments", "found"),
    [
        ((pay("one", amount="60"), pay("two", amount="39.99")), "99.99"),
        ((pay("one", amount="60"), pay("two", "0.5")), "110.00"),
        ((pay("one", amount="100.01"), pay("rest")), "100.01"),
    ],
)
def test_payments_that_do_not_add_up_to_the_total_are_refused(payments: tuple[Payment, ...], found: str) -> None:
    with pytest.raises(QuoteFaultsError) as error:
        quoted(part("a", 100), payments=payments)
    (fault,) = error.value.faults
    assert (fault.pointer, fault.found) == ("/pricing/payments", found)
    assert fault.expected.startswith("100.00 together")


def test_a_share_and_a_retainage_of_nothing_are_nothing() -> None:
    found = quoted(
        part("a", 100), payments=(pay("none", "0"), pay("all", "1")), retainage=Retainage(rate=D(0), released="x")
    )
    assert [(str(each.amount), str(each.retained)) for each in found.payments] == [("0.00", "0.00"), ("100.00", "0.00")]


def test_retainage_is_taken_of_every_payment_but_the_deposit() -> None:
    found = quoted(
        part("a", 1000),
        payments=(pay("deposit", "0.2"), pay("closed", "0.3"), pay("roof", "0.1", retainage_rate=D(0)), pay("end")),
        retainage=Retainage(rate=D("0.05"), released="after 30 days"),
    )
    assert [(str(each.amount), str(each.retained), str(each.due)) for each in found.payments] == [
        ("200.00", "0.00", "200.00"),
        ("300.00", "15.00", "285.00"),
        ("100.00", "0.00", "100.00"),
        ("400.00", "20.00", "380.00"),
    ]
    assert str(found.retained) == "35.00"


def test_a_rate_of_its_own_holds_for_the_deposit_too() -> None:
    found = quoted(part("a", 100), payments=(pay("deposit", "0.5", retainage_rate=D("0.1")), pay("end")))
    assert [str(each.retained) for each in found.payments] == ["5.00", "0.00"]


@given(
    total=st.integers(0, 10**8),
    shares=st.lists(st.integers(0, 10**6), min_size=1, max_size=8).filter(lambda parts: sum(parts) <= 10**6),
)
def test_payments_always_add_up(total: int, shares: list[int]) -> None:
    cost = D(total) / 100
    payments = (*(pay(f"m{index}", str(D(share) / 10**6)) for index, share in enumerate(shares)), pay("rest"))
    found = quoted(part("a", str(cost)), payments=payments)
    assert sum(payment.amount for payment in found.payments) == cost
    for payment, share in zip(found.payments, shares, strict=False):
        assert abs(payment.amount - cost * share / 10**6) < D("0.01")


# The yardstick of California for homes: the lesser of 1,000 and 10 percent.
@pytest.mark.parametrize(
    ("price", "deposit", "noted"),
    [("6500", "650", None), ("6500", "650.01", "650.00"), ("45500", "1000", None), ("45500", "1000.01", "1000.00")],
)
def test_a_large_deposit_is_compared_with_a_yardstick(price: str, deposit: str, noted: str | None) -> None:
    build = camper(part("a", price), jurisdiction="US-CA")
    found = quoted(build=build, payments=(pay("deposit", amount=deposit), pay("rest")))
    limits = [note.parameters["limit"] for note in found.notes if note.code == "deposit_above_yardstick"]
    assert limits == ([noted] if noted else [])


def test_elsewhere_and_in_another_currency_there_is_no_yardstick() -> None:
    for more in ({"jurisdiction": "US-WA"}, {"jurisdiction": "US-CA", "currency": "EUR"}):
        build = camper(part("a", 100), **more)
        found = quoted(build=build, payments=(pay("all", "1"),))
        assert [note.code for note in found.notes] == ["quote_without_validity"]
    build = camper(part("a", 100), jurisdiction="US-CA")
    assert [note.code for note in quoted(build=build).notes] == ["quote_without_validity"]
    assert quoted(part("a", 1), valid_until=date(2026, 7, 1)).notes == ()
