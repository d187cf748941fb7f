"""Dates in their order: nothing is removed before it was acquired, or before it was in service."""

from collections.abc import Iterator

from hitchworth.model.build import Build
from hitchworth.model.fault import Fault


def dates_out_of_order(build: Build) -> Iterator[Fault]:
    """Removed no earlier than acquired and in service. A second-hand part was in service before it was acquired."""
    for index, part in enumerate(build.components):
        start = max(part.acquired_on, part.in_service_on or part.acquired_on)
        if part.removed_on is not None and part.removed_on < start:
            yield Fault(
                pointer=f"/components/{index}/removed_on",
                detail="Dates out of order",
                expected=f"{start} or later, as acquired_on and in_service_on",
                found=part.removed_on.isoformat(),
            )


def effective_ages_missing(build: Build) -> Iterator[Fault]:
    """The day of an effective age goes with one."""
    for index, part in enumerate(build.components):
        if part.effective_age_on is not None and part.effective_age_years is None:
            yield Fault(
                pointer=f"/components/{index}/effective_age_years",
                detail="A day is given for it",
                expected="the effective age on that day, in years",
                found="nothing",
            )
