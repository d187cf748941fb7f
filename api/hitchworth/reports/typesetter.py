"""The typesetter, shut in: it reads nothing from the system, no fonts and no folders, and fetches nothing."""

from functools import cache
from tempfile import TemporaryDirectory
from typing import Literal

import typst


def typeset(
    files: dict[str, bytes], form: Literal["pdf", "png"], *, standards: tuple[str, ...] = (), ppi: float | None = None
) -> bytes:
    """The document that main.typ among `files` describes. Standards are of PDF, points per inch of PNG."""
    # The stub of the typesetter does not know that files may be given by name, as its documentation says.
    return typst.compile(  # type: ignore[call-overload, no-any-return]
        files,
        root=_empty_folder().name,
        format=form,
        ppi=ppi,
        pdf_standards=list(standards),
        ignore_system_fonts=True,
    )


@cache
def _empty_folder() -> TemporaryDirectory[str]:
    """The typesetter's root: a template reaches nothing outside it, and nothing is in it. Removed at the end."""
    return TemporaryDirectory(prefix="hitchworth-sheets-")
