"""Facts: each is in the vocabulary, of its type, unit and range, and no two contradict each other."""

from collections.abc import Iterator, Mapping, Sequence
from difflib import get_close_matches
from fractions import Fraction
from functools import lru_cache

from hitchworth.model.build import FactValue, Measurement
from hitchworth.model.fault import Fault
from hitchworth.reference.condition import Comparison, Contradiction, contradictions, evaluate
from hitchworth.reference.facts import vocabulary
from hitchworth.reference.parsed_facts import UNKNOWN, InvalidFactError, ParsedFact, parse_fact
from hitchworth.validation.pointer import step

SHOWN = 60
"""So many characters of a wrong value are repeated."""


def fact_faults(facts: Mapping[str, FactValue], pointer: str) -> Iterator[Fault]:
    """The faults of each fact by itself, then those of facts against each other.

    The pointer is to the object that holds the facts.
    """
    readings: dict[str, ParsedFact] = {}
    for name, given in facts.items():
        if name not in vocabulary():
            yield _unknown(name, step(pointer, name))
            continue
        try:
            readings[name] = parse_fact(vocabulary()[name], given)
        except InvalidFactError as error:
            at = step(pointer, name)
            yield _unreadable(name, error, step(at, error.member) if isinstance(given, Measurement) else at)
    yield from _contradictions(readings, pointer)


def _unknown(name: str, at: str) -> Fault:
    near = get_close_matches(name, vocabulary(), n=3, cutoff=0.5)
    hint = f"; near it: {', '.join(near)}" if near else ""
    return Fault(pointer=at, detail="No fact has this name", expected=f"a fact of GET /v1/facts{hint}", found=name)


def _unreadable(name: str, error: InvalidFactError, at: str) -> Fault:
    return Fault(
        pointer=at, detail=f"Not a value of the fact {name}", expected=error.expected, found=error.found[:SHOWN]
    )


def _contradictions(readings: Mapping[str, ParsedFact], pointer: str) -> Iterator[Fault]:
    """Facts that exclude each other. What is planned is held only against what is planned."""
    for planned in (False, True):
        known = {name: reading for name, reading in readings.items() if reading.planned is planned}
        for rule, comparisons in _that_may_apply(frozenset(known)):
            if _exceeds(rule.ascending, known) or _all_hold(comparisons, known):
                first, second = rule.ascending or (comparison.fact for comparison in comparisons)
                yield Fault(
                    pointer=step(pointer, second),
                    detail=f"{first} and {second} contradict each other",
                    expected=f"what goes with {first}: {_shown(known[first])}",
                    found=_shown(known[second]),
                )


@lru_cache(maxsize=1000)
def _that_may_apply(names: frozenset[str]) -> tuple[tuple[Contradiction, tuple[Comparison, ...]], ...]:
    """The contradictions between facts of these names: most builds of a batch give the same ones."""
    return tuple(
        (rule, comparisons)
        for rule, comparisons in contradictions()
        if names.issuperset(rule.ascending or (comparison.fact for comparison in comparisons))
    )


def _exceeds(at_most: Sequence[str], known: Mapping[str, ParsedFact]) -> bool:
    smaller, larger = (known.get(name, UNKNOWN).value for name in at_most or ("", ""))
    return isinstance(smaller, Fraction) and isinstance(larger, Fraction) and smaller > larger


def _all_hold(comparisons: Sequence[Comparison], known: Mapping[str, ParsedFact]) -> bool:
    return bool(comparisons) and all(evaluate(c, known.get(c.fact, UNKNOWN).value) for c in comparisons)


def _shown(reading: ParsedFact) -> str:
    return str(reading.given).lower() if isinstance(reading.given, bool) else str(reading.given)
