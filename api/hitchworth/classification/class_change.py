"""What a change of class brings: brakes, lights, inspection, title, fees and insurance, topic by topic."""

from collections.abc import Iterator, Sequence
from typing import get_args

from hitchworth.model.assessment import ClassChangeEffect, ClassChangeTopic
from hitchworth.model.towing_rule import TowingRuleResult
from hitchworth.reference.class_change_effects import class_change_rows_on

EQUIPMENT = ("brakes", "breakaway", "coupling")
"""The topics of towing rules on what the trailer must have."""


def class_change_effects(chain: Sequence[str], rules: Sequence[TowingRuleResult]) -> tuple[ClassChangeEffect, ...]:
    """Return what is known on each topic where the trailer is registered; an effect without a text: not looked up."""
    return tuple(effect for topic in get_args(ClassChangeTopic) for effect in _on(topic, chain, rules))


def _on(
    topic: ClassChangeTopic, chain: Sequence[str], rules: Sequence[TowingRuleResult]
) -> Iterator[ClassChangeEffect]:
    known = [*(_of_rules(rules) if topic == "brakes" else ()), *_of_rows(topic, chain)]
    yield from known or (ClassChangeEffect(topic=topic, text=""),)


def _of_rows(topic: ClassChangeTopic, chain: Sequence[str]) -> Iterator[ClassChangeEffect]:
    for row in class_change_rows_on(topic, chain):
        yield ClassChangeEffect(topic=topic, text=row.text, source=row.source, verified=row.provenance == "published")


def _of_rules(rules: Sequence[TowingRuleResult]) -> Iterator[ClassChangeEffect]:
    """Yield the rules of the class to come; where the place has one rule for every class, that rule, which stays."""
    equipment = [rule for rule in rules if rule.topic in EQUIPMENT and rule.text]
    of_the_class_to_come = [rule for rule in equipment if rule.considered_as == "built_use"]
    for rule in of_the_class_to_come or (rule for rule in equipment if rule.topic == "brakes"):
        yield ClassChangeEffect(
            topic="brakes",
            text=rule.text,
            parameters=rule.parameters,
            differs=bool(of_the_class_to_come),
            source=rule.source,
            verified=rule.verified,
        )
