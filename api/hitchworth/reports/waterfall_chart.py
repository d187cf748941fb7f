"""The gap as a waterfall chart (SVG): bars from the replacement cost, cause by cause, down to the payment.

One row per bar: its label on the left, the bar to scale from zero to the largest amount, its amount on the right.
The fills are hatched and dotted, so that the chart reads in black and white.
"""

import textwrap
from decimal import Decimal
from html import escape
from typing import Literal, TypeAlias

from msgspec import Struct

from hitchworth.model.settlement import Settlement
from hitchworth.reports.content import Figure
from hitchworth.reports.context import ReportContext
from hitchworth.reports.svg import BLUE, GRAY, INK, PAPER, WIDTH, svg

LABEL_WIDTH, AMOUNT_WIDTH, ROW_HEIGHT, BAR_HEIGHT = 210, 120, 27, 17
_PLOT_WIDTH = WIDTH - LABEL_WIDTH - AMOUNT_WIDTH - 8
_LABEL_CHARACTERS = 24
"""Characters of a label per line: as many as fit in bold in the widest of the fonts."""

BarKind: TypeAlias = Literal["total", "less", "more", "later"]


class Bar(Struct, frozen=True):
    """One row: a balance (total, later), or the change from one balance to the next (less, more)."""

    label: str
    start: Decimal
    end: Decimal
    amount: str
    kind: BarKind


def gap_waterfall(context: ReportContext, settlement: Settlement, name: str) -> Figure:
    """Return the chart of a settlement. `name` keeps the ids of several charts on one page apart."""
    caption = context.format("waterfall_caption", policy=settlement.policy, loss=settlement.loss)
    description = context.format(
        "waterfall_described",
        replacement_cost=settlement.replacement_cost,
        parts="; ".join(f"{part.label} {context.money(-part.amount)}" for part in settlement.gap_breakdown),
        payable=settlement.payable,
        gap=settlement.gap,
    )
    return Figure(waterfall_svg(_bars(context, settlement), caption, description, name), description, caption)


def waterfall_svg(bars: tuple[Bar, ...], title: str, description: str, name: str) -> str:
    """Return the SVG text of at least one bar."""
    largest = max((max(bar.start, bar.end) for bar in bars), default=Decimal(0)) or Decimal(1)
    height = ROW_HEIGHT * len(bars) + 8
    rows = "".join(_row(bar, index, largest, name) for index, bar in enumerate(bars))
    connectors = "".join(_connector(bar, index, largest) for index, bar in enumerate(bars[:-1]))
    axis = f'<line x1="{LABEL_WIDTH}" x2="{LABEL_WIDTH}" y1="0" y2="{height}" stroke="{GRAY}"/>'
    content = f"<defs>{_patterns(name)}</defs>{axis}{connectors}{rows}"
    return svg(content, height, title, description, name)


def _bars(context: ReportContext, settlement: Settlement) -> tuple[Bar, ...]:
    balance = settlement.replacement_cost
    bars = [Bar(context.format("replacement_cost"), Decimal(0), balance, context.money(balance), "total")]
    for part in settlement.gap_breakdown:
        kind: BarKind = "less" if part.amount > 0 else "more"
        bars.append(Bar(part.label, balance, balance - part.amount, context.money(-part.amount), kind))
        balance -= part.amount
    return (*bars, *_payments(context, settlement))


def _payments(context: ReportContext, settlement: Settlement) -> tuple[Bar, ...]:
    """Return one bar, or two where part of the payment comes after the trailer has been replaced."""
    zero, now = Decimal(0), settlement.payable_now
    if not settlement.recoverable_depreciation:
        return (Bar(context.format("payable"), zero, settlement.payable, context.money(settlement.payable), "total"),)
    later = context.money(settlement.recoverable_depreciation)
    return (
        Bar(context.format("recoverable_depreciation"), settlement.payable, now, later, "later"),
        Bar(context.format("payable_now"), zero, now, context.money(now), "total"),
    )


def _patterns(name: str) -> str:
    """Return hatching for deductions, dots for additions, vertical lines for what is paid later."""
    return (
        f'<pattern id="{name}-less" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">'
        f'<rect width="6" height="6" fill="{PAPER}"/><rect width="2.2" height="6" fill="{GRAY}"/></pattern>'
        f'<pattern id="{name}-more" width="5" height="5" patternUnits="userSpaceOnUse">'
        f'<rect width="5" height="5" fill="{PAPER}"/><circle cx="2.5" cy="2.5" r="1.2" fill="#333"/></pattern>'
        f'<pattern id="{name}-later" width="4" height="4" patternUnits="userSpaceOnUse">'
        f'<rect width="4" height="4" fill="{PAPER}"/><rect width="1.4" height="4" fill="{BLUE}"/></pattern>'
    )


def _row(bar: Bar, index: int, largest: Decimal, name: str) -> str:
    left, right = sorted((_x(bar.start, largest), _x(bar.end, largest)))
    top = ROW_HEIGHT * index + 4 + (ROW_HEIGHT - BAR_HEIGHT) / 2
    fill = BLUE if bar.kind == "total" else f"url(#{name}-{bar.kind})"
    weight = ' font-weight="bold"' if bar.kind == "total" else ""
    middle = top + BAR_HEIGHT / 2 + 4.3
    return (
        f"{_label(bar.label, middle, weight)}"
        f'<rect x="{left:.2f}" y="{top:.2f}" width="{max(right - left, 1):.2f}" height="{BAR_HEIGHT}" fill="{fill}" '
        f'stroke="{INK}" stroke-width=".7"/>'
        f'<text x="{WIDTH - 2}" y="{middle:.2f}" text-anchor="end"{weight}>{escape(bar.amount)}</text>'
    )


def _label(text: str, middle: float, weight: str) -> str:
    """Return the label, on two lines where it is long."""
    lines = textwrap.wrap(text, _LABEL_CHARACTERS, max_lines=2, placeholder="…") or [""]
    first = middle - 6.2 * (len(lines) - 1)
    return "".join(
        f'<text x="{LABEL_WIDTH - 10}" y="{first + 12.4 * line:.2f}" text-anchor="end"{weight}>{escape(part)}</text>'
        for line, part in enumerate(lines)
    )


def _connector(bar: Bar, index: int, largest: Decimal) -> str:
    """Return a dashed line from the end of a bar down to the next one."""
    x = _x(bar.end, largest)
    top = ROW_HEIGHT * index + 4 + (ROW_HEIGHT + BAR_HEIGHT) / 2
    return (
        f'<line x1="{x:.2f}" x2="{x:.2f}" y1="{top:.2f}" y2="{top + ROW_HEIGHT - BAR_HEIGHT:.2f}" '
        f'stroke="{GRAY}" stroke-dasharray="2 2"/>'
    )


def _x(amount: Decimal, largest: Decimal) -> Decimal:
    """Return the horizontal position of an amount. No balance of a settlement is below zero."""
    return LABEL_WIDTH + amount / largest * _PLOT_WIDTH
