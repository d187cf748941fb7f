"""Schedules that exist, that have what their method needs, and nothing that speaks against it."""

from collections.abc import Iterator
from decimal import Decimal
from itertools import pairwise

from hitchworth.model.build import Build, Component, Labor, Schedule
from hitchworth.model.fault import Fault
from hitchworth.reference.schedules import schedule_named
from hitchworth.validation.pointer import step

_WITH_LIFE = frozenset({"straight_line", "declining_balance", "sum_of_years", "present_worth"})
_METHODS_OF = {
    "life_years": _WITH_LIFE,
    "factor": frozenset({"declining_balance"}),
    "rate": frozenset({"declining_balance"}),
    "switch_to_straight_line": frozenset({"declining_balance"}),
    "points": frozenset({"table"}),
    "interpolation": frozenset({"table"}),
    "discount_rate": frozenset({"present_worth"}),
}
"""The terms that not every method uses, with those that do."""


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


def unsound_schedules(build: Build) -> Iterator[Fault]:
    """A schedule that is given in full has a life, or points, as its method needs, and no terms of another method."""
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
    yield from _terms_of_others(schedule, pointer)
    if _needs_life(schedule) and not schedule.life_years:
        yield _needed(schedule, pointer, "life_years", "a life in years, more than 0")
    if schedule.method == "present_worth" and schedule.discount_rate is None:
        yield _needed(schedule, pointer, "discount_rate", "the yearly rate of interest")
    if schedule.method == "declining_balance":
        yield from _declining_faults(schedule, pointer)
    if schedule.method == "table":
        yield from _table_faults(schedule, pointer)


def _needs_life(schedule: Schedule) -> bool:
    """A fixed yearly rate says all by itself, unless it is to go over to straight line."""
    by_rate = schedule.method == "declining_balance" and schedule.rate is not None
    return schedule.method in _WITH_LIFE and not (by_rate and not schedule.switch_to_straight_line)


def _terms_of_others(schedule: Schedule, pointer: str) -> Iterator[Fault]:
    unset = Schedule(method=schedule.method)
    for name, methods in _METHODS_OF.items():
        given = getattr(schedule, name)
        if schedule.method not in methods and given != getattr(unset, name):
            yield Fault(
                pointer=step(pointer, name),
                detail=f"Method {schedule.method} does not use it",
                expected=f"nothing; it belongs to {' or '.join(sorted(methods))}",
                found=f"{len(given)} points" if isinstance(given, tuple) else str(given),
            )


def _declining_faults(schedule: Schedule, pointer: str) -> Iterator[Fault]:
    """A factor or a fixed rate, not both, and more than 0."""
    if schedule.factor is not None and schedule.rate is not None:
        yield Fault(
            pointer=step(pointer, "factor"),
            detail="The schedule has a fixed rate",
            expected="either a factor or a rate",
            found="both",
        )
    terms: tuple[tuple[str, Decimal | None], ...] = (("factor", schedule.factor), ("rate", schedule.rate))
    for name, given in terms:
        if given is not None and not given:
            yield _needed(schedule, pointer, name, "more than 0")


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
