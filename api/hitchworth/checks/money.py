"""Currencies that exist, lines in another currency with their rate, and the least no more than the greatest."""

from collections.abc import Iterator

from hitchworth.model.build import Build, Component
from hitchworth.model.fault import Fault
from hitchworth.reference.currencies import exponent_of

_A_CODE = "a code of ISO 4217, such as USD, EUR, GBP"


def unknown_currencies(build: Build) -> Iterator[Fault]:
    """Every code is one of the list."""
    codes = [("/currency", build.currency)]
    codes += [
        (f"/components/{index}/currency", code)
        for index, part in enumerate(build.components)
        if (code := part.currency)
    ]
    for pointer, code in codes:
        if exponent_of(code) is None:
            yield Fault(pointer=pointer, detail="Unknown currency", expected=_A_CODE, found=code)


def rates_missing(build: Build) -> Iterator[Fault]:
    """A line in another currency says what one unit of it is worth."""
    for index, part in enumerate(build.components):
        if (part.currency or build.currency) != build.currency and not part.exchange_rate:
            yield Fault(
                pointer=f"/components/{index}/exchange_rate",
                detail=f"The line is in {part.currency}, the build in {build.currency}: a rate is needed",
                expected=f"units of {build.currency} for one {part.currency}, more than 0",
                found="nothing" if part.exchange_rate is None else str(part.exchange_rate),
            )


def low_above_high(build: Build) -> Iterator[Fault]:
    """The least plausible cost is no more than the greatest."""
    for index, part in enumerate(build.components):
        if _crossed(part):
            yield Fault(
                pointer=f"/components/{index}/low",
                detail="The low end is above the high end",
                expected=f"at most {part.high}",
                found=str(part.low),
            )


def _crossed(part: Component) -> bool:
    return part.low is not None and part.high is not None and part.low > part.high
