"""Typst, isolated: it reads no fonts and no folders of the system, and downloads nothing."""

from functools import cache
from tempfile import TemporaryDirectory
from threading import BoundedSemaphore
from typing import Literal

import typst

_SVG_PAGE = b"""#set page(width: 176mm, height: auto, margin: 0pt)
#image("chart.svg", width: 100%)
"""

_AT_A_TIME = BoundedSemaphore(2)
"""A document of thousands of lines takes hundreds of megabytes while it is set; more requests wait their turn.

So two of the longest that are set at all are the most that is in memory, see `pdf.MAX_ROWS`.
"""


def compile_typst(
    files: dict[str, bytes],
    output: Literal["pdf", "png"],
    *,
    pdf_standards: tuple[str, ...] = (),
    ppi: float | None = None,
) -> bytes:
    """Return the document that main.typ in `files` describes. `ppi`: pixels per inch of a PNG."""
    # The stub of the package does not know that files may be given by name, as its documentation says.
    with _AT_A_TIME:
        return typst.compile(  # type: ignore[call-overload, no-any-return]
            files,
            root=_empty_folder().name,
            format=output,
            ppi=ppi,
            pdf_standards=list(pdf_standards),
            ignore_system_fonts=True,
        )


def svg_to_png(svg: str, ppi: float = 220) -> bytes:
    """Return a chart as PNG, for formats without SVG. `ppi`: pixels per inch at the width of a page's text."""
    return compile_typst({"main.typ": _SVG_PAGE, "chart.svg": svg.encode()}, "png", ppi=ppi)


@cache
def _empty_folder() -> TemporaryDirectory[str]:
    """Return the root for Typst: empty, so that a template can read nothing. Removed when the process ends."""
    return TemporaryDirectory(prefix="hitchworth-reports-")
