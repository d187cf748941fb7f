"""Change orders: what is added, dropped and repriced, credits, the contingency, payments and the promised date."""

from datetime import date
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hitchworth.model.build import Build
from hitchworth.model.change_order import ChangeOrder, Contract, FixedChange
from hitchworth.model.options import Options
from hitchworth.model.pricing import (
    Contingency,
    ContingencyDraw,
    ContingencyMinimum,
    Discount,
    LaborKind,
    Payment,
    QuotePricing,
    QuoteTax,
    Retainage,
    TaxTreatment,
    WasteAllowance,
)
from hitchworth.quoting.change_orders import contract
from hitchworth.quoting.priced_quote import QuoteFaultsError
from quotes import DAY, NO_TAX, D, camper, part, rates, work

JULY = date(2026, 7, 1)
TEN_PERCENT_ON_ALL = QuoteTax(
    rate=D("0.1"),
    treatments=tuple(
        TaxTreatment(kind=kind, taxed=True)
        for kind in ("materials", "fabrication", "repair", "installation", "contingency")
    ),
)


def order(number: str = "1", *entries: Any, accepted: bool = True, **more: Any) -> ChangeOrder:
    built = camper(*entries)
    who = {"accepted_by": "A. Customer", "accepted_on": JULY} if accepted else {}
    fields: dict[str, Any] = {"components": built.components, "labor": built.labor, "reason": f"change {number}"}
    return ChangeOrder(number=number, **{"dated": JULY} | fields | who | more)


def changed(build: Build, *orders: ChangeOrder, **pricing: Any) -> Contract:
    return contract(build, QuotePricing(**{"tax": NO_TAX} | pricing), orders, DAY, Options())


def lines(found: Contract, index: int = 0) -> list[tuple[str, str, str, str, str, str]]:
    return [
        (line.id, line.effect, str(line.before), str(line.after), str(line.kept), str(line.change))
        for line in found.changes[index].lines
    ]


HULL = camper(part("hull", 1000), part("door", 100))


@pytest.mark.parametrize(
    ("orders", "more", "is_open"),
    [
        ((), {}, False),
        ((), {"tax": QuoteTax(rate=D("0.1"))}, True),
        ((), {"tax": QuoteTax(treatments=(TaxTreatment(kind="materials", taxed=True),))}, True),  # no rate
        (("hull", "door"), {"tax": QuoteTax(rate=D("0.1"))}, False),  # both are dropped
    ],
)
def test_whether_tax_is_still_open_is_told_by_what_is_left_in_the_contract(
    orders: tuple[str, ...], more: dict[str, Any], is_open: bool
) -> None:
    assert changed(HULL, *(order(name, drop=(name,)) for name in orders), **more).open_tax is is_open


@pytest.mark.parametrize(
    ("amount", "accepted", "is_open"), [("80", True, True), ("80", False, False), ("0", True, False)]
)
def test_an_agreed_amount_leaves_tax_open_once_it_is_accepted(amount: str, accepted: bool, is_open: bool) -> None:
    tax = QuoteTax(rate=D("0.1"), treatments=(TaxTreatment(kind="materials", taxed=True),))
    fixed = (FixedChange(description="rush", amount=D(amount), taxed_as="repair"),)
    assert changed(HULL, order("1", fixed=fixed, accepted=accepted), tax=tax).open_tax is is_open


@pytest.mark.parametrize(("amount", "is_open"), [("50", True), ("0", False)])
def test_a_contingency_leaves_tax_open_too(amount: str, is_open: bool) -> None:
    tax = QuoteTax(rate=D("0.1"), treatments=(TaxTreatment(kind="materials", taxed=True),))
    assert changed(HULL, tax=tax, contingency=Contingency(amount=D(amount))).open_tax is is_open


