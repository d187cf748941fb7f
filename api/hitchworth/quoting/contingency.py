"""The contingency of a quote, and how named events draw it down."""

from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction

from hitchworth.model.fault import Fault
from hitchworth.model.pricing import Contingency, QuotePricing
from hitchworth.model.quote import ContingencyBalance, QuotedContingency
from hitchworth.money import Money
from hitchworth.valuation.notes import NoteCollector


def contingency_amount(contingency: Contingency | None, price: int, money: Money) -> int:
    """Return the contingency in whole minor units: a share of the price before contingency, or an amount."""
    if contingency is None:
        return 0
    if contingency.amount is not None:
        return money.to_minor_units(contingency.amount)
    return money.multiply(price, Fraction(contingency.rate or 0))


def quoted_contingency(contingency: Contingency, price: int, money: Money, notes: NoteCollector) -> QuotedContingency:
    """Return the contingency with what is left after each draw; a draw that leaves too little is noted."""
    amount = contingency_amount(contingency, price, money)
    _note_small_start(contingency, amount, price, money, notes)
    draws = tuple(_balances(contingency, amount, price, money, notes))
    drawn = sum((draw.amount for draw in draws), money.zero)
    return QuotedContingency(
        amount=money.from_minor_units(amount),
        rate=contingency.rate,
        draws=draws,
        drawn=drawn,
        remaining=money.from_minor_units(amount) - drawn,
        unused_returned=contingency.unused_returned,
    )


def overdrawn(pricing: QuotePricing, amount: int, money: Money) -> Iterator[Fault]:
    """Yield a fault for each draw that takes more than is left."""
    remaining = amount
    for index, draw in enumerate(pricing.contingency.draws if pricing.contingency else ()):
        taken = money.to_minor_units(draw.amount)
        if taken > remaining:
            yield Fault(
                pointer=f"/pricing/contingency/draws/{index}/amount",
                detail="More is drawn than is left of the contingency",
                expected=f"at most {money.from_minor_units(max(remaining, 0))}; what goes beyond it is a change order",
                found=str(draw.amount),
            )
        remaining -= taken


def _balances(
    contingency: Contingency, amount: int, price: int, money: Money, notes: NoteCollector
) -> Iterator[ContingencyBalance]:
    remaining = amount
    for draw in contingency.draws:
        remaining -= money.to_minor_units(draw.amount)
        minimum = None if draw.work_done is None else minimum_at(contingency, draw.work_done, price, money)
        below = minimum is not None and remaining < minimum
        if below:
            left, least = money.from_minor_units(remaining), money.from_minor_units(minimum or 0)
            notes.add("contingency_below_minimum", draw.event, remaining=f"{left:f}", minimum=f"{least:f}")
        if draw.work_done is None and contingency.minimums:
            notes.add("contingency_progress_not_known", draw.event)
        yield ContingencyBalance(
            event=draw.event,
            drawn_on=draw.drawn_on,
            amount=money.from_minor_units(money.to_minor_units(draw.amount)),
            remaining=money.from_minor_units(remaining),
            minimum=None if minimum is None else money.from_minor_units(minimum),
            below_minimum=below,
        )


def minimum_at(contingency: Contingency, work_done: Decimal, price: int, money: Money) -> int | None:
    """Return what is to be left when a share of the work is done; None where nothing is stated for it."""
    reached = [each for each in contingency.minimums if each.work_done <= work_done]
    if not reached:
        return None
    return money.multiply(price, Fraction(max(reached, key=lambda each: each.work_done).rate))


def _note_small_start(contingency: Contingency, amount: int, price: int, money: Money, notes: NoteCollector) -> None:
    least = minimum_at(contingency, Decimal(0), price, money)
    if least is not None and amount < least:
        left, minimum = money.from_minor_units(amount), money.from_minor_units(least)
        notes.add("contingency_small", remaining=f"{left:f}", minimum=f"{minimum:f}")
