"""The library of schedules: how the parts of a camping trailer lose value with age, by category or by statute."""

from functools import cache
from typing import Annotated, Literal, TypeAlias

from msgspec import Meta, Struct

from hitchworth.model.build import Schedule
from hitchworth.reference.load import read

ScheduleProvenance: TypeAlias = Literal["published", "common_practice"]
"""Where a schedule comes from.

published: a published table, statute or guide
common_practice: what the trade usually does; no published source
"""


class ScheduleRecord(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One schedule with its source."""

    name: Annotated[str, Meta(description="Name by which a component or labor entry refers to it.")]
    title: Annotated[str, Meta(description="What it is, in a few words.")]
    schedule: Annotated[Schedule, Meta(description="How percent good falls with age.")]
    categories: Annotated[tuple[str, ...], Meta(description="Lines of these categories follow it by default.")] = ()
    provenance: Annotated[ScheduleProvenance, Meta(description="Where the figures come from.")]
    source: Annotated[str, Meta(description="Where the figures are published; empty for common practice.")] = ""
    part_of_base: Annotated[
        bool,
        Meta(
            description="A plain trailer, as bought, comes with such parts; they are owed when a policy settles by "
            "class."
        ),
    ] = False


class _Library(Struct, frozen=True, forbid_unknown_fields=True):
    records: tuple[ScheduleRecord, ...]


@cache
def library_schedules() -> tuple[ScheduleRecord, ...]:
    """Return every schedule of the library."""
    return read("schedules.yaml", _Library).records


@cache
def _by_name() -> dict[str, ScheduleRecord]:
    return {record.name: record for record in library_schedules()}


@cache
def _by_category() -> dict[str, ScheduleRecord]:
    return {category: record for record in library_schedules() for category in record.categories}


def general_schedule() -> ScheduleRecord:
    """Return the schedule for a category that is not in the library."""
    return _by_name()["general"]


def schedule_named(name: str) -> ScheduleRecord | None:
    """Return the schedule of that name, or None."""
    return _by_name().get(name)


def schedule_for(category: str) -> ScheduleRecord:
    """Return the default schedule of a category: the general one for a category that is not in the library."""
    return _by_category().get(category) or general_schedule()


def library_categories() -> frozenset[str]:
    """Return every category in the library."""
    return frozenset(_by_category())


@cache
def base_categories() -> frozenset[str]:
    """Return the categories of parts that a plain trailer of the class comes with."""
    return frozenset(
        category for record in library_schedules() if record.part_of_base for category in record.categories
    )