def test_what_is_added_bears_the_overhead_and_profit_of_the_quote() -> None:
    found = changed(HULL, order("1", part("window", 200), work("fit", 2, 50)), markup=rates("0.1", "0.2"))
    # 1,430 quoted; 200 and 100 with 30 percent.
    assert lines(found) == [
        ("window", "added", "0.00", "260.00", "0.00", "260.00"),
        ("fit", "added", "0.00", "130.00", "0.00", "130.00"),
    ]
    assert (str(found.changes[0].change), str(found.contract_total)) == ("390.00", "1820.00")
    assert (str(found.added), str(found.deducted), found.pending) == ("390.00", "0.00", 0)


# The door costs 100 with 10 of overhead and 20 of profit.
@pytest.mark.parametrize(
    ("credited", "kept", "change", "asked"),
    [(True, "0.00", "-130.00", []), (False, "30.00", "-100.00", []), (None, "30.00", "-100.00", ["credit"])],
)
def test_a_credit_has_overhead_and_profit_in_it_if_that_is_agreed(
    credited: bool | None, kept: str, change: str, asked: list[str]
) -> None:
    dropping = order("1", drop=("door",), credits_overhead_and_profit=credited)
    found = changed(HULL, dropping, markup=rates("0.1", "0.2"))
    assert lines(found) == [("door", "dropped", "130.00", "0.00", kept, change)]
    questions = found.changes[0].questions
    assert [question.code for question in questions] == asked
    assert [(str(each.base), str(each.at_stake), each.about) for each in questions] == (
        [("30.00", "-30.00", "door")] if asked else []
    )
    assert found.contract_total == 1430 + D(change)
    assert (found.added, found.deducted) == (D(0), -D(change))


def test_a_line_is_repriced_by_an_entry_with_its_id() -> None:
    dearer = changed(HULL, order("1", part("door", 150)), markup=rates("0.1"))
    assert lines(dearer) == [("door", "repriced", "110.00", "165.00", "0.00", "55.00")]
    cheaper = changed(HULL, order("1", part("door", 60)), markup=rates("0.1"))
    # 110 to 66: 44 less, of which 4 of overhead do not go back.
    assert lines(cheaper) == [("door", "repriced", "110.00", "66.00", "4.00", "-40.00")]
    agreed = changed(HULL, order("1", part("door", 60), credits_overhead_and_profit=True), markup=rates("0.1"))
    assert lines(agreed) == [("door", "repriced", "110.00", "66.00", "0.00", "-44.00")]
    assert (agreed.changes[0].questions, str(agreed.contract_total)) == ((), "1166.00")


def test_what_does_not_go_back_is_the_overhead_and_profit_that_the_line_loses() -> None:
    # 130 to 78: 52 less, of which 4 of overhead and 8 of profit.
    found = changed(HULL, order("1", part("door", 60)), markup=rates("0.1", "0.2"))
    assert lines(found) == [("door", "repriced", "130.00", "78.00", "12.00", "-40.00")]


def test_a_line_at_the_same_price_changes_nothing() -> None:
    assert lines(changed(HULL, order("1", part("door", 100)))) == [
        ("door", "repriced", "100.00", "100.00", "0.00", "0.00")
    ]


def test_two_change_orders_in_a_row_build_on_each_other() -> None:
    found = changed(
        HULL,
        order("1", part("door", 150), part("window", 200)),
        order("2", part("door", 120), drop=("window",), credits_overhead_and_profit=True),
        markup=rates("0.1"),
    )
    assert lines(found, 1) == [
        ("door", "repriced", "165.00", "132.00", "0.00", "-33.00"),
        ("window", "dropped", "220.00", "0.00", "0.00", "-220.00"),
    ]
    assert [str(each.total_change) for each in found.changes] == ["275.00", "-253.00"]
    assert [str(each.contract_total) for each in found.changes] == ["1485.00", "1232.00"]
    assert (str(found.contract_total), str(found.added), str(found.deducted)) == ("1232.00", "275.00", "253.00")


