"""The facts that could settle an undetermined verdict, and which to ask for first."""

from collections.abc import Iterator, Sequence

from hitchworth.classification.answer_search import Answers, AnswerSearch, fewest_facts_first
from hitchworth.classification.build_facts import BuildFacts
from hitchworth.classification.judgment import fact_tests
from hitchworth.classification.verdict import JudgedDefinition, registered_definition
from hitchworth.model.assessment import MissingFact
from hitchworth.reference.facts import vocabulary


def missing_facts(
    judged: Sequence[JudgedDefinition], registered: str | None, facts: BuildFacts
) -> tuple[MissingFact, ...]:
    """Return the unknown facts on which an undetermined verdict depends, the most decisive first.

    First come the fewest facts that can settle it together, then those of the next smallest set, and so on; of sets
    with as many facts, those of the nearest jurisdiction's definitions. Without a definition of the registered class,
    only the exact words of the document can make a match.
    """
    own = registered_definition(judged, registered)
    undecided = [one for one in judged if one.holds is None and (one is own or one.contradicts)]
    names = {test.fact for one in undecided for test in fact_tests(one.judgment) if test.decides}
    if own is None:
        names.add("registered_class")
    sets = _settling_sets(judged, own, facts)
    return tuple(_missing(name, name in sets[0]) for name in sorted(names, key=lambda name: (_rank(name, sets), name)))


def _rank(name: str, sets: Sequence[frozenset[str]]) -> int:
    """Return the place of the first set that the fact is in; a fact in none comes last."""
    return next((place for place, names in enumerate(sets) if name in names), len(sets))


def missing_jurisdiction() -> MissingFact:
    """Return the jurisdiction as a missing fact: without it no definition applies."""
    return _missing("jurisdiction", decisive=True)


def _missing(name: str, decisive: bool) -> MissingFact:
    fact = vocabulary()[name]
    return MissingFact(fact=name, question=fact.question, measure=fact.measure, decisive=decisive)


def _settling_sets(
    judged: Sequence[JudgedDefinition], own: JudgedDefinition | None, facts: BuildFacts
) -> tuple[frozenset[str], ...]:
    """Return the sets of facts that can settle the verdict, one way or the other, the smallest first."""
    settling = fewest_facts_first(_settling_answers(judged, own, facts))
    return tuple(map(frozenset, settling)) or (frozenset({"registered_class"}),)


def _settling_answers(
    judged: Sequence[JudgedDefinition], own: JudgedDefinition | None, facts: BuildFacts
) -> Iterator[Answers]:
    against = [one.judgment.condition for one in judged if one.contradicts]
    search = AnswerSearch([*against, *([own.judgment.condition] if own else [])], facts)
    for condition in against:
        yield from search.answers_for(condition, outcome=True)
    if own:
        yield from search.answers_for(own.judgment.condition, outcome=False)
        refuted = [search.answers_for(condition, outcome=False) for condition in against]
        match = [search.answers_for(own.judgment.condition, outcome=True), *refuted]
        yield from search.at_least(len(match), match)
