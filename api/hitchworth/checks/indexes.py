"""Price indexes: the ones that are named exist, and the months of a series rise."""

from collections.abc import Iterator
from decimal import Decimal
from itertools import pairwise

from hitchworth.checks.pointer import step
from hitchworth.model.build import Build
from hitchworth.model.fault import Fault
from hitchworth.reference.price_indexes import price_index_named

LEAST_VALUE = Decimal("0.001")
"""Of an index. Series stand at 100 or so in their base month; a smaller value would make any price of any other."""


def unknown_indexes(build: Build) -> Iterator[Fault]:
    """A price index that is named is one of the build's own or one of the published list."""
    for index, part in enumerate(build.components):
        name = part.price_index
        if name is not None and name not in build.price_indexes and price_index_named(name) is None:
            yield Fault(
                pointer=f"/components/{index}/price_index",
                detail="No price index of this name",
                expected="a name from the build's price_indexes or from GET /v1/price-indexes",
                found=name,
            )


def broken_series(build: Build) -> Iterator[Fault]:
    """A series has at least one month, its months rise (one may be left out), and no value is next to nothing."""
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
            if after.month <= before.month:
                yield Fault(
                    pointer=f"{at}/{index}/month",
                    detail="The months are out of order",
                    expected=f"a month after {before.month}",
                    found=after.month,
                )
