"""Rules for the change of a kept quote: what was accepted stays, and is accepted in one way. Pointers are its own."""

from collections.abc import Iterator
from typing import Any

from msgspec.structs import replace

from hitchworth.model.change_order import ChangeOrder
from hitchworth.model.fault import Fault
from hitchworth.model.pricing import QuotePricing
from hitchworth.model.quote_document import QuoteDocument

PRICED = ("build", "options")
"""Beside the pricing, the fields of a quote that its price comes from."""
ADMINISTRATIVE = ("workshop", "certifications")
"""What a workshop may write into the pricing of an accepted quote, because no figure comes from it."""


def accepted_elsewhere(document: QuoteDocument) -> Iterator[Fault]:
    """A quote that is kept for the first time is not accepted yet, and has no change orders."""
    if document.pricing.acceptance is not None:
        yield Fault(
            pointer="/pricing/acceptance",
            detail="A kept quote is accepted by an operation of its own",
            expected="nothing, and then POST to its /accept",
            found=document.pricing.acceptance.accepted_by,
        )
    if document.changes:
        yield Fault(
            pointer="/changes",
            detail="There are change orders only after a quote is accepted",
            expected="an empty list",
            found=f"{len(document.changes)}",
        )


def altered_acceptance(before: QuoteDocument, after: QuoteDocument) -> Iterator[Fault]:
    """What was accepted stays as it was: the quote, and each change order that counts."""
    if before.pricing.acceptance is None:
        yield from accepted_elsewhere(after)
        return
    for name in PRICED:
        yield from _altered(f"/{name}", getattr(before, name), getattr(after, name))
    first, second = _priced(before.pricing), _priced(after.pricing)
    for name in QuotePricing.__struct_fields__:
        yield from _altered(f"/pricing/{name}", getattr(first, name), getattr(second, name))
    yield from _altered_changes(before.changes, after.changes)


def _priced(pricing: QuotePricing) -> QuotePricing:
    """Return the pricing without what may be written into it after it was accepted: payments made, and draws too."""
    contingency = pricing.contingency
    return replace(
        pricing,
        **{name: None if name == "workshop" else () for name in ADMINISTRATIVE},
        payments=tuple(replace(payment, paid_on=None) for payment in pricing.payments),
        contingency=contingency and replace(contingency, draws=()),
    )


def _altered(pointer: str, before: Any, after: Any) -> Iterator[Fault]:
    if before != after:
        yield Fault(
            pointer=pointer,
            detail="It belongs to what was accepted",
            expected="what it was; a change is a change order",
            found="something else",
        )


def _altered_changes(before: tuple[ChangeOrder, ...], after: tuple[ChangeOrder, ...]) -> Iterator[Fault]:
    """Accepted change orders stay the first, and in their order."""
    accepted = [order for order in before if order.accepted_by is not None]
    for index, order in enumerate(accepted):
        if after[index : index + 1] != (order,):
            yield Fault(
                pointer=f"/changes/{index}",
                detail="The change order was accepted, so it stays as it was",
                expected=f"change order {order.number}",
                found=after[index].number if index < len(after) else "nothing",
            )
    for index, order in enumerate(after[len(accepted) :], start=len(accepted)):
        if order.accepted_by is not None:
            yield Fault(
                pointer=f"/changes/{index}/accepted_by",
                detail="A change order is accepted by an operation of its own",
                expected="nothing, and then POST to its /accept",
                found=order.accepted_by,
            )
