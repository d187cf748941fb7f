"""What is to be paid on progress bills: their tax, the deposit, and that all of them come to the contract."""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hitchworth.model.build import Build
from hitchworth.model.change_order import ChangeOrder, FixedChange
from hitchworth.model.options import Options
from hitchworth.model.pricing import (
    Contingency,
    Discount,
    LaborKind,
    Payment,
    QuotePricing,
    QuoteTax,
    Retainage,
    ShopRate,
    TaxTreatment,
)
from hitchworth.model.progress_bill import Progress, ProgressBill
from hitchworth.quoting.change_orders import contract
from hitchworth.quoting.priced_quote import QuoteFaultsError
from hitchworth.quoting.progress_bill import EarlierBills, ProgressBilling
from hitchworth.quoting.quote import quote
from quotes import DAY, D, camper, part, rates, work

SIGNED: dict[str, Any] = {"accepted_by": "A. Customer", "accepted_on": DAY}
TAX = QuoteTax(
    rate=D("0.06"),
    treatments=(
        TaxTreatment(kind="materials", taxed=True),
        TaxTreatment(kind="fabrication", taxed=False),
        TaxTreatment(kind="contingency", taxed=False),
    ),
)
PAID = (Payment(milestone="signing", share=D("0.3"), paid_on=DAY), Payment(milestone="handover"))
UNPAID = (Payment(milestone="signing", share=D("0.3")), Payment(milestone="handover"))
HELD = Retainage(rate=D("0.1"), released="at the end")
TRAILER = camper(part("hull", 1000), part("door", 100))


def billing(build: Build = TRAILER, changes: tuple[ChangeOrder, ...] = (), **pricing: Any) -> ProgressBilling:
    terms: dict[str, Any] = {"tax": TAX, "payments": PAID, "retainage": HELD} | pricing
    return ProgressBilling(build, QuotePricing(**terms), changes, DAY, Options())


def done(earlier: dict[str, str], shares: dict[str, str], retainage: str | None = None) -> list[Progress]:
    return [
        Progress(
            id=name,
            earlier=D(earlier.get(name, "0")),
            completed_share=D(share),
            retainage_rate=None if retainage is None else D(retainage),
        )
        for name, share in shares.items()
    ]


def paid(bill: ProgressBill) -> tuple[str, ...]:
    amounts = (bill.due, bill.tax, bill.deposit_credit, bill.deposit_left, bill.to_pay)
    return tuple(map(str, amounts))


def test_the_deposit_is_credited_in_full_on_the_first_bills_and_the_rest_carries_over() -> None:
    # 1,100 and 66 of tax are 1,166, of which 30 percent are 349.80.
    job = billing()
    first = job.bill(done({}, {"hull": "0.3"}))
    # 300 less 30 is 270, and 6 percent of 300 is 18.00: the deposit pays it all, and 61.80 of it are left.
    assert (str(first.deposit), str(first.contract_total)) == ("349.80", "1166.00")
    assert paid(first) == ("270.00", "18.00", "288.00", "61.80", "0.00")
    second = job.bill(done({"hull": "300"}, {"hull": "0.6", "door": "0.5"}))
    # 650 less 65 is 585, less 270 is 315; 39.00 of tax less 18.00; 336.00 less 61.80.
    assert (str(second.earlier_tax), str(second.earlier_deposit_credit)) == ("18.00", "288.00")
    assert paid(second) == ("315.00", "21.00", "61.80", "0.00", "274.20")
    last = job.bill(
        done({"hull": "600", "door": "50"}, {"hull": "1", "door": "1"}, "0"), EarlierBills(certificates=second.earned)
    )
    # Everything, and what was held back: 1,100 less 585; 66.00 of tax less 39.00.
    assert paid(last) == ("515.00", "27.00", "0.00", "0.00", "542.00")
    assert first.to_pay + second.to_pay + last.to_pay + last.deposit == last.contract_total


