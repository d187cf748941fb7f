"""Docstrings and descriptions are whole texts: no break between two literals is left inside one."""

import re
from pathlib import Path

import pytest

from american_texts import docstrings

ROOT = Path(__file__).parents[2]
SOURCES = sorted(path for folder in ("api", "sdk", "tests") for path in (ROOT / folder).rglob("*.py"))
BREAK = re.compile(r'"\s*\n\s*"')
"""A quote, the end of the line, a quote: two literals on two lines, read as one text."""


def broken(source: str) -> list[str]:
    """Return the docstrings with such a break."""
    return [text for text in docstrings(source) if BREAK.search(text)]


@pytest.mark.parametrize("path", SOURCES, ids=lambda path: str(path.relative_to(ROOT)))
def test_no_docstring_has_a_break_between_literals_in_it(path: Path) -> None:
    assert broken(path.read_text("utf-8")) == []


@pytest.mark.parametrize(
    "source", ['"""One "\n"two."""\n', 'X = 1\n"""One "\n"two."""\n', 'class A:\n    """One "\n    "two."""\n']
)
def test_a_break_between_literals_is_found(source: str) -> None:
    assert len(broken(source)) == 1
