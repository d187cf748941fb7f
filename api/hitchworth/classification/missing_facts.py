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
    """Return the unknown facts on which an undetermined verdict depends, those that can settle it first.

    Without a definition of the registered class, only the exact words of the document can make a match.
    """
    own = registered_definition(judged, registered)
    undecided = [one for one in judged if one.holds is None and (one is own or one.contradicts)]
    names = {test.fact for one in undecided for test in fact_tests(one.judgment) if test.decides}
    if own is None:
        names.add("registered_class")
    first = _settling(judged, own, facts)
    return tuple(_missing(name, name in first) for name in sorted(names, key=lambda name: (name not in first, name)))


def missing_jurisdiction() -> MissingFact:
    """Return the jurisdiction as a missing fact: without it no definition applies."""
    return _missing("jurisdiction", decisive=True)


def _missing(name: str, decisive: bool) -> MissingFact:
    fact = vocabulary()[name]
    return MissingFact(fact=name, question=fact.question, measure=fact.measure, decisive=decisive)


def _settling(judged: Sequence[JudgedDefinition], own: JudgedDefinition | None, facts: BuildFacts) -> frozenset[str]:
    """Return the smallest set of facts that can settle the verdict, one way or the other."""
    settling = fewest_facts_first(_settling_answers(judged, own, facts))
    return frozenset(settling[0]) if settling else frozenset({"registered_class"})


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
