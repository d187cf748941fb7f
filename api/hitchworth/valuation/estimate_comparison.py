"""The comparison of two estimates: what changed replacement cost and actual cash value, line by line."""

from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from decimal import localcontext
from typing import NamedTuple, TypeAlias, get_args

from hitchworth.model.build import Build
from hitchworth.model.entry import Component
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
from hitchworth.money import PRECISE, Money
from hitchworth.valuation.cost import Entry, EntryCost, Pricing
from hitchworth.valuation.line_effects import EffectChange, LinePair, effect_changes, whole_line_change
from hitchworth.valuation.notes import NoteCollector, without_left_out_entries
from hitchworth.valuation.rollup import totals
from hitchworth.valuation.trending import PriceIndexes
from hitchworth.valuation.valued_build import ValuedBuild, ValuedLine, describe, value_build

LineKey: TypeAlias = tuple[type, str]
"""What identifies a line in both builds: component or labor, and its id."""

ChangedLine: TypeAlias = tuple[ValuedLine, list[EffectChange]]


class EstimateInput(NamedTuple):
    """What an estimate is computed from: a build and its valuation date."""

    build: Build
    as_of: date


def compare_estimates(
    before: EstimateInput, after: EstimateInput, order: Sequence[LineEffect], options: Options
) -> EstimateComparison:
    """Compare the estimates of two validated builds in the same currency. The order must have every effect once.

    A line with the same id in both is the same line. Raises ValueError as `estimate` does.
    """
    with localcontext(PRECISE):
        money = Money(before.build.currency, options.rounding)
        notes = NoteCollector(), NoteCollector()
        first = value_build(before.build, before.as_of, options, money, notes[0])
        second = value_build(after.build, after.as_of, options, money, notes[1])
        pricing = _PriceEntry(before, money), _PriceEntry(after, money)
        lines = list(_lines(first, second, pricing, order, money))
        changed = [(line, changes) for line, changes in lines if changes]
        old, new = _compared(before, first, money), _compared(after, second, money)
    return EstimateComparison(
        currency=before.build.currency,
        before=old,
        after=new,
        replacement_cost=new.totals.replacement_cost - old.totals.replacement_cost,
        actual_cash_value=new.totals.actual_cash_value - old.totals.actual_cash_value,
        order=tuple(order),
        effects=tuple(_effects([change for _, changes in changed for change in changes], money)),
        lines=tuple(_line_change(line, changes, money) for line, changes in changed),
        unchanged=len(lines) - len(changed),
        notes=tuple(_notes(notes)),
    )


class _PriceEntry:
    """Prices an entry as a build does on its date. Its notes are dropped: valuing the build collected them already."""

    def __init__(self, given: EstimateInput, money: Money) -> None:
        dropped = NoteCollector()
        indexes = PriceIndexes(given.build.price_indexes, given.as_of, dropped)
        self._pricing = Pricing(given.build, given.as_of, money, indexes, dropped)

    def __call__(self, entry: Entry) -> EntryCost:
        if isinstance(entry, Component):
            return self._pricing.price_component(entry)
        return self._pricing.price_labor(entry)


def _lines(
    before: ValuedBuild,
    after: ValuedBuild,
    pricing: tuple[_PriceEntry, _PriceEntry],
    order: Sequence[LineEffect],
    money: Money,
) -> Iterator[ChangedLine]:
    """Every line of before in its order, with what changed it, then those that were added."""
    old, new = _by_key(before.lines), _by_key(after.lines)
    for key, line in old.items():
        same = new.get(key)
        if same is None:
            yield line, [whole_line_change("removed", line, -1)]
        else:
            yield same, list(effect_changes(LinePair(line, same, *pricing), order, money))
    yield from ((line, [whole_line_change("added", line, 1)]) for key, line in new.items() if key not in old)


def _by_key(lines: Iterable[ValuedLine]) -> dict[LineKey, ValuedLine]:
    return {(type(line.cost.entry), line.cost.entry.id): line for line in lines}


def _compared(given: EstimateInput, valued: ValuedBuild, money: Money) -> ComparedEstimate:
    sums = totals(valued.lines, valued.indirect_costs, money)
    return ComparedEstimate(name=given.build.name, as_of=given.as_of, totals=sums)


def _effects(changes: Sequence[EffectChange], money: Money) -> Iterator[EffectTotal]:
    for effect in get_args(Effect):
        of_effect = [change for change in changes if change.effect == effect]
        if of_effect:
            yield EffectTotal(
                effect=effect,
                lines=len(of_effect),
                replacement_cost=money.from_minor_units(sum(change.replacement_cost for change in of_effect)),
                actual_cash_value=money.from_minor_units(sum(change.actual_cash_value for change in of_effect)),
            )


def _line_change(line: ValuedLine, changes: Sequence[EffectChange], money: Money) -> LineChange:
    kind, description = describe(line.cost.entry)
    return LineChange(
        id=line.cost.entry.id,
        kind=kind,
        description=description,
        category=line.cost.entry.category,
        replacement_cost=money.from_minor_units(sum(change.replacement_cost for change in changes)),
        actual_cash_value=money.from_minor_units(sum(change.actual_cash_value for change in changes)),
        effects=tuple(
            EffectAmount(
                effect=change.effect,
                replacement_cost=money.from_minor_units(change.replacement_cost),
                actual_cash_value=money.from_minor_units(change.actual_cash_value),
            )
            for change in changes
        ),
    )


def _notes(collectors: Iterable[NoteCollector]) -> Iterable[Note]:
    """The notes on both estimates, each once."""
    notes = without_left_out_entries(note for collector in collectors for note in collector.collected())
    return {(note.code, note.about, *note.parameters.values()): note for note in notes}.values()
