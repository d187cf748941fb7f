"""Rules for what becomes of a quote: acceptance, change orders, progress, as built. Pointers are from the request."""

from collections.abc import Iterable, Iterator
from datetime import date
from typing import Protocol

from hitchworth.model.build import Build
from hitchworth.model.change_order import ChangeOrder
from hitchworth.model.entry import Component, Labor
from hitchworth.model.fault import Fault
from hitchworth.model.pricing import QuotePricing
from hitchworth.model.progress_bill import Progress
from hitchworth.validation.names import duplicates, unknown_name
from hitchworth.validation.valuation_rules import other_currency


class ChangedRequest(Protocol):
    """A request with a quote and its change orders."""

    @property
    def build(self) -> Build: ...
    @property
    def pricing(self) -> QuotePricing: ...
    @property
    def changes(self) -> tuple[ChangeOrder, ...]: ...
    @property
    def as_of(self) -> date | None: ...


class BilledRequest(Protocol):
    """A request with the progress of the lines of a contract."""

    @property
    def progress(self) -> tuple[Progress, ...]: ...


class BuiltRequest(Protocol):
    """A request with a quote and the trailer as built."""

    @property
    def build(self) -> Build: ...
    @property
    def built(self) -> Build: ...


def duplicate_change_numbers(request: ChangedRequest) -> Iterator[Fault]:
    """Each change order has a number of its own, and names each line once."""
    yield from duplicates("number", {"/changes/{}/number": (order.number for order in request.changes)})
    for index, order in enumerate(request.changes):
        names = {
            f"/changes/{index}/components/{{}}/id": (part.id for part in order.components),
            f"/changes/{index}/labor/{{}}/id": (entry.id for entry in order.labor),
            f"/changes/{index}/drop/{{}}": order.drop,
        }
        for fault in duplicates("id", names):
            if "/drop/" in fault.pointer:  # those among its entries are found with the entries
                yield fault


def unknown_dropped_lines(request: ChangedRequest) -> Iterator[Fault]:
    """What is dropped is in the contract at that time."""
    lines = _quoted_ids(request)
    for index, order in enumerate(request.changes):
        for place, name in enumerate(order.drop):
            at, expected = f"/changes/{index}/drop/{place}", "the id of a line of the quote or of an earlier change"
            yield from unknown_name(name, lines, at, "The contract has no such line", expected)
        if order.accepted_by is not None:
            lines = (lines - set(order.drop)) | _given_ids(order.components, order.labor)


def _given_ids(components: Iterable[Component], labor: Iterable[Labor]) -> set[str]:
    return {part.id for part in components} | {entry.id for entry in labor}


def _quoted_ids(request: ChangedRequest) -> set[str]:
    """Return the ids of the lines of the quote: what the customer brings is one only for its handling."""
    pricing = request.pricing
    outside = {
        entry
        for group in pricing.option_groups
        for alternative in group.alternatives
        if alternative.name != group.chosen
        for entry in alternative.entries
    }
    outside |= {each.id for each in pricing.customer_supplies if not each.handling}
    entries = _given_ids(request.build.components, request.build.labor)
    prices = {
        f"{group.name}: {alternative.name}"
        for group in pricing.option_groups
        for alternative in group.alternatives
        if alternative.name == group.chosen and alternative.price is not None
    }
    return (entries - outside) | {each.id for each in pricing.allowances} | prices


def unknown_change_labor(request: ChangedRequest) -> Iterator[Fault]:
    """A change order says the kind of its own work only."""
    for index, order in enumerate(request.changes):
        labor = {entry.id for entry in order.labor}
        for place, kind in enumerate(order.labor_kinds):
            at, expected = f"/changes/{index}/labor_kinds/{place}/id", "the id of labor of this change order"
            yield from unknown_name(kind.id, labor, at, "The change order has no such labor", expected)