def test_only_what_is_taxed_of_the_work_is_taxed() -> None:
    build = camper(part("hull", 1000), work("weld", 10, performed_on=DAY))
    terms: dict[str, Any] = {
        "shop_rates": (ShopRate(rate=D(80)),),
        "labor_kinds": (LaborKind(id="weld", kind="fabrication"),),
    }
    found = billing(build, **terms).bill(done({}, {"hull": "0.25", "weld": "0.5"}))
    # 250 of the hull at 6 percent; 400 of fabrication, which is not taxed here.
    assert [str(line.tax) for line in (*found.lines, found.totals)] == ["15.00", "0.00", "15.00"]
    assert (str(found.tax), found.open_tax) == ("15.00", False)
    asked = billing(tax=QuoteTax(rate=D("0.06"))).bill(())
    assert asked.open_tax


def test_a_cent_that_rounding_takes_comes_with_the_next_bill() -> None:
    # 6 percent of 10.10 is 0.606: 0.61. A third of it is 0.20, two thirds are 0.41, all of it is 0.61.
    job = billing(camper(part("hull", "10.10")), payments=())
    taxes = [
        job.bill(done({"hull": earlier}, {"hull": share})).tax
        for earlier, share in (("0", "0.333333"), ("3.37", "0.666667"), ("6.73", "1"))
    ]
    assert list(map(str, taxes)) == ["0.20", "0.21", "0.20"]


def test_a_deposit_that_is_not_stated_as_paid_is_not_credited() -> None:
    found = billing(payments=UNPAID).bill(done({}, {"hull": "0.3"}))
    assert (str(found.deposit), str(found.deposit_not_paid)) == ("0.00", "349.80")
    assert paid(found) == ("270.00", "18.00", "0.00", "0.00", "288.00")
    with pytest.raises(QuoteFaultsError) as error:
        billing(payments=UNPAID).bill((), EarlierBills(deposit_credit=D("0.01")))
    assert [fault.pointer for fault in error.value.faults] == ["/earlier_deposit_credit"]


@pytest.mark.parametrize("payments", [(), (Payment(milestone="all", share=D(1), paid_on=DAY),)])
def test_a_single_payment_is_no_deposit(payments: tuple[Payment, ...]) -> None:
    found = billing(payments=payments).bill(done({}, {"hull": "0.3"}))
    assert (str(found.deposit), str(found.deposit_not_paid), str(found.to_pay)) == ("0.00", "0.00", "288.00")


def test_what_was_held_back_of_the_deposit_is_not_credited() -> None:
    first, rest = PAID
    own = Payment(milestone="signing", share=D("0.3"), paid_on=DAY, retainage_rate=D("0.5"))
    assert first.retainage_rate is None
    assert str(billing(payments=(own, rest)).bill(()).deposit) == "174.90"


def test_what_earlier_bills_came_to_is_stated() -> None:
    progress = done({"hull": "300"}, {"hull": "0.6"})
    # 600 less 60 is 540, less 270 is 270; 36.00 of tax, of which 17.99 was billed; 100 of the deposit was credited.
    found = billing().bill(progress, EarlierBills(tax=D("17.99"), deposit_credit=D(100)))
    assert paid(found) == ("270.00", "18.01", "249.80", "0.00", "38.21")
    # The deposit of which nothing was credited before does not make a bill negative: 288.01 of 349.80.
    found = billing().bill(progress, EarlierBills(tax=D("17.99"), deposit_credit=D(0)))
    assert paid(found) == ("270.00", "18.01", "288.01", "61.79", "0.00")


def test_what_was_billed_too_much_goes_back_to_the_deposit_as_far_as_it_was_credited() -> None:
    progress = done({"hull": "100"}, {"hull": "0.1"})
    # 90 and 6 are 96. Before: 150 and 6, all of it credited; so 60 are open for credit again, and no money moves.
    found = billing().bill(progress, EarlierBills(certificates=D(150)))
    assert paid(found) == ("-60.00", "0.00", "-60.00", "253.80", "0.00")
    # Before: 500 and 6, of which 156.20 was money: that goes back, and 253.80 of the deposit are left.
    found = billing().bill(progress, EarlierBills(certificates=D(500)))
    assert paid(found) == ("-410.00", "0.00", "-253.80", "253.80", "-156.20")
    with pytest.raises(QuoteFaultsError):
        billing().bill(progress, EarlierBills(deposit_credit=D("349.81")))


