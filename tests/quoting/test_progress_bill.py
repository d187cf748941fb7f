"""Progress bills: what is complete, held back and due, and what is refused."""

from typing import Any

import pytest

from hitchworth.model.change_order import ChangeOrder
from hitchworth.model.options import Options
from hitchworth.model.pricing import CustomerSupply, Discount, QuotePricing, Retainage
from hitchworth.model.progress_bill import Progress, ProgressBill
from hitchworth.quoting.priced_quote import QuoteFaultsError
from hitchworth.quoting.progress_bill import EarlierBills, ProgressBilling
from quotes import DAY, NO_TAX, D, camper, part, rates

SIGNED: dict[str, Any] = {"accepted_by": "A. Customer", "accepted_on": DAY}


def billed(*progress: Progress, earlier: str | None = None, changes: Any = (), **pricing: Any) -> ProgressBill:
    terms = QuotePricing(**{"tax": NO_TAX} | pricing)
    billing = ProgressBilling(camper(part("hull", 1000), part("door", 100)), terms, changes, DAY, Options())
    return billing.bill(progress, EarlierBills(certificates=None if earlier is None else D(earlier)))


def test_lines_are_those_of_the_contract_at_their_price_less_discount() -> None:
    order = ChangeOrder(number="1", dated=DAY, reason="x", drop=("door",), components=(part("lamp", 50),), **SIGNED)
    found = billed(changes=(order,), markup=rates("0.1"), discount=Discount(reason="x", rate=D("0.1")))
    assert [(line.id, line.description, str(line.scheduled)) for line in found.lines] == [
        ("hull", "hull", "990.00"),
        ("lamp", "lamp", "49.50"),
    ]
    assert [(line.completed, line.share, line.retained) for line in found.lines] == [(D(0), D(0), D(0))] * 2
    assert (str(found.totals.scheduled), str(found.due), str(found.balance_to_finish)) == ("1039.50", "0.00", "1039.50")


def test_a_part_that_the_customer_was_to_bring_is_billed_with_its_handling() -> None:
    # 30 for handling; then a change order buys the part for 400: one line of 430, and nothing of the contract is lost.
    order = ChangeOrder(number="1", dated=DAY, reason="not found", components=(part("door", 400),), **SIGNED)
    supplies = (CustomerSupply(id="door", handling=D(30)),)
    found = billed(Progress(id="door", completed_share=D("0.5")), changes=(order,), customer_supplies=supplies)
    assert [(line.id, str(line.scheduled), str(line.completed)) for line in found.lines] == [
        ("hull", "1000.00", "0.00"),
        ("door", "430.00", "215.00"),
    ]
    assert str(found.totals.scheduled) == "1430.00"


def test_a_share_includes_what_was_done_before_and_what_is_stored() -> None:
    found = billed(Progress(id="hull", earlier=D(200), stored=D(50), completed_share=D("0.4")))
    (hull, _) = found.lines
    assert (str(hull.completed), str(hull.this_period), str(hull.balance), hull.share) == (
        "400.00",
        "150.00",
        "600.00",
        D("0.4"),
    )


def test_earlier_certificates_are_given_or_the_earlier_work_less_its_retainage() -> None:
    kept = Retainage(rate=D("0.1"), released="later")
    progress = (
        Progress(id="hull", earlier=D(200), this_period=D(300)),
        Progress(id="door", earlier=D(100), retainage_rate=D("0.05")),
    )
    found = billed(*progress, retainage=kept)
    # Earned 500 - 50 + 100 - 5 = 545; before 180 + 95 = 275.
    assert (str(found.earned), str(found.earlier_certificates), str(found.due)) == ("545.00", "275.00", "270.00")
    stated = billed(*progress, retainage=kept, earlier="600")
    assert (str(stated.earlier_certificates), str(stated.due)) == ("600.00", "-55.00")
    assert str(found.balance_to_finish) == "555.00"


def test_a_contract_of_nothing_has_no_share() -> None:
    billing = ProgressBilling(camper(part("gift", 0)), QuotePricing(tax=NO_TAX), (), DAY, Options())
    found = billing.bill(())
    assert (found.lines[0].share, found.totals.share) == (None, None)


@pytest.mark.parametrize(
    ("progress", "fault"),
    [
        (Progress(id="no"), ("/progress/0/id", "The contract has no such line", "no")),
        (
            Progress(id="door", this_period=D("100.01")),
            ("/progress/0", "More is billed than the line comes to", "100.01"),
        ),
        (
            Progress(id="door", earlier=D(30), stored=D(30), completed_share=D("0.5")),
            ("/progress/0", "Less than was billed", "50.00"),
        ),
        (
            Progress(id="door", earlier=D(120), completed_share=D(1)),  # of 100
            ("/progress/0", "Less than was billed", "100.00"),
        ),
    ],
)
def test_what_cannot_be_billed(progress: Progress, fault: tuple[str, str, str]) -> None:
    with pytest.raises(QuoteFaultsError) as error:
        billed(progress)
    (found,) = error.value.faults
    assert (found.pointer, found.detail, found.found) == fault


def test_a_line_may_be_billed_in_full_and_as_before() -> None:
    found = billed(
        Progress(id="door", earlier=D(60), this_period=D(40)),
        Progress(id="hull", earlier=D(300), stored=D(100), completed_share=D("0.4")),
    )
    assert [str(line.this_period) for line in found.lines] == ["0.00", "40.00"]


def test_the_limits_of_a_bill_are_named() -> None:
    with pytest.raises(QuoteFaultsError) as error:
        billed(Progress(id="door", earlier=D(20), stored=D(5), this_period=D(100)))
    assert error.value.faults[0].expected == "from 25.00 to 100.00 in all, before tax"
