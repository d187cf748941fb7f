"""Refunds: what was taken back leaves the trailer on the day of the refund."""

from collections.abc import Iterator, Sequence
from decimal import Decimal
from itertools import groupby

from msgspec.structs import replace

from hitchworth.model.build import Build
from hitchworth.model.entry import Component
from hitchworth.money import Money, split

_OF_WHOLE_LINE = ("tax", "freight", "low", "likely", "high")
_SMALLEST_QUANTITY = Decimal("1E-12")


def with_refunds_applied(build: Build) -> Build:
    """Return the build without refunds: the units that each took back are a line of its id, removed on its day.

    What is for the whole line, such as its tax, is split by units, so that the parts add up. Where nothing is left of a
    component, its last refund becomes its own removal. A build without refunds is returned as it is.
    """
    refunds = sorted((part for part in build.components if part.refund_of is not None), key=_by_component_and_day)
    if not refunds:
        return build
    taken_back = {name: tuple(group) for name, group in groupby(refunds, key=lambda part: part.refund_of)}
    lines = {
        line.id: line
        for part in build.components
        if part.refund_of is None
        for line in _lines(part, taken_back.get(part.id, ()), build.currency)
    }
    kept = (lines[part.id] for part in build.components if part.id in lines)
    return replace(build, components=tuple(kept))


def _by_component_and_day(refund: Component) -> tuple[str, str, str]:
    return refund.refund_of or "", refund.acquired_on.isoformat(), refund.id


def _lines(part: Component, refunds: Sequence[Component], currency: str) -> Iterator[Component]:
    """Yield what stays of a component, then what each refund took back."""
    if not refunds:
        yield part
        return
    units = [abs(refund.quantity) for refund in refunds]
    stays = part.quantity - sum(units)
    *taken, last = (_removed(part, refund) for refund in refunds)
    if stays:
        taken.append(last)
        lines = [part, *taken]
        counts = [stays, *units]
    else:
        lines = [replace(part, removed_on=last.removed_on), *taken]
        counts = [units[-1], *units[:-1]]
    money, ids = Money(part.currency or currency), [line.id for line in lines]
    shares = {name: _shares(getattr(part, name), counts, ids, money) for name in _OF_WHOLE_LINE}
    for index, (line, count) in enumerate(zip(lines, counts, strict=True)):
        yield replace(line, quantity=count, **{name: amounts[index] for name, amounts in shares.items()})


def _removed(part: Component, refund: Component) -> Component:
    """Return the component as the refund's line, with nothing to put right. A removal before the refund stands."""
    removed_on = min(refund.acquired_on, part.removed_on or refund.acquired_on)
    return replace(
        part,
        id=refund.id,
        description=refund.description,
        note=refund.note,
        removed_on=removed_on,
        cost_to_cure=None,
    )


def _shares(
    amount: Decimal | None, counts: Sequence[Decimal], ids: Sequence[str], money: Money
) -> Sequence[Decimal | None]:
    """Split an amount by the units of each line; null stays null."""
    if amount is None:
        return [None] * len(counts)
    weights = [int(count / _SMALLEST_QUANTITY) for count in counts]
    return [money.from_minor_units(part) for part in split(money.to_minor_units(amount), weights, ids)]
