"""The comparison of two estimates: line by line, what moved replacement cost and actual cash value."""

from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from decimal import localcontext
from typing import NamedTuple, TypeAlias, get_args

from hitchworth.model.build import Build, Component
from hitchworth.model.estimate_comparison import (
    ComparedEstimate,
    Effect,
    EffectAmount,
    EffectTotal,
    EstimateComparison,
    LineChange,
    LineEffect,
)
from hitchworth.model.note import Note
from hitchworth.model.options import Options
from hitchworth.valuation.cost import Entry, EntryCost, Pricing
from hitchworth.valuation.line_effects import EffectStep, Sides, moves, whole_line
from hitchworth.valuation.money import PRECISE, Money
from hitchworth.valuation.remarks import Remarks
from hitchworth.valuation.rollup import totals
from hitchworth.valuation.trending import PriceIndexes
from hitchworth.valuation.valued_build import ValuedBuild, valued_build
from hitchworth.valuation.valued_line import Valued, described

Key: TypeAlias = tuple[type, str]
"""What a line is known by in both builds: component or labor, and its id."""

Moved: TypeAlias = tuple[Valued, list[EffectStep]]


class Dated(NamedTuple):
    """A build on a date."""

    build: Build
    as_of: date


def comparison(before: Dated, after: Dated, order: Sequence[LineEffect], options: Options) -> EstimateComparison:
    """Compare two checked builds of one currency. Every effect must be in the order once.

    A line with the same id in both is the same line. Raises ValueError as `estimate` does.
    """
    with localcontext(PRECISE):
        money = Money(before.build.currency, options.rounding)
        remarks = Remarks(), Remarks()
        first = valued_build(before.build, before.as_of, options, money, remarks[0])
        second = valued_build(after.build, after.as_of, options, money, remarks[1])
        pricing = _Pricing(before, money), _Pricing(after, money)
        moved = list(_moved(first, second, pricing, order, money))
        changed = [(line, found) for line, found in moved if found]
        old, new = _short(before, first, money), _short(after, second, money)
    return EstimateComparison(
        currency=before.build.currency,
        before=old,
        after=new,
        replacement_cost=new.totals.replacement_cost - old.totals.replacement_cost,
        actual_cash_value=new.totals.actual_cash_value - old.totals.actual_cash_value,
        order=tuple(order),
        effects=tuple(_effects([move for _, found in changed for move in found], money)),
        lines=tuple(_change(line, found, money) for line, found in changed),
        unchanged=len(moved) - len(changed),
        notes=tuple(_notes(remarks)),
    )


class _Pricing:
    """Prices an entry as a build does on its date; the remarks were made when the build was valued."""

    def __init__(self, dated: Dated, money: Money) -> None:
        unheard = Remarks()
        indexes = PriceIndexes(dated.build.price_indexes, dated.as_of, unheard)
        self._pricing = Pricing(dated.build.currency, dated.as_of, money, indexes, unheard)

    def __call__(self, entry: Entry) -> EntryCost:
        return self._pricing.component(entry) if isinstance(entry, Component) else self._pricing.labor(entry)


def _moved(
    before: ValuedBuild,
    after: ValuedBuild,
    pricing: tuple[_Pricing, _Pricing],
    order: Sequence[LineEffect],
    money: Money,
) -> Iterator[Moved]:
    """Every line of before in its order, with what moved it, then those that were added."""
    old, new = _by_key(before.lines), _by_key(after.lines)
    for key, line in old.items():
        there = new.get(key)
        if there is None:
            yield line, [whole_line("removed", line, -1)]
        else:
            yield there, list(moves(Sides(line, there, *pricing), order, money))
    yield from ((line, [whole_line("added", line, 1)]) for key, line in new.items() if key not in old)


def _by_key(lines: Iterable[Valued]) -> dict[Key, Valued]:
    return {(type(line.cost.entry), line.cost.entry.id): line for line in lines}


def _short(dated: Dated, valued: ValuedBuild, money: Money) -> ComparedEstimate:
    return ComparedEstimate(name=dated.build.name, as_of=dated.as_of, totals=totals(valued.lines, valued.added, money))


def _effects(found: Sequence[EffectStep], money: Money) -> Iterator[EffectTotal]:
    for effect in get_args(Effect):
        of_effect = [move for move in found if move.effect == effect]
        if of_effect:
            yield EffectTotal(
                effect=effect,
                lines=len(of_effect),
                replacement_cost=money.amount(sum(move.replacement_cost for move in of_effect)),
                actual_cash_value=money.amount(sum(move.actual_cash_value for move in of_effect)),
            )


def _change(line: Valued, found: Sequence[EffectStep], money: Money) -> LineChange:
    kind, description = described(line.cost.entry)
    return LineChange(
        id=line.cost.entry.id,
        kind=kind,
        description=description,
        category=line.cost.entry.category,
        replacement_cost=money.amount(sum(move.replacement_cost for move in found)),
        actual_cash_value=money.amount(sum(move.actual_cash_value for move in found)),
        effects=tuple(
            EffectAmount(
                effect=move.effect,
                replacement_cost=money.amount(move.replacement_cost),
                actual_cash_value=money.amount(move.actual_cash_value),
            )
            for move in found
        ),
    )


def _notes(remarks: Iterable[Remarks]) -> Iterable[Note]:
    """The notes of both, each once; what is left out of one of them shows as added or removed."""
    found = (note for one in remarks for note in one.notes() if note.code != "entries_left_out")
    return {(note.code, note.about, *note.parameters.values()): note for note in found}.values()