def test_the_contingency_is_billed_as_change_orders_use_it() -> None:
    # 5 percent of 1,100 is 55. A lamp of 50 is paid from it, its tax of 3.00 is not.
    kept = Contingency(rate=D("0.05"))
    lamp = ChangeOrder(
        number="1", dated=DAY, reason="dark", components=(part("lamp", 50),), from_contingency=True, **SIGNED
    )
    before, after = (billing(changes=changes, contingency=kept).bill(()) for changes in ((), (lamp,)))
    assert (str(before.contract_total), str(before.contingency_not_billed)) == ("1221.00", "55.00")
    assert (str(after.contract_total), str(after.contingency_not_billed)) == ("1224.00", "5.00")
    assert (str(after.totals.scheduled), str(after.other_not_billed)) == ("1150.00", "0.00")


def test_what_a_change_order_adds_without_a_line_is_named() -> None:
    fixed = FixedChange(description="drive", amount=D(40), taxed_as="materials")
    order = ChangeOrder(number="1", dated=DAY, reason="far", fixed=(fixed,), **SIGNED)
    assert str(billing(changes=(order,)).bill(()).other_not_billed) == "42.40"
    dropped = ChangeOrder(number="1", dated=DAY, reason="no door", drop=("door",), **SIGNED)
    # A tenth of overhead on the door stays: 10 and 0.60 of tax.
    assert str(billing(changes=(dropped,), markup=rates("0.1")).bill(()).other_not_billed) == "10.60"


def test_payments_that_do_not_add_up_are_a_fault() -> None:
    with pytest.raises(QuoteFaultsError) as error:
        billing(payments=(Payment(milestone="signing", share=D("0.3"), paid_on=DAY),))
    assert [fault.pointer for fault in error.value.faults] == ["/pricing/payments"]


CENTS = st.integers(1, 500_000)
SHARES = st.lists(st.integers(0, 1000), min_size=1, max_size=5).map(sorted)


@given(st.lists(st.tuples(CENTS, SHARES), min_size=1, max_size=4), st.data())
def test_all_bills_and_the_deposit_are_the_contract(lines: list[tuple[int, list[int]]], data: st.DataObject) -> None:
    """Bills of any progress, the last of which releases what was held back."""
    build = camper(*(part(f"p{index}", str(D(cents) / 100)) for index, (cents, _) in enumerate(lines)))
    pricing = QuotePricing(
        tax=QuoteTax(
            rate=data.draw(st.sampled_from([D("0.06"), D("0.0825"), D(0)])),
            treatments=(TaxTreatment(kind="materials", taxed=True), TaxTreatment(kind="contingency", taxed=True)),
            basis=data.draw(st.sampled_from(["line", "total"])),
        ),
        payments=(
            Payment(milestone="signing", share=D(data.draw(st.integers(0, 100))) / 100, paid_on=DAY),
            Payment(milestone="handover"),
        ),
        retainage=HELD,
        discount=data.draw(st.none() | st.just(Discount(reason="spring", rate=D("0.03")))),
        markup=rates("0.1", "0.07"),
    )
    lamp = ChangeOrder(number="1", dated=DAY, reason="dark", components=(part("lamp", "33.33"),), **SIGNED)
    changes = data.draw(st.sampled_from([(), (lamp,)]))
    job = ProgressBilling(build, pricing, changes, DAY, Options())
    scheduled = {line.id: line.scheduled for line in job.bill(()).lines}
    bills: list[ProgressBill] = []
    for period in range(4):
        is_last = period == 3
        progress = []
        for index, name in enumerate(scheduled):
            shares = lines[index % len(lines)][1]
            share = D(1) if is_last else D(shares[min(period, len(shares) - 1)]) / 1000
            before = bills[-1].lines[index].completed if bills else D(0)
            rate = D(0) if is_last else None
            progress.append(Progress(id=name, earlier=before, completed_share=share, retainage_rate=rate))
        earned = bills[-1].earned if bills else D(0)
        bills.append(job.bill(progress, EarlierBills(certificates=earned)))
    last, total = bills[-1], contract(build, pricing, changes, DAY, Options()).contract_total
    assert (last.contract_total, last.contingency_not_billed, last.other_not_billed) == (total, D(0), D(0))
    assert all(bill.to_pay >= 0 and bill.deposit_left >= 0 for bill in bills)
    assert sum(bill.deposit_credit for bill in bills) == last.deposit
    assert sum(bill.to_pay for bill in bills) + last.deposit == total
    if not changes:
        assert sum(bill.tax for bill in bills) == quote(build, pricing, DAY, Options()).totals.tax
