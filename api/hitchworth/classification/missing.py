"""The facts whose answer could change an undetermined verdict, and which to ask first."""

from collections.abc import Iterator, Sequence

from hitchworth.classification.judgment import fact_tests
from hitchworth.classification.readings import Readings
from hitchworth.classification.verdict import Judged, own_definition
from hitchworth.classification.witness import Way, Witness, smallest
from hitchworth.model.assessment import MissingFact
from hitchworth.reference.facts import vocabulary


def missing_facts(judged: Sequence[Judged], registered: str | None, facts: Readings) -> tuple[MissingFact, ...]:
    """Every unknown fact on which an undetermined verdict hangs, those that can settle it with fewest answers first.

    Where the class that is registered has no definition here, only the exact words of the document can make a match.
    """
    own = own_definition(judged, registered)
    undecided = [one for one in judged if one.holds is None and (one is own or one.contradicts)]
    names = {test.fact for one in undecided for test in fact_tests(one.judgment) if test.decides}
    if own is None:
        names.add("registered_class")
    first = _settling(judged, own, facts)
    return tuple(_missing(name, name in first) for name in sorted(names, key=lambda name: (name not in first, name)))


def missing_jurisdiction() -> MissingFact:
    """Without a jurisdiction no definition applies."""
    return _missing("jurisdiction", settles=True)


def _missing(name: str, settles: bool) -> MissingFact:
    fact = vocabulary()[name]
    return MissingFact(fact=name, question=fact.question, measure=fact.measure, settles=settles)


def _settling(judged: Sequence[Judged], own: Judged | None, facts: Readings) -> frozenset[str]:
    """The fewest facts of which one set of answers settles the verdict, one way or the other."""
    ways = smallest(_ways(judged, own, facts))
    return frozenset(ways[0]) if ways else frozenset({"registered_class"})


def _ways(judged: Sequence[Judged], own: Judged | None, facts: Readings) -> Iterator[Way]:
    against = [one.judgment.condition for one in judged if one.contradicts]
    witness = Witness([*against, *([own.judgment.condition] if own else [])], facts)
    for condition in against:
        yield from witness.ways(condition, wanted=True)
    if own:
        yield from witness.ways(own.judgment.condition, wanted=False)
        clear = [witness.ways(condition, wanted=False) for condition in against]
        right = [witness.ways(own.judgment.condition, wanted=True), *clear]
        yield from witness.several(right, len(right))