def test_what_nobody_has_accepted_shows_its_effect_and_is_not_in_the_contract() -> None:
    found = changed(
        HULL,
        order("1", part("window", 200), days=5, accepted=False),
        order("2", part("lamp", 50), days=2),
        completion_on=date(2026, 9, 1),
        payments=(Payment(milestone="all", share=D(1)),),
    )
    assert [str(each.contract_total) for each in found.changes] == ["1300.00", "1150.00"]
    assert [each.completion_on for each in found.changes] == [date(2026, 9, 6), date(2026, 9, 3)]
    assert [str(each.payments[0].amount) for each in found.changes] == ["1300.00", "1150.00"]
    assert (str(found.contract_total), found.completion_on, found.pending) == ("1150.00", date(2026, 9, 3), 1)
    assert (str(found.payments[0].amount), str(found.added)) == ("1150.00", "50.00")


def test_the_promised_date_stays_in_the_calendar() -> None:
    december = date(9999, 12, 25)
    assert changed(HULL, order("1", days=6), completion_on=december).completion_on == date(9999, 12, 31)
    with pytest.raises(QuoteFaultsError) as error:
        changed(HULL, order("1", part("window", 200)), order("2", days=7), completion_on=december)
    (fault,) = error.value.faults
    assert (fault.pointer, fault.found) == ("/changes/1/days", "7")
    assert "9999-12-25" in fault.expected


def test_a_date_that_was_not_promised_does_not_move() -> None:
    assert changed(HULL, order("1", part("window", 200), days=5)).completion_on is None


def test_an_amount_can_be_agreed_without_a_line() -> None:
    fixed = (
        FixedChange(description="rush", amount=D(80)),
        FixedChange(description="scratch", amount=D(30), credit=True),
    )
    found = changed(HULL, order("1", fixed=fixed), tax=TEN_PERCENT_ON_ALL)
    assert [(line.description, str(line.change), str(line.tax)) for line in found.changes[0].lines] == [
        ("rush", "80.00", "8.00"),
        ("scratch", "-30.00", "-3.00"),
    ]
    assert (str(found.changes[0].change), str(found.changes[0].tax), str(found.contract_total)) == (
        "50.00",
        "5.00",
        "1265.00",
    )


def test_tax_on_an_agreed_amount_that_is_not_known_is_asked() -> None:
    fixed = (FixedChange(description="rush", amount=D(80)), FixedChange(description="gift", amount=D(0)))
    found = changed(HULL, order("1", fixed=fixed), tax=QuoteTax(rate=D("0.1")))
    assert [(each.code, each.about, str(each.base), str(each.at_stake)) for each in found.changes[0].questions] == [
        ("taxed_kind", "materials", "80.00", "8.00")
    ]
    no_rate = QuoteTax(treatments=(TaxTreatment(kind="materials", taxed=True),))
    found = changed(HULL, order("1", fixed=fixed[:1]), tax=no_rate)
    assert [(each.code, each.at_stake) for each in found.changes[0].questions] == [("tax_rate", None)]


def test_tax_follows_the_change() -> None:
    found = changed(
        HULL,
        order("1", part("window", "0.15"), part("door", 50)),
        order("2", drop=("hull",), credits_overhead_and_profit=True),
        order("3", drop=("door",)),
        tax=TEN_PERCENT_ON_ALL,
        markup=rates("0.1"),
    )
    # By itself: 0.165 is 0.17, of which 10 percent is 0.02; the door goes from 110 to 55, and 5 are kept: 50 x 10 %.
    assert [str(line.tax) for line in found.changes[0].lines] == ["0.02", "-5.00"]
    assert [str(line.tax) for line in found.changes[1].lines] == ["-110.00"]
    # 55 with 5 of overhead kept: 50 x 10 %.
    assert [(str(line.change), str(line.tax)) for line in found.changes[2].lines] == [("-50.00", "-5.00")]


def test_a_change_taxed_at_a_rate_of_nothing_has_no_tax() -> None:
    tax = QuoteTax(rate=D("0.1"), treatments=(TaxTreatment(kind="materials", taxed=True, rate=D(0)),))
    found = changed(HULL, order("1", part("door", 150), fixed=(FixedChange(description="x", amount=D(9)),)), tax=tax)
    assert (str(found.changes[0].change), str(found.changes[0].tax)) == ("59.00", "0.00")


