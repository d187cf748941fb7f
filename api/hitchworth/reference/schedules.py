"""The library of schedules: how the parts of a camping trailer lose value with age, by category or by statute."""

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


SCHEDULES: tuple[ScheduleRecord, ...] = read("schedules.yaml", _Library).records

_BY_NAME = {record.name: record for record in SCHEDULES}
_BY_CATEGORY = {category: record for record in SCHEDULES for category in record.categories}

GENERAL = _BY_NAME["general"]
"""What a category follows that the library does not know."""


def schedule_named(name: str) -> ScheduleRecord | None:
    """The schedule of that name, or None."""
    return _BY_NAME.get(name)


def schedule_for(category: str) -> ScheduleRecord:
    """The schedule that lines of a category follow by default: GENERAL for a category that is not in the library."""
    return _BY_CATEGORY.get(category, GENERAL)


def library_categories() -> frozenset[str]:
    """Every category that the library knows."""
    return frozenset(_BY_CATEGORY)


def base_categories() -> frozenset[str]:
    """The categories of parts that a plain trailer of the class comes with."""
    return frozenset(category for record in SCHEDULES if record.part_of_base for category in record.categories)
