"""Dates in their order: nothing is in service, or removed, before it was acquired."""

from collections.abc import Iterator

from hitchworth.model.build import Build
from hitchworth.model.fault import Fault


def dates_out_of_order(build: Build) -> Iterator[Fault]:
    """In service and removed no earlier than acquired, removed no earlier than in service."""
    for index, part in enumerate(build.components):
        start = max(part.acquired_on, part.in_service_on or part.acquired_on)
        for name, day, earliest, what in (
            ("in_service_on", part.in_service_on, part.acquired_on, "acquired_on"),
            ("removed_on", part.removed_on, start, "acquired_on and in_service_on"),
        ):
            if day is not None and day < earliest:
                yield Fault(
                    pointer=f"/components/{index}/{name}",
                    detail="Dates out of order",
                    expected=f"{earliest} or later, as {what}",
                    found=day.isoformat(),
                )
