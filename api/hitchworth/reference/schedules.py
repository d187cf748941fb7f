"""The library of schedules: how the parts of a camping trailer lose value with age, by category or by statute."""

from functools import cache, lru_cache
from typing import Annotated, Literal, NamedTuple, TypeAlias

from msgspec import Meta, Struct

from hitchworth.model.schedule import Schedule
from hitchworth.reference.load import read
from hitchworth.reference.words import Phrases, words_of

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
    numbered: Annotated[
        bool, Meta(description="Such things usually carry a serial number of their own (common practice).")
    ] = False


class _Library(Struct, frozen=True, forbid_unknown_fields=True):
    records: tuple[ScheduleRecord, ...]


@cache
def library_schedules() -> tuple[ScheduleRecord, ...]:
    """Return every schedule of the library."""
    return read("schedules.yaml", _Library).records


class ScheduleWords(Phrases, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The words of a description that name a thing with this schedule, where the line follows another."""

    schedule: str
    instead_of: tuple[str, ...]


class OtherSchedule(NamedTuple):
    """A schedule that a description names, and the words that do."""

    schedule: str
    words: str


@cache
def schedule_words() -> tuple[ScheduleWords, ...]:
    """Return the words for every schedule that a description can name."""
    return read("schedule_words.yaml", tuple[ScheduleWords, ...])


def other_schedule(schedule: str, description: str) -> OtherSchedule | None:
    """Return the schedule that the description names instead of this one.

    None where it names none, or this one too: an awning tent is both.
    """
    return _named_schedule(schedule, description) if schedule in _contradicted() else None


@lru_cache(maxsize=10_000)
def _named_schedule(schedule: str, description: str) -> OtherSchedule | None:
    words = frozenset(words_of(description))
    named = {entry.schedule: phrase for entry in schedule_words() if (phrase := entry.phrase_in(words)) is not None}
    if schedule in named:
        return None
    instead = (entry.schedule for entry in schedule_words() if schedule in entry.instead_of and entry.schedule in named)
    return next((OtherSchedule(name, named[name]) for name in instead), None)


@cache
def _contradicted() -> frozenset[str]:
    return frozenset(name for entry in schedule_words() for name in entry.instead_of)


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
