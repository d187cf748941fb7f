"""Groups of categories in which a report for the insurer shows the value of a trailer."""

from functools import cache

from msgspec import Struct

from hitchworth.reference.category_groups import CONTENTS, belongs
from hitchworth.reference.load import read
from hitchworth.reference.schedules import schedule_for


class ValueGroup(Struct, frozen=True, forbid_unknown_fields=True):
    """A group, and the schedules whose categories belong to it."""

    name: str
    schedules: tuple[str, ...]


@cache
def value_groups() -> tuple[ValueGroup, ...]:
    """Return every group, in the order of a report."""
    return read("value_groups.yaml", tuple[ValueGroup, ...])


def value_group_of(category: str) -> str:
    """Return the name of the group of a category: contents by its words, the others by the schedule it follows."""
    return CONTENTS if belongs(category, CONTENTS) else _by_schedule()[schedule_for(category).name]


@cache
def _by_schedule() -> dict[str, str]:
    return {schedule: group.name for group in value_groups() for schedule in group.schedules}
