"""What is printed: results, and what only a person who waits gets to see."""

import re
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from threading import Timer
from typing import Any

from msgspec import json
from rich.console import Console, RenderableType
from rich.text import Text

from hitchworth.cli.encodings import is_unicode, printable
from hitchworth.operations.tables import FilledTable, csv_table

_BEYOND_ASCII = re.compile(r"[^\x00-\x7f]")
_PATIENCE = 1.0
"""Seconds after which a person who waits is told what is being done."""


class _Terminal(Console):
    """A console that lays texts out as the terminal will show them, with stand-ins for what its encoding lacks."""

    def render_str(self, text: str, **more: Any) -> Text:
        """Return a text as it is measured and printed. Brackets and colons in it are those that somebody wrote."""
        return super().render_str(printable(text, self.encoding), **more)


def show_result(result: RenderableType) -> None:
    """Print a result, as wide as the terminal; its texts are plain strings, so that all are measured as printed."""
    _Terminal(highlight=False, markup=False, emoji=False).print(result)


def show_json(content: bytes) -> None:
    r"""Print JSON, indented; in an encoding other than Unicode with \u for what is not ASCII, so nothing is lost."""
    text = json.format(content).decode()
    if not is_unicode(getattr(sys.stdout, "encoding", "utf-8")):
        text = _BEYOND_ASCII.sub(_escape, text)
    print(text)


def show_csv(table: FilledTable, *, first: tuple[str, Sequence[str]] | None = None) -> None:
    """Print a table as the spreadsheet of its locale reads it: in UTF-8, whatever the terminal uses.

    first: a column before the others, its name and its cells.
    """
    sys.stdout.flush()
    sys.stdout.buffer.write(csv_table(table, first=first).encode())
    sys.stdout.buffer.flush()


def _escape(found: re.Match[str]) -> str:
    units = found[0].encode("utf-16-be")
    return "".join(f"\\u{units[at : at + 2].hex()}" for at in range(0, len(units), 2))


def warn(text: str) -> None:
    """Print a warning or an error of the program to standard error."""
    print(f"hitchworth: {text}", file=sys.stderr)


@contextmanager
def waiting(doing: str, quiet: bool = False) -> Iterator[None]:
    """Say on a terminal what is being done, as soon as it has taken a second, and until it is done."""
    console = Console(stderr=True, markup=False, emoji=False)
    if quiet or not console.is_terminal:
        yield
        return
    status = console.status(Text(doing))
    timer = Timer(_PATIENCE, status.start)
    timer.start()
    try:
        yield
    finally:
        timer.cancel()
        timer.join()
        status.stop()
