"""Typst, isolated: it reads no fonts of the system and no folder but that of its pictures, and downloads nothing."""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from threading import BoundedSemaphore
from typing import Literal

import typst

_SVG_PAGE = b"""#set page(width: 176mm, height: auto, margin: 0pt)
#image("chart.svg", width: 100%)
"""

PICTURE = ".jpg"
"""How the name of a picture ends."""

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
    """Return the document that main.typ in `files` describes. `ppi`: pixels per inch of a PNG.

    Pictures (.jpg) lie in a folder of their own while it is set: the package takes nothing but text from memory.
    """
    pictures = {name: data for name, data in files.items() if name.endswith(PICTURE)}
    texts = {name: data for name, data in files.items() if name not in pictures}
    # The stub of the package does not know that files may be given by name, as its documentation says.
    with _AT_A_TIME, _folder_of(pictures) as root:
        return typst.compile(  # type: ignore[call-overload, no-any-return]
            texts,
            root=root,
            format=output,
            ppi=ppi,
            pdf_standards=list(pdf_standards),
            ignore_system_fonts=True,
        )


def svg_to_png(svg: str, ppi: float = 220) -> bytes:
    """Return a chart as PNG, for formats without SVG. `ppi`: pixels per inch at the width of a page's text."""
    return compile_typst({"main.typ": _SVG_PAGE, "chart.svg": svg.encode()}, "png", ppi=ppi)


@contextmanager
def _folder_of(pictures: Mapping[str, bytes]) -> Iterator[str]:
    """Yield a folder with nothing but these pictures; without any, the empty one."""
    if not pictures:
        yield _empty_folder().name
        return
    with TemporaryDirectory(prefix="hitchworth-reports-") as folder:
        for name, data in pictures.items():
            Path(folder, name).write_bytes(data)
        yield folder


@cache
def _empty_folder() -> TemporaryDirectory[str]:
    """Return the root for Typst: empty, so that a template can read nothing. Removed when the process ends."""
    return TemporaryDirectory(prefix="hitchworth-reports-")
