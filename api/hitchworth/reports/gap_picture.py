"""The waterfall of a settlement as a figure, with its title and what it shows in words."""

from decimal import Decimal

from hitchworth.model.settlement import Settlement
from hitchworth.reports.content import Figure
from hitchworth.reports.context import ReportContext
from hitchworth.reports.waterfall_chart import Bar, Kind, drawn


def gap_picture(context: ReportContext, settlement: Settlement, name: str) -> Figure:
    """From the replacement cost down through the causes to what is paid."""
    caption = context.format("waterfall_caption", policy=settlement.policy, loss=settlement.loss)
    described = context.format(
        "waterfall_described",
        replacement_cost=settlement.replacement_cost,
        parts="; ".join(f"{part.label} {context.money(-part.amount)}" for part in settlement.gap_breakdown),
        payable=settlement.payable,
        gap=settlement.gap,
    )
    return Figure(drawn(_bars(context, settlement), caption, described, name), described, caption)


def _bars(context: ReportContext, settlement: Settlement) -> tuple[Bar, ...]:
    zero, is_installed_on = Decimal(0), settlement.replacement_cost
    bars = [Bar(context.format("replacement_cost"), zero, is_installed_on, context.money(is_installed_on), "total")]
    for part in settlement.gap_breakdown:
        kind: Kind = "less" if part.amount > 0 else "more"
        bars.append(Bar(part.label, is_installed_on, is_installed_on - part.amount, context.money(-part.amount), kind))
        is_installed_on -= part.amount
    return (*bars, *_paid(context, settlement))


def _paid(context: ReportContext, settlement: Settlement) -> tuple[Bar, ...]:
    """What is paid: in one bar, or what is paid at once and what is paid once the trailer has been replaced."""
    zero, now = Decimal(0), settlement.payable_now
    if not settlement.recoverable_depreciation:
        return (Bar(context.format("payable"), zero, settlement.payable, context.money(settlement.payable), "total"),)
    later = context.money(settlement.recoverable_depreciation)
    return (
        Bar(context.format("recoverable_depreciation"), settlement.payable, now, later, "later"),
        Bar(context.format("payable_now"), zero, now, context.money(now), "total"),
    )