def unknown_milestones(request: ChangedRequest) -> Iterator[Fault]:
    """The payment that carries a change is one of the quote."""
    milestones = {payment.milestone for payment in request.pricing.payments}
    for index, order in enumerate(request.changes):
        if order.milestone is not None:
            at, detail = f"/changes/{index}/milestone", "No payment has this milestone"
            yield from unknown_name(order.milestone, milestones, at, detail, "the milestone of a payment")


def changes_without_contingency(request: ChangedRequest) -> Iterator[Fault]:
    """A contingency that pays for a change is in the quote."""
    for index, order in enumerate(request.changes):
        if order.from_contingency and request.pricing.contingency is None:
            yield Fault(
                pointer=f"/changes/{index}/from_contingency",
                detail="The quote has no contingency",
                expected="false, or a contingency in the pricing",
                found="true",
            )


def empty_change_orders(request: ChangedRequest) -> Iterator[Fault]:
    """A change order changes something."""
    for index, order in enumerate(request.changes):
        if not (order.components or order.labor or order.drop or order.fixed or order.days):
            yield Fault(
                pointer=f"/changes/{index}",
                detail="The change order changes nothing",
                expected="components, labor, drop, fixed or days",
                found="none of them",
            )


def changes_out_of_order(request: ChangedRequest, today: date) -> Iterator[Fault]:
    """A change order is of a day after the quote and after those before it, and accepted on its day or later."""
    earliest = request.pricing.quoted_on or request.as_of or today
    for index, order in enumerate(request.changes):
        if order.dated < earliest:
            yield Fault(
                pointer=f"/changes/{index}/dated",
                detail="Before the quote or the change order before it",
                expected=f"{earliest} or later",
                found=order.dated.isoformat(),
            )
        earliest = max(earliest, order.dated)
        if (order.accepted_by is None) != (order.accepted_on is None):
            missing = "accepted_by" if order.accepted_by is None else "accepted_on"
            yield Fault(
                pointer=f"/changes/{index}/{missing}",
                detail="A change order is accepted by a name and on a date",
                expected="both accepted_by and accepted_on, or neither",
                found="nothing",
            )
        elif order.accepted_on is not None and order.accepted_on < order.dated:
            yield Fault(
                pointer=f"/changes/{index}/accepted_on",
                detail="Accepted before its own day",
                expected=f"{order.dated} or later",
                found=order.accepted_on.isoformat(),
            )


def accepted_out_of_time(request: ChangedRequest, today: date) -> Iterator[Fault]:
    """A quote is accepted from its day on until the last day of its validity."""
    pricing, acceptance = request.pricing, request.pricing.acceptance
    if acceptance is None:
        return
    quoted_on = pricing.quoted_on or request.as_of or today
    too_late = pricing.valid_until is not None and acceptance.accepted_on > pricing.valid_until
    if acceptance.accepted_on < quoted_on or too_late:
        yield Fault(
            pointer="/pricing/acceptance/accepted_on",
            detail="Accepted when the quote was not valid",
            expected=f"from {quoted_on} to {pricing.valid_until}" if pricing.valid_until else f"{quoted_on} or later",
            found=acceptance.accepted_on.isoformat(),
        )


def unclear_progress(request: BilledRequest) -> Iterator[Fault]:
    """Each line is billed once, and by an amount or by a share."""
    yield from duplicates("id", {"/progress/{}/id": (each.id for each in request.progress)})
    for index, each in enumerate(request.progress):
        if each.this_period is not None and each.completed_share is not None:
            yield Fault(
                pointer=f"/progress/{index}/completed_share",
                detail="The progress is given twice",
                expected="either this_period or completed_share",
                found="both",
            )


def different_built_currency(request: BuiltRequest) -> Iterator[Fault]:
    """The quote and the trailer as built are in one currency. An unknown currency has a fault of its own."""
    return other_currency(request.built.currency, request.build.currency, "/built/currency", "the quote")
