"""Reports: the first of a process, which loads what it needs, and those after it."""

from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from itertools import repeat
from multiprocessing import get_context
from time import process_time

from benchmark.timing import Effort, Job, Result, measured
from hitchworth.demo import demo_request
from hitchworth.operations.renderings import AS_REPORT
from hitchworth.operations.reports import create_report

GROUP = "Reports of the demo"


def printed(format_: str) -> bytes:
    """Return all reports of the demo as a file."""
    rendering = next(rendering for rendering in AS_REPORT if rendering.name == format_)
    return rendering.render(create_report(demo_request(), "all"))


def reports(effort: Effort, formats: tuple[str, ...]) -> Iterator[Result]:
    """Return what all reports cost in each format: again and again in this process, and first in a new one."""
    jobs = [Job(name=f"{name}, later", size=1, prepare=repeat(name).__next__, run=printed) for name in formats]
    later = list(measured(GROUP, jobs, effort))
    yield from later
    for name in formats:
        with ProcessPoolExecutor(max_workers=1, mp_context=get_context("spawn")) as one:
            seconds = one.submit(time_of_first, name).result()
        ratio = seconds / later[0].seconds
        yield Result(group=GROUP, name=f"{name}, first of a process", size=1, seconds=seconds, ratio=ratio)


def time_of_first(format_: str) -> float:
    """Return the processor time of this process for its first report."""
    start = process_time()
    printed(format_)
    return process_time() - start
