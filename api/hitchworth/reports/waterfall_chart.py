"""The gap in one picture: bars from the replacement cost, cause by cause, down to what is paid.

A row a bar: its label on the left, the bar where it lies between zero and the greatest amount, its amount on the right.
Fillings are hatched and dotted, so that the drawing (SVG) can be read in black and white.
"""

import textwrap
from decimal import Decimal
from typing import Literal, TypeAlias
from xml.sax.saxutils import escape

from msgspec import Struct

WIDTH, LABELS, AMOUNTS, ROW, BAR = 680, 210, 120, 27, 17
_PLOT = WIDTH - LABELS - AMOUNTS
FONTS = "'Libertinus Serif', Georgia, 'Liberation Serif', 'DejaVu Serif', serif"
_LETTERS = 24
"""Of a label on one line: so many fit in the widest of the fonts, in bold."""

INK = "#1b1b1b"


Kind: TypeAlias = Literal["total", "less", "more", "later"]


class Bar(Struct, frozen=True):
    """One row: an amount that stands (total, later) or that leads from one standing amount to the next (less, more)."""

    label: str
    start: Decimal
    end: Decimal
    shown: str
    kind: Kind


def drawn(bars: tuple[Bar, ...], title: str, described: str, name: str) -> str:
    """The SVG text. `name` keeps the ids of several drawings in one page apart. At least one bar is needed."""
    greatest = max((max(bar.start, bar.end) for bar in bars), default=Decimal(0)) or Decimal(1)
    height = ROW * len(bars) + 8
    rows = "".join(_row(bar, place, greatest, name) for place, bar in enumerate(bars))
    links = "".join(_link(bar, place, greatest) for place, bar in enumerate(bars[:-1]))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {height}" role="img" '
        f'aria-labelledby="{name}-title {name}-desc" font-family="{FONTS}" font-size="12.5" fill="{INK}">'
        f'<title id="{name}-title">{escape(title)}</title><desc id="{name}-desc">{escape(described)}</desc>'
        f"<defs>{_patterns(name)}</defs>"
        f'<line x1="{LABELS}" x2="{LABELS}" y1="0" y2="{height}" stroke="#555"/>{links}{rows}</svg>'
    )


def _patterns(name: str) -> str:
    """Hatching for what is taken off, dots for what is added, upright lines for what comes later."""
    return (
        f'<pattern id="{name}-less" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">'
        '<rect width="6" height="6" fill="#fff"/><rect width="2.2" height="6" fill="#555"/></pattern>'
        f'<pattern id="{name}-more" width="5" height="5" patternUnits="userSpaceOnUse">'
        '<rect width="5" height="5" fill="#fff"/><circle cx="2.5" cy="2.5" r="1.2" fill="#333"/></pattern>'
        f'<pattern id="{name}-later" width="4" height="4" patternUnits="userSpaceOnUse">'
        '<rect width="4" height="4" fill="#fff"/><rect width="1.4" height="4" fill="#27496b"/></pattern>'
    )


def _row(bar: Bar, place: int, greatest: Decimal, name: str) -> str:
    left, right = sorted((_x(bar.start, greatest), _x(bar.end, greatest)))
    top = ROW * place + 4 + (ROW - BAR) / 2
    fill = "#27496b" if bar.kind == "total" else f"url(#{name}-{bar.kind})"
    weight = ' font-weight="bold"' if bar.kind == "total" else ""
    middle = top + BAR / 2 + 4.3
    return (
        f"{_label(bar.label, middle, weight)}"
        f'<rect x="{left:.2f}" y="{top:.2f}" width="{max(right - left, 1):.2f}" height="{BAR}" fill="{fill}" '
        f'stroke="{INK}" stroke-width=".7"/>'
        f'<text x="{WIDTH - 2}" y="{middle:.2f}" text-anchor="end"{weight}>{escape(bar.shown)}</text>'
    )


def _label(text: str, middle: float, weight: str) -> str:
    """The label, on two lines where it is long."""
    lines = textwrap.wrap(text, _LETTERS, max_lines=2, placeholder="…") or [""]
    first = middle - 6.2 * (len(lines) - 1)
    return "".join(
        f'<text x="{LABELS - 10}" y="{first + 12.4 * line:.2f}" text-anchor="end"{weight}>{escape(part)}</text>'
        for line, part in enumerate(lines)
    )


def _link(bar: Bar, place: int, greatest: Decimal) -> str:
    """A dashed line from the end of a bar down to the next one."""
    x = _x(bar.end, greatest)
    top = ROW * place + 4 + (ROW + BAR) / 2
    return (
        f'<line x1="{x:.2f}" x2="{x:.2f}" y1="{top:.2f}" y2="{top + ROW - BAR:.2f}" '
        'stroke="#555" stroke-dasharray="2 2"/>'
    )


def _x(amount: Decimal, greatest: Decimal) -> Decimal:
    """Where an amount lies on paper. Nothing is less than zero: no step takes more than there is."""
    return LABELS + amount / greatest * (_PLOT - 8)
