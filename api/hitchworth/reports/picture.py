"""A drawing as a picture of points, for a document that knows no SVG."""

from hitchworth.reports.typesetter import typeset

_PAGE = b"""#set page(width: 176mm, height: auto, margin: 0pt)
#image("drawing.svg", width: 100%)
"""


def png(svg: str, ppi: float = 220) -> bytes:
    """The drawing (SVG) as PNG, `ppi` points per inch at the width of a page's text."""
    return typeset({"main.typ": _PAGE, "drawing.svg": svg.encode()}, "png", ppi=ppi)