def test_work_that_is_added_has_its_kind_or_is_asked_about() -> None:
    tax = QuoteTax(
        rate=D("0.1"),
        treatments=tuple(
            TaxTreatment(kind=kind, taxed=kind == "repair")
            for kind in ("materials", "fabrication", "repair", "installation")
        ),
    )
    told = order("1", work("weld", 1, 100), labor_kinds=(LaborKind(id="weld", kind="repair"),))
    assert str(changed(HULL, told, tax=tax).changes[0].tax) == "10.00"
    found = changed(HULL, order("1", work("weld", 1, 100)), tax=tax)
    assert [(each.code, each.about) for each in found.changes[0].questions] == [("kind_of_work", "weld")]


def test_waste_of_the_quote_is_added_and_that_of_other_categories_is_not_noted() -> None:
    waste = (WasteAllowance(category="body", rate=D("0.1")), WasteAllowance(category="roof", rate=D("0.2")))
    build = camper(part("hull", 100), part("skin", 10, category="roof"))
    found = changed(build, order("1", part("sheet", 50)), waste=waste)
    assert lines(found) == [("sheet", "added", "0.00", "55.00", "0.00", "55.00")]
    assert found.notes == ()


def test_notes_on_what_is_added_are_passed_on() -> None:
    found = changed(HULL, order("1", part("window", 100, tax=D(8))))
    assert [(note.code, note.about) for note in found.notes] == [("tax_paid_in_cost", "window")]


def test_a_discount_as_a_rate_is_on_changes_too_and_one_as_an_amount_stays() -> None:
    rate = changed(HULL, order("1", part("window", 200)), discount=Discount(reason="friend", rate=D("0.1")))
    assert lines(rate) == [("window", "added", "0.00", "180.00", "0.00", "180.00")]
    amount = Discount(reason="friend", amount=D(110))
    # The door has 10 of the 110; repriced it keeps them, dropped it takes them along.
    repriced = changed(HULL, order("1", part("door", 150), part("window", 200)), discount=amount)
    assert lines(repriced) == [
        ("door", "repriced", "90.00", "140.00", "0.00", "50.00"),
        ("window", "added", "0.00", "200.00", "0.00", "200.00"),
    ]
    cheap = changed(HULL, order("1", part("door", 4), credits_overhead_and_profit=True), discount=amount)
    assert lines(cheap) == [("door", "repriced", "90.00", "0.00", "0.00", "-90.00")]
    dropped = changed(HULL, order("1", drop=("door",)), discount=amount)
    assert lines(dropped) == [("door", "dropped", "90.00", "0.00", "0.00", "-90.00")]


def test_overhead_and_profit_that_are_kept_are_at_most_what_the_line_comes_to() -> None:
    # 130 less a discount of 95 percent is 6.50: less than the 30 of overhead and profit.
    found = changed(
        HULL, order("1", drop=("door",)), markup=rates("0.1", "0.2"), discount=Discount(reason="x", rate=D("0.95"))
    )
    assert lines(found) == [("door", "dropped", "6.50", "0.00", "6.50", "0.00")]


KEPT = Contingency(
    amount=D(400),
    minimums=(ContingencyMinimum(work_done=D("0.5"), rate=D("0.1")),),
    draws=(ContingencyDraw(event="rot", amount=D(100), drawn_on=JULY),),
    unused_returned=True,
)


