"""Search for the answers to unknown facts that give a condition an outcome, the fewest facts first.

A number is tried at, just below and just above each threshold; that reaches every outcome.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from fractions import Fraction
from itertools import combinations, pairwise, product
from typing import TypeAlias

from hitchworth.classification.build_facts import BuildFacts
from hitchworth.reference.condition import Comparison, Condition, evaluate
from hitchworth.reference.facts import vocabulary
from hitchworth.reference.parsed_facts import Value

Answers: TypeAlias = Mapping[str, frozenset[Value]]
"""For each fact that must be known, the values that give the outcome. Any of them will do."""

MAX_ALTERNATIVES = 64
"""The search keeps this many alternatives, the fewest facts first; no published definition has more."""


class AnswerSearch:
    """A search by the values that the given conditions distinguish."""

    def __init__(self, conditions: Iterable[Condition], facts: BuildFacts) -> None:
        self._facts = facts
        self._values = _distinguished(conditions)

    def answers_for(self, condition: Condition, outcome: bool) -> tuple[Answers, ...]:
        """Return the alternatives that give the condition the outcome, the fewest facts first; empty if none can."""
        if condition.comparison:
            return self._answers(condition.comparison, outcome)
        if condition.rule == "not":
            return self.answers_for(condition.parts[0], not outcome)
        needed = condition.needed if outcome else len(condition.parts) - condition.needed + 1
        return self.at_least(needed, [self.answers_for(part, outcome) for part in condition.parts])

    def values(self, fact: str) -> frozenset[Value]:
        """Return the values of the fact that the conditions distinguish."""
        return self._values[fact]

    def at_least(self, needed: int, parts: Sequence[tuple[Answers, ...]]) -> tuple[Answers, ...]:
        """Return the alternatives that bring about `needed` of the parts, each given by its own alternatives."""
        return fewest_facts_first(
            merged for chosen in combinations(parts, needed) for one in product(*chosen) for merged in _merged(one)
        )

    def _answers(self, comparison: Comparison, outcome: bool) -> tuple[Answers, ...]:
        known = self._facts[comparison.fact].value
        if known is not None:
            return ({},) if evaluate(comparison, known) is outcome else ()
        values = self._values[comparison.fact]
        fitting = frozenset(value for value in values if evaluate(comparison, value) is outcome)
        return ({comparison.fact: fitting},) if fitting else ()


def fewest_facts_first(alternatives: Iterable[Answers]) -> tuple[Answers, ...]:
    """Return the alternatives without duplicates, those with the fewest facts first, up to MAX_ALTERNATIVES.

    Those with as many facts keep their order.
    """
    listed = sorted(alternatives, key=len)
    kept: list[Answers] = []
    for answers in listed:
        if answers not in kept:
            kept.append(answers)
        if len(kept) == MAX_ALTERNATIVES:
            break
    return tuple(kept)


def _merged(chosen: Sequence[Answers]) -> Iterator[Answers]:
    merged: dict[str, frozenset[Value]] = {}
    for answers in chosen:
        for fact, values in answers.items():
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
    """Yield every comparison in the condition."""
    if condition.comparison:
        yield condition.comparison
    for part in condition.parts:
        yield from comparisons(part)
