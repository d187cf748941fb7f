"""Every code that the core writes into its records, read from its source: a new one cannot slip past the texts."""

import ast
from collections.abc import Iterator
from pathlib import Path

CORE = Path(__file__).parents[1] / "api" / "hitchworth"
PACKAGES = ("valuation", "classification", "coverage", "quoting")
MODULES = ("appraisal.py",)


STEP_CALLS = {"Step", "take", "cap", "_not_covered"}


def note_codes() -> set[str]:
    """Codes of notes: `Note(code=...)`, `notes.add(...)`, and a `code` that is chosen first and used after."""
    values: list[ast.expr | None] = []
    for node in _nodes():
        if isinstance(node, ast.Call) and (_called(node) == "Note" or _adds_note(node)):
            values.append(_first(node))
        elif isinstance(node, ast.Assign) and ast.unparse(node.targets[0]) == "code":
            values.append(node.value)
    return {code for value in values for code in _texts(value)}


def step_codes() -> set[str]:
    """Codes of the steps of a settlement: those entered in its account, and the one that stands for them."""
    calls = (node for node in _nodes() if isinstance(node, ast.Call) and _called(node) in STEP_CALLS)
    return {code for call in calls for code in _texts(_first(call))} | {"assumed_not_covered"}


def _nodes() -> Iterator[ast.AST]:
    paths = [path for package in PACKAGES for path in sorted((CORE / package).rglob("*.py"))]
    for path in (*paths, *(CORE / module for module in MODULES)):
        yield from ast.walk(ast.parse(path.read_text("utf-8")))


def _adds_note(call: ast.Call) -> bool:
    return _called(call) == "add" and ast.unparse(call.func).endswith("notes.add")


def _called(call: ast.Call) -> str:
    return call.func.attr if isinstance(call.func, ast.Attribute) else getattr(call.func, "id", "")


def _first(call: ast.Call) -> ast.expr | None:
    named = [keyword.value for keyword in call.keywords if keyword.arg == "code"]
    positional = call.args[1:] if _called(call) == "_not_covered" else call.args
    return next(iter([*named, *positional]), None)


def _texts(value: ast.expr | None) -> Iterator[str]:
    """The texts that an argument can be: one, or either of a choice."""
    if isinstance(value, ast.IfExp):
        yield from _texts(value.body)
        yield from _texts(value.orelse)
    elif isinstance(value, ast.Constant) and isinstance(value.value, str):
        yield value.value