def test_the_contingency_pays_for_what_was_not_foreseen() -> None:
    # 1,100 and 400; 300 are left; 250 leave 50, less than 10 percent of 1,100.
    found = changed(HULL, order("1", part("axle", 250), from_contingency=True, work_done=D("0.6")), contingency=KEPT)
    change = found.changes[0]
    assert (str(change.change), str(change.from_contingency), str(change.total_change)) == ("250.00", "250.00", "0.00")
    assert str(found.contract_total) == "1500.00"
    assert found.contingency is not None
    assert [(draw.event, str(draw.remaining)) for draw in found.contingency.draws] == [
        ("rot", "300.00"),
        ("change 1", "50.00"),
    ]
    below = [note.about for note in found.notes if note.code == "contingency_below_minimum"]
    assert below == ["change 1"]


# Tax of 25 on the axle: in the contingency's own tax where that is taxed, beside it where it is not.
@pytest.mark.parametrize(("taxed", "paid", "moved"), [(True, "275.00", "0.00"), (False, "250.00", "25.00")])
def test_the_contingency_pays_tax_where_it_was_taxed(taxed: bool, paid: str, moved: str) -> None:
    treatments = (TaxTreatment(kind="materials", taxed=True), TaxTreatment(kind="contingency", taxed=taxed))
    tax = QuoteTax(rate=D("0.1"), treatments=treatments)
    found = changed(HULL, order("1", part("axle", 250), from_contingency=True), contingency=KEPT, tax=tax)
    assert (str(found.changes[0].from_contingency), str(found.changes[0].total_change)) == (paid, moved)


@pytest.mark.parametrize(
    "entries", [{"fixed": (FixedChange(description="x", amount=D("300.01")),)}, {"drop": ("door",)}]
)
def test_the_contingency_pays_no_more_than_is_left_and_no_credit(entries: dict[str, Any]) -> None:
    pricing = QuotePricing(tax=NO_TAX, contingency=KEPT)
    orders = (order("0", part("lamp", 1)), order("1", from_contingency=True, **entries))
    with pytest.raises(QuoteFaultsError) as error:
        contract(HULL, pricing, orders, DAY, Options())
    (fault,) = error.value.faults
    assert fault.pointer == "/changes/1/from_contingency"
    assert fault.expected.startswith("a change from 0 to 300.00")
    assert fault.found == ("300.01" if "fixed" in entries else "-100.00")


def test_a_change_of_nothing_but_days_takes_nothing_from_the_contingency() -> None:
    found = changed(HULL, order("1", days=2, from_contingency=True), contingency=KEPT)
    assert found.contingency is not None
    assert (str(found.contingency.remaining), str(found.contract_total)) == ("300.00", "1500.00")


def test_all_that_is_left_of_the_contingency_may_be_taken_and_what_is_not_accepted_takes_nothing() -> None:
    whole: dict[str, Any] = {"fixed": (FixedChange(description="x", amount=D(300)),), "from_contingency": True}
    found = changed(HULL, order("1", accepted=False, **whole), order("2", **whole), contingency=KEPT)
    assert found.contingency is not None
    assert str(found.contingency.remaining) == "0.00"


def pay(milestone: str, amount: int, **more: Any) -> Payment:
    return Payment(milestone=milestone, amount=D(amount), **more)


PLAN = (pay("signing", 500, paid_on=JULY), pay("closed", 400), Payment(milestone="end"))


def test_payments_that_are_not_paid_carry_a_change_in_proportion() -> None:
    kept = Retainage(rate=D("0.1"), released="after 30 days")
    found = changed(HULL, order("1", part("window", 90)), payments=PLAN, retainage=kept)
    # 400 and 200 carry 60 and 30; retainage is a tenth of what they are now.
    assert [(str(each.amount), str(each.retained)) for each in found.payments] == [
        ("500.00", "0.00"),
        ("460.00", "46.00"),
        ("230.00", "23.00"),
    ]
    assert [each.share for each in found.payments] == [None, None, None]


def test_a_named_payment_carries_the_change_alone() -> None:
    found = changed(HULL, order("1", drop=("door",), milestone="end"), payments=PLAN)
    assert [str(each.amount) for each in found.payments] == ["500.00", "400.00", "100.00"]
    assert [each.milestone for each in found.payments] == ["signing", "closed", "end"]


