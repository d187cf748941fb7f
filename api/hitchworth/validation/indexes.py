"""Price indexes: the ones that are named exist, and a series goes from month to month."""

from collections.abc import Iterator
from decimal import Decimal
from itertools import chain, pairwise

from hitchworth.model.build import Build
from hitchworth.model.fault import Fault
from hitchworth.reference.price_indexes import price_index_named
from hitchworth.validation.pointer import step

LEAST_VALUE = Decimal("0.001")
"""Of an index. Series stand at 100 or so in their base month; a smaller value would make any price of any other."""


def unknown_indexes(build: Build) -> Iterator[Fault]:
    """A price index that is named is one of the build's own or one of the published list."""
    parts = ((f"/components/{index}", part.price_index) for index, part in enumerate(build.components))
    work = ((f"/labor/{index}", labor.price_index) for index, labor in enumerate(build.labor))
    for at, name in chain(parts, work):
        if name is not None and name not in build.price_indexes and price_index_named(name) is None:
            yield Fault(
                pointer=f"{at}/price_index",
                detail="No price index of this name",
                expected="a name from the build's price_indexes or from GET /v1/price-indexes",
                found=name,
            )


def broken_series(build: Build) -> Iterator[Fault]:
    """A series has at least one month, no month is left out, and no value is next to nothing.

    A gap is more often a slip than a month without a value; where a publisher left one out, the caller says what holds.
    """
    for name, months in build.price_indexes.items():
        at = step("/price_indexes", name)
        if not months:
            yield Fault(pointer=at, detail="The series is empty", expected="at least one month", found="none")
        for index, entry in enumerate(months):
            if entry.value < LEAST_VALUE:
                yield Fault(
                    pointer=f"{at}/{index}/value",
                    detail="No value of an index",
                    expected=f"at least {LEAST_VALUE}",
                    found=str(entry.value),
                )
        for index, (before, after) in enumerate(pairwise(months), start=1):
            following = _following(before.month)
            if following is not None and after.month != following:
                yield Fault(
                    pointer=f"{at}/{index}/month",
                    detail="The months do not follow one another",
                    expected=f"{following}, the month after {before.month}",
                    found=after.month,
                )


def _following(month: str) -> str | None:
    """The month after, as YYYY-MM; None after what could not be read as a month, which is a fault of its own."""
    year, _, number = month.partition("-")
    if not (year.isdecimal() and number.isdecimal()):
        return None
    return f"{int(year) + int(number) // 12:04}-{int(number) % 12 + 1:02}"
