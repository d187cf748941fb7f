"""Schedules that exist, and that have what their method needs."""

from collections.abc import Iterator
from itertools import pairwise

from hitchworth.checks.pointer import step
from hitchworth.model.build import Build, Component, Labor, Schedule
from hitchworth.model.fault import Fault
from hitchworth.reference.schedules import schedule_named

_WITH_LIFE = frozenset({"straight_line", "declining_balance", "sum_of_years", "present_worth"})


def unknown_schedules(build: Build) -> Iterator[Fault]:
    """A schedule that is named is one of the build's own or one of the published list."""
    for pointer, schedule in _schedules_of_lines(build):
        if isinstance(schedule, str) and schedule not in build.schedules and schedule_named(schedule) is None:
            yield Fault(
                pointer=pointer,
                detail="No schedule of this name",
                expected="a name from the build's schedules or from GET /v1/schedules, or a schedule",
                found=schedule,
            )


def incomplete_schedules(build: Build) -> Iterator[Fault]:
    """A schedule that is given in full has a life, or points, as its method needs."""
    given = [(step("/schedules", name), schedule) for name, schedule in build.schedules.items()]
    given += [(pointer, schedule) for pointer, schedule in _schedules_of_lines(build) if isinstance(schedule, Schedule)]
    for pointer, schedule in given:
        yield from _schedule_faults(schedule, pointer)


def _schedules_of_lines(build: Build) -> Iterator[tuple[str, str | Schedule]]:
    lines: tuple[tuple[str, tuple[Component | Labor, ...]], ...] = (
        ("components", build.components),
        ("labor", build.labor),
    )
    for name, entries in lines:
        for index, entry in enumerate(entries):
            if entry.schedule is not None:
                yield f"/{name}/{index}/schedule", entry.schedule


def _schedule_faults(schedule: Schedule, pointer: str) -> Iterator[Fault]:
    if schedule.method in _WITH_LIFE and not schedule.life_years:
        yield _needed(schedule, pointer, "life_years", "a life in years, more than 0")
    if schedule.method == "present_worth" and schedule.discount_rate is None:
        yield _needed(schedule, pointer, "discount_rate", "the yearly rate of interest")
    if schedule.method == "table":
        yield from _table_faults(schedule, pointer)


def _needed(schedule: Schedule, pointer: str, name: str, expected: str) -> Fault:
    given = getattr(schedule, name)
    return Fault(
        pointer=step(pointer, name),
        detail=f"Method {schedule.method} needs it",
        expected=expected,
        found="nothing" if given is None else str(given),
    )


def _table_faults(schedule: Schedule, pointer: str) -> Iterator[Fault]:
    if not schedule.points:
        yield Fault(
            pointer=step(pointer, "points"), detail="Method table needs it", expected="at least one point", found="none"
        )
    for index, (before, after) in enumerate(pairwise(schedule.points), start=1):
        at = f"{pointer}/points/{index}"
        if after.age_years <= before.age_years:
            yield Fault(
                pointer=f"{at}/age_years",
                detail="The points are in the order of age",
                expected=f"more than {before.age_years}",
                found=str(after.age_years),
            )
        if after.percent_good > before.percent_good:
            yield Fault(
                pointer=f"{at}/percent_good",
                detail="Percent good never rises with age",
                expected=f"at most {before.percent_good}",
                found=str(after.percent_good),
            )
