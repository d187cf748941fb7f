"""Two revaluations to what changed between them, build by build and in sum. Pure.

Both are read once, side by side. A build waits in memory only until its other side comes, so where the two have their
builds in nearly the same order, few wait.
"""

from collections import defaultdict, deque
from collections.abc import Callable, Iterable, Iterator
from decimal import Decimal
from itertools import zip_longest
from typing import TypeAlias, get_args

from hitchworth.model.portfolio import (
    ChangeKind,
    ChangeSum,
    PortfolioChanges,
    RevaluationChange,
    RevaluationTerms,
    RevaluedBuild,
)
from hitchworth.money import Money, precisely

FIGURES = ("replacement_cost", "actual_cash_value", "gap")

_Key: TypeAlias = tuple[str, str]
"""Id and currency of a build."""

_Waiting: TypeAlias = dict[_Key, deque[RevaluedBuild]]


def changes(before: Iterable[RevaluedBuild], after: Iterable[RevaluedBuild]) -> Iterator[RevaluationChange]:
    """Yield every build that has figures in either, also where nothing changed; those that were removed last.

    A build without figures counts as one that is not there, and one in another currency as another one.
    """
    early: _Waiting = defaultdict(deque)
    late: _Waiting = defaultdict(deque)
    for old, new in zip_longest(before, after):
        yield from _met(new, late, early, lambda new, old: _change(old, new))
        yield from _met(old, early, late, _change)
    yield from (_change(None, build) for waiting in late.values() for build in waiting)
    yield from (_change(build, None) for waiting in early.values() for build in waiting)


def _met(
    build: RevaluedBuild | None,
    own: _Waiting,
    other: _Waiting,
    change: Callable[[RevaluedBuild, RevaluedBuild], RevaluationChange],
) -> Iterator[RevaluationChange]:
    """Yield the change of a build whose other side has come before it; else it waits."""
    if build is None or build.currency is None:
        return
    key = build.id, build.currency
    if key not in other:
        own[key].append(build)
        return
    yield change(build, other[key].popleft())
    if not other[key]:
        del other[key]


def is_change(change: RevaluationChange) -> bool:
    """Return whether a build is not what it was: its document, or a figure of it."""
    return change.kind != "same_document" or any(
        getattr(change, f"{name}_before") != getattr(change, name) for name in FIGURES
    )


@precisely
def sum_of_changes(found: Iterable[RevaluationChange], since: RevaluationTerms) -> PortfolioChanges:
    """Return the changes in sum: in each currency, the kinds add up to the difference of the two sums."""
    sums: dict[tuple[str, ChangeKind], list[Decimal]] = {}
    counts: dict[tuple[str, ChangeKind], int] = defaultdict(int)
    for each in found:
        key = each.currency, each.kind
        counts[key] += 1
        zero = Money(each.currency).zero
        totals = sums.setdefault(key, [zero] * len(FIGURES))
        for index, name in enumerate(FIGURES):
            totals[index] += (getattr(each, name) or zero) - (getattr(each, f"{name}_before") or zero)
    return PortfolioChanges(
        since=since,
        sums=tuple(
            ChangeSum(
                currency=currency,
                kind=kind,
                builds=counts[currency, kind],
                **dict(zip(FIGURES, sums[currency, kind], strict=True)),
            )
            for currency in sorted({currency for currency, _ in sums})
            for kind in get_args(ChangeKind)
            if (currency, kind) in sums
        ),
    )


def _change(before: RevaluedBuild | None, after: RevaluedBuild | None) -> RevaluationChange:
    known = after or before
    assert known is not None
    assert known.currency is not None
    kind: ChangeKind = "added" if before is None else "removed"
    if before is not None and after is not None:
        kind = "same_document" if before.document == after.document else "edited"
    figures = {name: getattr(after, name, None) for name in FIGURES}
    figures |= {f"{name}_before": getattr(before, name, None) for name in FIGURES}
    return RevaluationChange(id=known.id, kind=kind, currency=known.currency, **figures)
