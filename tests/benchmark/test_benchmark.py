"""The benchmark runs, and the other tools that it measures come to the same figures as this program."""

from pathlib import Path
from shutil import which

import msgspec
import pytest

from benchmark import bodies, peers
from benchmark.__main__ import SMALLEST, Report, document, results
from benchmark.timing import Effort, Job, measured


def test_everything_is_measured_and_written(tmp_path: Path) -> None:
    """Six tables without those that take processes of their own, kept builds on PostgreSQL where it is installed."""
    report = Report("a machine", "0", tuple(results(SMALLEST, tmp_path)))
    assert all(result.seconds > 0 and result.ratio > 0 for result in report.results)
    groups = {result.group for result in report.results}
    assert {group.partition(" ")[0] for group in groups} == {"Estimates", "Gap", "Value", "Reports", "Kept", "Other"}
    text = document(report)
    assert all(f"\n## {group}\n" in text for group in groups)
    assert text.count("\n| ") == len(report.results) + 2 * len(groups)
    assert msgspec.json.decode(msgspec.json.encode(report), type=Report) == report


@pytest.mark.parametrize("tool", peers.IN_PROCESS)
def test_a_tool_that_is_compared_with_comes_to_the_same_cents(tool: str) -> None:
    body = bodies.request(bodies.plain_build(200))
    assert peers.IN_PROCESS[tool](body) == peers.this_program(body)


@pytest.mark.skipif(which("soffice") is None, reason="soffice is not installed")
def test_the_office_program_comes_to_the_same_cents() -> None:
    body = bodies.request(bodies.plain_build(50))
    assert peers.office(body) == peers.this_program(body)


def test_of_many_rounds_the_best_counts_and_jobs_take_turns() -> None:
    """A clock of our own: the floor takes 2, 1 and 1 seconds, the other job 6, 4 and 5; at twice the size, 4 times."""
    now, ran = 0.0, list[str]()
    lasting = {("floor", 10): [2, 1, 1], ("other", 10): [6, 4, 5]}
    lasting |= {("floor", 20): [2, 2, 2], ("other", 20): [16, 17, 18]}

    def job(name: str, size: int) -> Job:
        def run(_: object) -> None:
            nonlocal now
            ran.append(name)
            now += lasting[name, size].pop(0)

        return Job(name=name, size=size, run=run, clock=lambda: now)

    jobs = [job(name, size) for size in (10, 20) for name in ("floor", "other")]
    found = [(each.seconds, each.ratio, each.growth) for each in measured("group", jobs, Effort(3, 0))]
    assert found == [(1, 1, None), (4, 4, None), (2, 1, 1), (16, 8, 2)]
    assert ran == ["floor", "other"] * 6
