"""Options that can be reckoned with."""

from collections.abc import Iterator
from decimal import Decimal

from hitchworth.model.build import Build
from hitchworth.model.fault import Fault
from hitchworth.model.options import Options
from hitchworth.reference.schedules import schedule_named

LEAST_CONFIDENCE, GREATEST_CONFIDENCE = Decimal("0.5"), Decimal("0.999")


def confidence_out_of_range(options: Options) -> Iterator[Fault]:
    """A band at less than even odds, or at certainty, means nothing."""
    if not LEAST_CONFIDENCE <= options.confidence <= GREATEST_CONFIDENCE:
        yield Fault(
            pointer="/options/confidence",
            detail="Number out of bounds",
            expected=f"a number from {LEAST_CONFIDENCE} to {GREATEST_CONFIDENCE}",
            found=str(options.confidence),
        )


def unknown_whole(build: Build, options: Options) -> Iterator[Fault]:
    """The schedule for the whole trailer is one of the build's own or one of the published list."""
    name = options.whole_trailer_schedule
    if name is not None and name not in build.schedules and schedule_named(name) is None:
        yield Fault(
            pointer="/options/whole_trailer_schedule",
            detail="No schedule of this name",
            expected="a name from the build's schedules or from GET /v1/schedules",
            found=name,
        )
