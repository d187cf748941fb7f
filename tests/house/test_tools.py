"""The rules of the code that tools check: style, types, and the direction of the imports."""

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
COMMANDS = (
    ("ruff", "check", "--no-cache", "."),
    ("ruff", "format", "--no-cache", "--check", "."),
    ("mypy", "api/hitchworth", "sdk/hitchworth_sdk", "tests"),
    ("lint-imports", "--no-cache"),
)


@pytest.mark.parametrize("command", COMMANDS, ids=" ".join)
def test_tool_finds_nothing(command: tuple[str, ...]) -> None:
    tool, *rest = command
    run = subprocess.run(
        [Path(sys.executable).with_name(tool), *rest], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert run.returncode == 0, run.stdout[-4000:] + run.stderr[-2000:]
