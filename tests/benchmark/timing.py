"""Measuring: jobs that take turns, the best of many rounds, and how the time grows with the size."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from itertools import groupby
from math import inf, log
from time import process_time
from typing import Any

from msgspec import Struct
from msgspec.structs import replace


class Effort(Struct, frozen=True):
    """How long to measure."""

    rounds: int
    seconds_a_round: float
    """At least once, and as often as fits in."""


class Job(Struct, frozen=True, kw_only=True):
    """Something to measure at one size."""

    name: str
    size: int
    run: Callable[[Any], object]
    prepare: Callable[[], Any] = lambda: None
    """Returns what to run it with, each time anew. Its own time does not count."""
    clock: Callable[[], float] = process_time
    """Returns the seconds that were used so far."""
    most_rounds: int | None = None
    """Of a job that takes seconds."""


class Result(Struct, frozen=True, kw_only=True):
    """What one run of a job takes."""

    group: str
    name: str
    size: int
    seconds: float
    ratio: float
    """To the first job of the group at the same size."""
    growth: float | None = None
    """The exponent by which the time grows from the size before: 1 is in proportion, 2 is with the square."""


def measured(group: str, jobs: Sequence[Job], effort: Effort) -> Iterator[Result]:
    """Return the results of jobs, by size and then in their order; those of one size take turns."""
    by_name: dict[str, Result] = {}
    for size, of_size in groupby(jobs, key=lambda job: job.size):
        times = _best(list(of_size), effort)
        floor = next(iter(times.values()))
        for name, seconds in times.items():
            found = Result(group=group, name=name, size=size, seconds=seconds, ratio=seconds / floor)
            by_name[name] = replace(found, growth=_growth(by_name.get(name), found))
            yield by_name[name]


def _best(jobs: Sequence[Job], effort: Effort) -> dict[str, float]:
    best = {job.name: inf for job in jobs}
    for number in range(effort.rounds):
        for job in jobs:
            if job.most_rounds is None or number < job.most_rounds:
                best[job.name] = min(best[job.name], _round(job, effort.seconds_a_round))
    return best


def _round(job: Job, seconds: float) -> float:
    """Return the mean of one round."""
    runs, used = 0, 0.0
    while not runs or used < seconds:
        argument, start = job.prepare(), job.clock()
        job.run(argument)
        used += job.clock() - start
        runs += 1
    return used / runs


def _growth(before: Result | None, now: Result) -> float | None:
    if before is None or before.size == now.size or not (before.seconds and now.seconds):
        return None
    return log(now.seconds / before.seconds) / log(now.size / before.size)


def rows(results: Iterable[Result]) -> Iterator[str]:
    """Yield the results as tables in Markdown, one for each group."""
    for group, found in groupby(results, key=lambda result: result.group):
        yield from (f"## {group}", "", "| What | Size | Time | Ratio | Growth |", "| --- | ---: | ---: | ---: | ---: |")
        for each in found:
            growth = "" if each.growth is None else f"{each.growth:.2f}"
            yield f"| {each.name} | {each.size:,} | {_time(each.seconds)} | {each.ratio:.2f} | {growth} |"
        yield ""


def _time(seconds: float) -> str:
    for unit, name in ((1, "s"), (1e-3, "ms")):
        if seconds >= unit:
            return f"{seconds / unit:.2f} {name}"
    return f"{seconds * 1e6:.0f} µs"
