"""Rules for depreciation schedules and price indexes: the named ones exist, and the build's own ones are complete."""

from collections.abc import Collection, Iterator
from decimal import Decimal
from itertools import pairwise

from hitchworth.model.build import Build
from hitchworth.model.entry import Component, Labor
from hitchworth.model.fault import Fault
from hitchworth.model.options import Options
from hitchworth.model.schedule import Schedule
from hitchworth.reference.price_indexes import price_indexes
from hitchworth.reference.schedules import library_schedules
from hitchworth.validation.json_pointer import child_pointer
from hitchworth.validation.names import duplicates, unknown_name

MIN_INDEX_VALUE = Decimal("0.001")
"""Price indexes are about 100 in their base month. A smaller value could turn any price into any other."""

_WITH_LIFE = frozenset({"straight_line", "declining_balance", "sum_of_years", "present_worth"})
_METHODS_BY_TERM = {
    "life_years": _WITH_LIFE,
    "factor": frozenset({"declining_balance"}),
    "rate": frozenset({"declining_balance"}),
    "switch_to_straight_line": frozenset({"declining_balance"}),
    "points": frozenset({"table"}),
    "interpolation": frozenset({"table"}),
    "discount_rate": frozenset({"present_worth"}),
}
"""The terms that only some methods use, with those methods."""

_PUBLISHED_SCHEDULES = frozenset(record.name for record in library_schedules())


def unknown_schedules(build: Build) -> Iterator[Fault]:
    """A schedule named by a component or labor entry is one of the build's own or a published one."""
    for pointer, schedule in _line_schedules(build):
        if isinstance(schedule, str):
            yield from unknown_schedule(schedule, build.schedules, pointer, ", or a schedule")


def unknown_whole_trailer_schedule(options: Options, own: Collection[str]) -> Iterator[Fault]:
    """The schedule for the whole trailer is one of the build's own or a published one."""
    if options.whole_trailer_schedule is not None:
        yield from unknown_schedule(options.whole_trailer_schedule, own, "/options/whole_trailer_schedule")


def unknown_schedule(name: str, own: Collection[str] | None, pointer: str, alternative: str = "") -> Iterator[Fault]:
    """Yield a fault when a name is none of the build's own schedules and none is published under it.

    `own`: None where there is no build.
    """
    if name not in (own or ()) and name not in _PUBLISHED_SCHEDULES:
        of_build = "" if own is None else "the build's schedules or from "
        expected = f"a name from {of_build}GET /v1/schedules{alternative}"
        known = {*(own or ()), *_PUBLISHED_SCHEDULES}
        yield from unknown_name(name, known, pointer, "No schedule has this name", expected)


def invalid_schedules(build: Build) -> Iterator[Fault]:
    """A schedule given in full has the terms that its method needs, and none that only other methods use."""
    for name, schedule in build.schedules.items():
        yield from schedule_faults(schedule, child_pointer("/schedules", name))
    for pointer, line_schedule in _line_schedules(build):
        if isinstance(line_schedule, Schedule):
            yield from schedule_faults(line_schedule, pointer)


def _line_schedules(build: Build) -> Iterator[tuple[str, str | Schedule]]:
    """Yield the schedules of components and labor entries, with their pointers."""
    lines: tuple[tuple[str, tuple[Component | Labor, ...]], ...] = (
        ("components", build.components),
        ("labor", build.labor),
    )
    for name, entries in lines:
        for index, entry in enumerate(entries):
            if entry.schedule is not None:
                yield f"/{name}/{index}/schedule", entry.schedule


def schedule_faults(schedule: Schedule, pointer: str) -> Iterator[Fault]:
    """Yield the faults of a schedule that is written out: terms that its method lacks, or does not use."""
    yield from _unused_terms(schedule, pointer)
    if _needs_life(schedule) and not schedule.life_years:
        yield _needed(schedule, pointer, "life_years", "a life in years, greater than 0")
    if schedule.method == "present_worth" and schedule.discount_rate is None:
        yield _needed(schedule, pointer, "discount_rate", "a yearly interest rate")
    if schedule.method == "declining_balance":
        yield from _declining_balance_faults(schedule, pointer)
    if schedule.method == "table":
        yield from _table_faults(schedule, pointer)


def _needs_life(schedule: Schedule) -> bool:
    """Return whether the method needs a life. A fixed rate replaces it, unless it switches to straight line."""
    by_rate = schedule.method == "declining_balance" and schedule.rate is not None
    return schedule.method in _WITH_LIFE and not (by_rate and not schedule.switch_to_straight_line)


