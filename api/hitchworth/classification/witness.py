"""Which answers would make a condition come out as wanted: the smallest sets of facts, with the values that do it.

Every number is tried at each threshold, just below and just above it; that is enough to reach every outcome.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from fractions import Fraction
from itertools import combinations, pairwise, product
from typing import TypeAlias

from hitchworth.classification.readings import Readings
from hitchworth.reference.condition import Comparison, Condition, outcome
from hitchworth.reference.fact_value import Value
from hitchworth.reference.facts import vocabulary

Way: TypeAlias = Mapping[str, frozenset[Value]]
"""For each fact that must be known: the values any of which will do."""

WIDEST = 64
"""So many ways are carried from condition to condition, the smallest first; no published definition has more."""


class Witness:
    """Finds the ways, by the values that the given conditions distinguish."""

    def __init__(self, conditions: Iterable[Condition], facts: Readings) -> None:
        self._facts = facts
        self._values = _distinguished(conditions)

    def ways(self, condition: Condition, wanted: bool) -> tuple[Way, ...]:
        """The ways to make the condition come out as wanted, the smallest first; none when it can't."""
        if condition.comparison:
            return self._answers(condition.comparison, wanted)
        if condition.rule == "not":
            return self.ways(condition.parts[0], not wanted)
        needed = condition.needed if wanted else len(condition.parts) - condition.needed + 1
        return self.several([self.ways(part, wanted) for part in condition.parts], needed)

    def values(self, fact: str) -> frozenset[Value]:
        """The values of the fact between which the conditions distinguish."""
        return self._values[fact]

    def several(self, parts: Sequence[tuple[Way, ...]], needed: int) -> tuple[Way, ...]:
        """The ways to bring about so many of the parts."""
        return smallest(
            merged for chosen in combinations(parts, needed) for one in product(*chosen) for merged in _merged(one)
        )

    def _answers(self, comparison: Comparison, wanted: bool) -> tuple[Way, ...]:
        known = self._facts[comparison.fact].value
        if known is not None:
            return ({},) if outcome(comparison, known) is wanted else ()
        values = self._values[comparison.fact]
        fitting = frozenset(value for value in values if outcome(comparison, value) is wanted)
        return ({comparison.fact: fitting},) if fitting else ()


def smallest(ways: Iterable[Way]) -> tuple[Way, ...]:
    """The ways that ask for the fewest facts, each once."""
    listed = sorted(ways, key=lambda way: (len(way), sorted(way)))
    kept: list[Way] = []
    for way in listed:
        if way not in kept:
            kept.append(way)
        if len(kept) == WIDEST:
            break
    return tuple(kept)


def _merged(ways: Sequence[Way]) -> Iterator[Way]:
    merged: dict[str, frozenset[Value]] = {}
    for way in ways:
        for fact, values in way.items():
            merged[fact] = merged.get(fact, values) & values
    if all(merged.values()):
        yield merged


def _distinguished(conditions: Iterable[Condition]) -> dict[str, frozenset[Value]]:
    thresholds: dict[str, set[Fraction]] = {}
    for comparison in (found for condition in conditions for found in comparisons(condition)):
        levels = thresholds.setdefault(comparison.fact, set())
        if isinstance(comparison.threshold, Fraction):
            levels.add(comparison.threshold)
    return {fact: _values(fact, sorted(levels)) for fact, levels in thresholds.items()}


def _values(name: str, levels: Sequence[Fraction]) -> frozenset[Value]:
    fact = vocabulary()[name]
    if fact.type == "boolean":
        return frozenset({True, False})
    if not levels:
        return frozenset(fact.values)
    gaps = [later - earlier for earlier, later in pairwise(levels)]
    step = Fraction(1) if fact.type == "integer" else min([*gaps, levels[0], Fraction(1)]) / 2
    return frozenset(value for level in levels for value in (level - step, level, level + step) if value >= 0)


def comparisons(condition: Condition) -> Iterator[Comparison]:
    """Every comparison under the condition."""
    if condition.comparison:
        yield condition.comparison
    for part in condition.parts:
        yield from comparisons(part)