@pytest.mark.parametrize(
    ("changes", "amounts"),
    [
        # More than the named payment can give back.
        ((order("1", drop=("hull",), milestone="end"),), ["500.00", "400.00", "200.00", "-1000.00"]),
        # The payment that is named is paid.
        ((order("1", part("window", 90), milestone="signing"),), ["500.00", "400.00", "200.00", "90.00"]),
        # A payment of its own is carried on by the next change.
        (
            (order("1", part("window", 90), milestone="signing"), order("2", drop=("window",))),
            ["500.00", "347.83", "173.91", "78.26"],
        ),
    ],
)
def test_what_the_payments_cannot_carry_is_a_payment_of_its_own(
    changes: tuple[ChangeOrder, ...], amounts: list[str]
) -> None:
    found = changed(HULL, *changes, payments=PLAN)
    assert [str(each.amount) for each in found.payments] == amounts
    assert (found.payments[3].milestone, str(found.payments[3].retained)) == ("1", "0.00")
    assert sum(each.amount for each in found.payments) == found.contract_total


def test_all_that_is_not_paid_can_go_back() -> None:
    found = changed(
        camper(part("hull", 900), part("door", 200)), order("1", drop=("door",), milestone="end"), payments=PLAN
    )
    assert [str(each.amount) for each in found.payments] == ["500.00", "400.00", "0.00"]


def test_a_named_payment_of_nothing_carries_the_change_too_and_others_of_nothing_do_not() -> None:
    plan = (Payment(milestone="all", share=D(1)), Payment(milestone="extras", amount=D(0)))
    named = changed(HULL, order("1", part("window", 90), milestone="extras"), payments=plan)
    assert [str(each.amount) for each in named.payments] == ["1100.00", "90.00"]
    unnamed = changed(HULL, order("1", part("window", 90)), payments=plan)
    assert [str(each.amount) for each in unnamed.payments] == ["1190.00", "0.00"]


def test_a_payment_of_one_cent_carries_its_share() -> None:
    plan = (Payment(milestone="sign", amount=D("0.01")), Payment(milestone="end"))
    doubled = changed(HULL, order("1", part("second hull", 1100)), payments=plan)
    assert [str(each.amount) for each in doubled.payments] == ["0.02", "2199.98"]


def test_without_payments_there_are_none() -> None:
    assert changed(HULL, order("1", part("window", 90))).payments == ()


def test_a_change_that_costs_nothing_leaves_the_payments_as_they_are() -> None:
    found = changed(HULL, order("1", part("gift", 0)), payments=(Payment(milestone="all", share=D(1)),))
    assert [(str(each.amount), each.share) for each in found.payments] == [("1100.00", D(1))]


@given(
    data=st.lists(
        st.tuples(st.integers(0, 3), st.integers(0, 100_000), st.booleans(), st.sampled_from([True, False, None])),
        max_size=5,
    )
)
def test_quote_and_changes_always_add_up_to_contract_and_payments(
    data: list[tuple[int, int, bool, bool | None]],
) -> None:
    orders = []
    for index, (entry, cost, accepted, credited) in enumerate(data):
        given = part(f"p{entry}", str(D(cost) / 100))
        orders.append(order(str(index), given, accepted=accepted, credits_overhead_and_profit=credited))
    build = camper(part("p0", 500), part("p1", "33.33"))
    payments = tuple(Payment(milestone=name, share=D("0.25")) for name in "abcd")
    found = changed(build, *orders, markup=rates("0.07", "0.13"), tax=TEN_PERCENT_ON_ALL, payments=payments)
    moved = sum(each.total_change for each in found.changes if each.accepted_by)
    assert found.contract_total == found.quote.totals.total + moved
    assert found.contract_total == found.quote.totals.total + found.added - found.deducted
    assert sum(each.amount for each in found.payments) == found.contract_total
    for each in found.changes:
        assert each.change == sum(line.change for line in each.lines)
        assert all(line.change == line.after - line.before + line.kept for line in each.lines)
