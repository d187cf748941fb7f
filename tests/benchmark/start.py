"""The start of a process: the interpreter alone, the commands, the client."""

import os
import subprocess
import sys
from collections.abc import Iterator, Mapping
from itertools import repeat
from pathlib import Path
from resource import RUSAGE_CHILDREN, getrusage

from benchmark.timing import Job
from hitchworth.demo import demo_body

COMMAND = "from hitchworth.cli import main; main()"
ROUNDS = 5
ENVIRONMENT = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
"""Modules are compiled once, in the first round, as an installation has them."""


def time_of_children() -> float:
    """Return the processor time of the processes that this one has started and that have ended."""
    used = getrusage(RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def starts(folder: Path) -> Iterator[Job]:
    """What starts in a process of its own, beside the bare interpreter."""
    document = folder / "demo.json"
    document.write_bytes(demo_body())
    programs: Mapping[str, tuple[str, ...]] = {
        "the interpreter alone": ("pass",),
        "import the client": ("import hitchworth_sdk",),
        "hitchworth --version": (COMMAND, "--version"),
        "hitchworth --help": (COMMAND, "--help"),
        "hitchworth estimate": (COMMAND, "estimate", str(document)),
        "hitchworth gap": (COMMAND, "gap", str(document)),
    }
    for name, (code, *arguments) in programs.items():
        command = [sys.executable, "-c", code, *arguments]
        yield Job(
            name=name,
            size=1,
            prepare=repeat(command).__next__,
            run=_run,
            clock=time_of_children,
            most_rounds=ROUNDS,
        )


def _run(command: list[str]) -> None:
    subprocess.run(command, env=ENVIRONMENT, check=True, capture_output=True)
