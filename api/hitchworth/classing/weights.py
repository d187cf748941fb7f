"""Warnings beside the class: limits on weight, brakes and size that the trailer reaches, or may reach."""

from collections.abc import Iterator

from hitchworth.classing.judgement import fact_tests, judge
from hitchworth.classing.readings import Readings
from hitchworth.model.assessment import WeightWarning
from hitchworth.reference.weights import weight_rules


def weight_warnings(places: frozenset[str], facts: Readings) -> Iterator[WeightWarning]:
    """Every limit of these places that surely or possibly applies; those that surely don't are left out."""
    for rule, condition in weight_rules():
        reached = places.intersection(rule.jurisdictions)
        judgement = judge(condition, facts)
        if reached and judgement.holds is not False:
            yield WeightWarning(
                id=rule.id,
                topic=rule.topic,
                jurisdiction=min(reached),
                text=rule.text,
                applies=judgement.holds,
                tests=tuple(fact_tests(judgement)),
                source=rule.source,
                verified=rule.mark == "found",
                caution=rule.caution,
            )
