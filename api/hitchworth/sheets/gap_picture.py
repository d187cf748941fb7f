"""The waterfall of a settlement as a figure, with its title and what it shows in words."""

from decimal import Decimal

from hitchworth.model.settlement import Settlement
from hitchworth.sheets.content import Figure
from hitchworth.sheets.subject import Subject
from hitchworth.sheets.waterfall import Bar, Kind, drawn


def gap_picture(subject: Subject, settlement: Settlement, name: str) -> Figure:
    """From the replacement cost down through the causes to what is paid."""
    caption = subject.say("waterfall_caption", policy=settlement.policy, loss=settlement.loss)
    described = subject.say(
        "waterfall_described",
        replacement_cost=settlement.replacement_cost,
        parts="; ".join(f"{part.label} {subject.money(-part.amount)}" for part in settlement.waterfall),
        payable=settlement.payable,
        gap=settlement.gap,
    )
    return Figure(drawn(_bars(subject, settlement), caption, described, name), described, caption)


def _bars(subject: Subject, settlement: Settlement) -> tuple[Bar, ...]:
    zero, stands = Decimal(0), settlement.replacement_cost
    bars = [Bar(subject.say("replacement_cost"), zero, stands, subject.money(stands), "total")]
    for part in settlement.waterfall:
        kind: Kind = "less" if part.amount > 0 else "more"
        bars.append(Bar(part.label, stands, stands - part.amount, subject.money(-part.amount), kind))
        stands -= part.amount
    return (*bars, *_paid(subject, settlement))


def _paid(subject: Subject, settlement: Settlement) -> tuple[Bar, ...]:
    """What is paid: in one bar, or what is paid at once and what is paid once the trailer has been replaced."""
    zero, now = Decimal(0), settlement.payable_now
    if not settlement.recoverable_later:
        return (Bar(subject.say("payable"), zero, settlement.payable, subject.money(settlement.payable), "total"),)
    later = subject.money(settlement.recoverable_later)
    return (
        Bar(subject.say("recoverable_later"), settlement.payable, now, later, "later"),
        Bar(subject.say("payable_now"), zero, now, subject.money(now), "total"),
    )
