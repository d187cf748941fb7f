"""Same input, same output: nothing in the core asks what day it is or where it runs."""

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parents[2] / "api" / "hitchworth"
PURE = ("model", "validation", "valuation", "classification", "coverage", "protection", "appraisal.py")
OF_A_LIBRARY = {
    "date.today",
    "datetime.now",
    "datetime.utcnow",
    "datetime.today",
    "os.environ",
    "os.getenv",
    "Path.cwd",
}
BUILT_IN = {"open", "print", "input"}


def sources() -> Iterator[Path]:
    for room in PURE:
        path = PACKAGE / room
        yield from (path,) if path.suffix else path.rglob("*.py")


def asked_of_clock_or_place(source: str) -> list[str]:
    """Where a source asks the clock, the environment or a file, as `line: name`."""
    found = []
    for node in ast.walk(ast.parse(source)):
        match node:
            case ast.Attribute(value=ast.Name(id=owner), attr=name) if f"{owner}.{name}" in OF_A_LIBRARY:
                found.append(f"{node.lineno}: {owner}.{name}")
            case ast.Call(func=ast.Name(id=name)) if name in BUILT_IN:
                found.append(f"{node.lineno}: {name}")
    return found


@pytest.mark.parametrize("path", sorted(sources()), ids=lambda path: str(path.relative_to(PACKAGE)))
def test_core_asks_no_clock_and_no_place(path: Path) -> None:
    assert asked_of_clock_or_place(path.read_text("utf-8")) == []


def test_a_call_of_the_clock_would_be_seen() -> None:
    assert asked_of_clock_or_place("from datetime import date\nx = date.today()") == ["2: date.today"]