def _unused_terms(schedule: Schedule, pointer: str) -> Iterator[Fault]:
    defaults = Schedule(method=schedule.method)
    for name, methods in _METHODS_BY_TERM.items():
        given = getattr(schedule, name)
        if schedule.method not in methods and given != getattr(defaults, name):
            yield Fault(
                pointer=child_pointer(pointer, name),
                detail=f"Method {schedule.method} does not use {name}",
                expected=f"nothing; only {', '.join(sorted(methods))} uses it",
                found=f"{len(given)} points" if isinstance(given, tuple) else str(given),
            )


def _declining_balance_faults(schedule: Schedule, pointer: str) -> Iterator[Fault]:
    """The decline is a factor or a fixed rate, not both, and greater than 0."""
    if schedule.factor is not None and schedule.rate is not None:
        yield Fault(
            pointer=child_pointer(pointer, "factor"),
            detail="The schedule also has a fixed rate",
            expected="either factor or rate",
            found="both",
        )
    terms: tuple[tuple[str, Decimal | None], ...] = (("factor", schedule.factor), ("rate", schedule.rate))
    for name, given in terms:
        if given is not None and not given:
            yield _needed(schedule, pointer, name, "a number greater than 0")


def _needed(schedule: Schedule, pointer: str, name: str, expected: str) -> Fault:
    given = getattr(schedule, name)
    return Fault(
        pointer=child_pointer(pointer, name),
        detail=f"Method {schedule.method} needs {name}" if given is None else "Must be greater than 0",
        expected=expected,
        found="nothing" if given is None else str(given),
    )


def _table_faults(schedule: Schedule, pointer: str) -> Iterator[Fault]:
    if not schedule.points:
        yield Fault(
            pointer=child_pointer(pointer, "points"),
            detail="Method table needs points",
            expected="at least one point",
            found="none",
        )
    for index, (before, after) in enumerate(pairwise(schedule.points), start=1):
        at = f"{pointer}/points/{index}"
        if after.age_years <= before.age_years:
            yield Fault(
                pointer=f"{at}/age_years",
                detail="Points are not in order of age",
                expected=f"more than {before.age_years}",
                found=str(after.age_years),
            )
        if after.percent_good > before.percent_good:
            yield Fault(
                pointer=f"{at}/percent_good",
                detail="Percent good must not rise with age",
                expected=f"at most {before.percent_good}",
                found=str(after.percent_good),
            )


def unknown_price_indexes(build: Build) -> Iterator[Fault]:
    """A price index named by a component or labor entry is one of the build's own or a published one."""
    lines: tuple[tuple[str, tuple[Component | Labor, ...]], ...] = (
        ("components", build.components),
        ("labor", build.labor),
    )
    for group, entries in lines:
        for index, entry in enumerate(entries):
            if entry.price_index is not None:
                at = f"/{group}/{index}/price_index"
                yield from unknown_price_index(entry.price_index, build.price_indexes, at)


def unknown_price_index(name: str | None, own: Collection[str] | None, pointer: str) -> Iterator[Fault]:
    """Yield a fault when a name is none of the build's own price indexes and none is published under it.

    `own`: None where there is no build. Null names none.
    """
    if name is not None and name not in (own or ()) and name not in price_indexes():
        of_build = "" if own is None else "the build's price_indexes or from "
        expected = f"a name from {of_build}GET /v1/price-indexes"
        yield from unknown_name(
            name, {*(own or ()), *price_indexes()}, pointer, "No price index has this name", expected
        )


def invalid_price_indexes(build: Build) -> Iterator[Fault]:
    """A price index has at least one month, each month once, and no value is near 0.

    Months may be left out: cost manuals print quarterly or yearly multipliers. A note says which value was held.
    """
    for name, months in build.price_indexes.items():
        at = child_pointer("/price_indexes", name)
        if not months:
            yield Fault(pointer=at, detail="The price index is empty", expected="at least one month", found="none")
        for index, entry in enumerate(months):
            if entry.value < MIN_INDEX_VALUE:
                yield Fault(
                    pointer=f"{at}/{index}/value",
                    detail="Index value is too small",
                    expected=f"at least {MIN_INDEX_VALUE}",
                    found=str(entry.value),
                )
        # A month that could not be read has a fault of its own.
        readable = (entry.month if entry.month[:4].isdecimal() else None for entry in months)
        yield from duplicates("month", {f"{at}/{{}}/month": readable})
