"""Warnings beside the class: limits on weight, brakes and size that the trailer reaches, or may reach."""

from collections.abc import Iterator

from hitchworth.classification.judgment import fact_tests, judge
from hitchworth.classification.readings import Readings
from hitchworth.model.assessment import WeightWarning
from hitchworth.reference.weights import weight_rules


def weight_warnings(places: frozenset[str], facts: Readings) -> Iterator[WeightWarning]:
    """Every limit of these places that surely or possibly applies; those that surely don't are left out."""
    for rule, condition in weight_rules():
        reached = places.intersection(rule.jurisdictions)
        judgment = judge(condition, facts)
        if reached and judgment.holds is not False:
            yield WeightWarning(
                id=rule.id,
                topic=rule.topic,
                jurisdiction=min(reached),
                text=rule.text,
                applies=judgment.holds,
                tests=tuple(fact_tests(judgment)),
                source=rule.source,
                verified=rule.provenance == "published",
                caution=rule.caution,
            )
