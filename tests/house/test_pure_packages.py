"""Same input, same output: the core reads no clock, no environment and no file."""

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parents[2] / "api" / "hitchworth"
PURE = ("model", "validation", "valuation", "classification", "coverage", "protection", "quoting", "appraisal.py")
LIBRARY_CALLS = {
    "date.today",
    "datetime.now",
    "datetime.utcnow",
    "datetime.today",
    "os.environ",
    "os.getenv",
    "Path.cwd",
}
BUILT_INS = {"open", "print", "input"}


def sources() -> Iterator[Path]:
    for name in PURE:
        path = PACKAGE / name
        yield from (path,) if path.suffix else path.rglob("*.py")


def impure_calls(source: str) -> list[str]:
    """Where a source reads the clock, the environment or a file, as `line: name`."""
    found = []
    for node in ast.walk(ast.parse(source)):
        match node:
            case ast.Attribute(value=ast.Name(id=owner), attr=name) if f"{owner}.{name}" in LIBRARY_CALLS:
                found.append(f"{node.lineno}: {owner}.{name}")
            case ast.Call(func=ast.Name(id=name)) if name in BUILT_INS:
                found.append(f"{node.lineno}: {name}")
    return found


@pytest.mark.parametrize("path", sorted(sources()), ids=lambda path: str(path.relative_to(PACKAGE)))
def test_the_core_reads_no_clock_no_environment_and_no_file(path: Path) -> None:
    assert impure_calls(path.read_text("utf-8")) == []


def test_a_call_of_the_clock_would_be_found() -> None:
    assert impure_calls("from datetime import date\nx = date.today()") == ["2: date.today"]
