"""A headless spreadsheet program as a second opinion: formulas in, what it makes of them out.

Cells are written as a flat OpenDocument sheet without values, so that the program has to compute every one.
"""

import csv
import subprocess
from collections.abc import Sequence
from pathlib import Path
from typing import TypeAlias
from xml.sax.saxutils import quoteattr

from installed import installed

Cell: TypeAlias = str | float
"""A formula (it begins with "="), or a number, or a text."""

AS_CSV = "csv:Text - txt - csv (StarCalc):44,34,76,1,,0,false,false,false"
"""Comma, quotes, UTF-8, from the first line on; numbers as they are, not as they are shown."""

NAMES = {
    "office": "urn:oasis:names:tc:opendocument:xmlns:office:1.0",
    "table": "urn:oasis:names:tc:opendocument:xmlns:table:1.0",
    "text": "urn:oasis:names:tc:opendocument:xmlns:text:1.0",
    "of": "urn:oasis:names:tc:opendocument:xmlns:of:1.2",
}


def recalculated(rows: Sequence[Sequence[Cell]], folder: Path) -> list[list[str]]:
    """The cells as the program computes them. Each run has a profile of its own, so several can run at a time."""
    program = installed("soffice", package="libreoffice-calc")
    sheet = folder / "sheet.fods"
    sheet.write_text(_document(rows), "utf-8")
    profile = f"-env:UserInstallation={(folder / 'profile').as_uri()}"
    command = [
        program,
        "--headless",
        "--norestore",
        profile,
        "--convert-to",
        AS_CSV,
        "--outdir",
        str(folder),
        str(sheet),
    ]
    run = subprocess.run(command, capture_output=True, text=True, timeout=120, check=False)
    assert run.returncode == 0, run.stderr
    return list(csv.reader((folder / "sheet.csv").read_text("utf-8").splitlines()))


def _document(rows: Sequence[Sequence[Cell]]) -> str:
    names = " ".join(f'xmlns:{prefix}="{name}"' for prefix, name in NAMES.items())
    body = "".join(f"<table:table-row>{''.join(map(_cell, row))}</table:table-row>" for row in rows)
    return (
        f'<?xml version="1.0" encoding="UTF-8"?><office:document {names} office:version="1.3" '
        'office:mimetype="application/vnd.oasis.opendocument.spreadsheet"><office:body><office:spreadsheet>'
        f'<table:table table:name="lines">{body}</table:table></office:spreadsheet></office:body></office:document>'
    )


def _cell(cell: Cell) -> str:
    if isinstance(cell, str) and cell.startswith("="):
        return f"<table:table-cell table:formula={quoteattr('of:' + cell)}/>"
    if isinstance(cell, str):
        return f'<table:table-cell office:value-type="string" office:string-value={quoteattr(cell)}/>'
    return f'<table:table-cell office:value-type="float" office:value="{cell!r}"/>'
