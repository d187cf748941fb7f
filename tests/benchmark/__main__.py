"""Measure everything, and print it as JSON or as the document of the results."""

import argparse
import platform
import sys
from collections.abc import Iterator
from importlib.metadata import version
from pathlib import Path
from tempfile import TemporaryDirectory

import msgspec
from msgspec import Struct

import benchmark
from benchmark import bodies, computations, http, kept, peers, printing, start
from benchmark.timing import Effort, Result, measured, rows
from hitchworth.web.server import tune_garbage_collector


class Plan(Struct, frozen=True):
    """What to measure, and for how long."""

    effort: Effort
    lines: tuple[int, ...]
    gaps: tuple[tuple[int, int, int], ...]
    """Policies, losses, open terms."""
    dates: tuple[int, ...]
    kept: tuple[int, ...]
    formats: tuple[str, ...]
    processes: bool
    """Also what takes processes of their own: the starts, the server, the office program."""


FULL = Plan(
    Effort(rounds=8, seconds_a_round=0.03),
    lines=(60, 300, 2000),
    gaps=((1, 1, 0), (2, 5, 0), (5, 10, 0), (1, 1, 3), (2, 5, 3), (5, 10, 3), (1, 1, 6), (2, 5, 6)),
    dates=(10, 40, 160),
    kept=(100, 400),
    formats=("html", "pdf", "docx", "markdown"),
    processes=True,
)
QUICK = Plan(
    Effort(rounds=4, seconds_a_round=0.01),
    lines=(60, 300),
    gaps=((1, 1, 0), (2, 3, 0), (1, 1, 3), (2, 3, 3)),
    dates=(10, 40),
    kept=(25, 50),
    formats=("html",),
    processes=False,
)
SMALLEST = Plan(
    Effort(rounds=1, seconds_a_round=0.0),
    lines=(5, 10),
    gaps=((1, 1, 0), (1, 2, 1)),
    dates=(2, 3),
    kept=(1, 2),
    formats=("html",),
    processes=False,
)


class Report(Struct, frozen=True):
    """All results, with the machine that they are from."""

    machine: str
    version: str
    results: tuple[Result, ...]


def results(plan: Plan, folder: Path) -> Iterator[Result]:
    """Measure what the plan says. `folder`: for the files that it takes."""
    effort, lines = plan.effort, plan.lines
    shapes: dict[bodies.Shape, str] = {"orders": "several lines a day", "singles": "every line on a day of its own"}
    for shape, words in shapes.items():
        jobs = list(computations.estimates(lines, shape))
        yield from measured(f"Estimates by the number of lines, {words}", jobs, effort)
    gaps = sorted(plan.gaps, key=lambda case: (case[0] * case[1], case[2]))
    for open_terms in sorted({case[2] for case in gaps}):
        jobs = list(computations.gap_statements([case for case in gaps if case[2] == open_terms], lines[0]))
        group = f"Gap statements of {lines[0]} lines by policies x losses, {open_terms} open terms"
        yield from measured(group, jobs, effort)
    jobs = list(computations.value_curves(plan.dates, lines[0]))
    yield from measured(f"Value curves of {lines[0]} lines by the number of dates", jobs, effort)
    yield from printing.reports(effort, plan.formats)
    yield from kept.kept_builds(plan.kept, folder, effort)
    jobs = list(peers.peers(lines, with_office=plan.processes))
    yield from measured("Other tools, by the number of parts", jobs, effort)
    if plan.processes:
        yield from http.estimates_over_http(lines, effort)
        yield from measured("Start of a process", list(start.starts(folder)), effort)


def machine() -> str:
    """Return the processor, the system and the interpreter."""
    try:
        names = [row for row in Path("/proc/cpuinfo").read_text("utf-8").splitlines() if row.startswith("model name")]
        processor = f"{len(names)} x {names[0].partition(':')[2].strip()}"
    except (OSError, IndexError):
        processor = platform.processor()
    return f"{processor}; {platform.system()} {platform.release()}; Python {platform.python_version()}"


def document(report: Report) -> str:
    """Return the document of the results."""
    head = (
        "# Speed",
        "",
        "How long one answer takes, by the size of what is asked. To measure it on your machine, in the source:",
        "`PYTHONPATH=tests .venv/bin/python -m benchmark > api/hitchworth/guide/speed.md`.",
        "",
        "- **Time** is processor time, the best of many rounds in which the jobs of a table take turns. Unless the row",
        "  says otherwise, each call gets a new build.",
        "- **Ratio** compares with the first row of the table at the same size. In most tables that is the floor:",
        "  typed decoding of the same body, and encoding of what was decoded.",
        "- **Growth** is the exponent from the size before: 1 is in proportion.",
        "",
        f"Version {report.version} on {report.machine}.",
        "",
    )
    return "\n".join([*head, *rows(report.results)]).rstrip() + "\n"


def main() -> None:
    """Run the command."""
    parser = argparse.ArgumentParser(prog="benchmark", description=benchmark.__doc__)
    parser.add_argument("--quick", action="store_true", help="less, and less exactly: under a minute")
    parser.add_argument("--json", action="store_true", help="print JSON instead of the document")
    arguments = parser.parse_args()
    tune_garbage_collector()  # as `hitchworth serve` does
    with TemporaryDirectory() as folder:
        found = tuple(results(QUICK if arguments.quick else FULL, Path(folder)))
    report = Report(machine(), version("hitchworth"), found)
    sys.stdout.write(msgspec.json.encode(report).decode() + "\n" if arguments.json else document(report))


if __name__ == "__main__":
    main()
