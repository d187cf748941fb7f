"""The facts that could settle an undetermined verdict, and which to ask for first."""

from collections.abc import Iterator, Sequence

from hitchworth.classification.answer_search import Answers, AnswerSearch, fewest_facts_first
from hitchworth.classification.build_facts import BuildFacts
from hitchworth.classification.class_reading import ClassReading
from hitchworth.classification.judgment import fact_tests
from hitchworth.classification.verdict import JudgedDefinition
from hitchworth.model.assessment import MissingFact
from hitchworth.reference.condition import Condition
from hitchworth.reference.facts import vocabulary


def missing_facts(reading: ClassReading, registered: str | None, facts: BuildFacts) -> tuple[MissingFact, ...]:
    """Return the unknown facts on which an undetermined verdict depends, the most decisive first.

    First come the fewest facts that can settle it together, then those of the next smallest set, and so on; of sets
    with as many facts, those of the nearest jurisdiction's definitions. The registered class is asked for only when it
    was not given: that a place has no definition of it is no fact about the trailer.
    """
    undecided = [one for one in (*reading.own, *reading.against, *reading.opposed) if one.holds is None]
    names = {test.fact for one in undecided for test in fact_tests(one.judgment) if test.decides}
    if registered is None:
        names.add("registered_class")
    sets = _settling_sets(reading, facts, named=registered is not None)
    first = sets[0] if sets else frozenset()
    return tuple(_missing(name, name in first) for name in sorted(names, key=lambda name: (_rank(name, sets), name)))


def _rank(name: str, sets: Sequence[frozenset[str]]) -> int:
    """Return the place of the first set that the fact is in; a fact in none comes last."""
    return next((place for place, names in enumerate(sets) if name in names), len(sets))


def missing_jurisdiction() -> MissingFact:
    """Return the jurisdiction as a missing fact: without it no definition applies."""
    return _missing("jurisdiction", decisive=True)


def _missing(name: str, decisive: bool) -> MissingFact:
    fact = vocabulary()[name]
    return MissingFact(fact=name, question=fact.question, measure=fact.measure, decisive=decisive)


def _settling_sets(reading: ClassReading, facts: BuildFacts, *, named: bool) -> tuple[frozenset[str], ...]:
    """Return the sets of facts that can settle the verdict, one way or the other, the smallest first."""
    settling = fewest_facts_first(_settling_answers(reading, facts))
    return tuple(map(frozenset, settling)) or (() if named else (frozenset({"registered_class"}),))


def _settling_answers(reading: ClassReading, facts: BuildFacts) -> Iterator[Answers]:
    own, against, opposed = (_conditions(part) for part in (reading.own, reading.against, reading.opposed))
    search = AnswerSearch([*against, *opposed, *own], facts)
    for condition in against:
        yield from search.answers_for(condition, outcome=True)
    if own:
        none_holds = [search.answers_for(condition, outcome=False) for condition in own]
        yield from search.at_least(len(none_holds), none_holds)
        refuted = [search.answers_for(condition, outcome=False) for condition in (*against, *opposed)]
        for condition in own:
            match = [search.answers_for(condition, outcome=True), *refuted]
            yield from search.at_least(len(match), match)
    for condition in opposed:
        yield from search.answers_for(condition, outcome=True)


def _conditions(judged: Sequence[JudgedDefinition]) -> list[Condition]:
    return [one.judgment.condition for one in judged]
