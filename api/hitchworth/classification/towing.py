"""The towing rules of a place that concern a trailer: those of its class now, and those of the class to come."""

from collections.abc import Iterator

from hitchworth.classification.build_facts import BuildFacts
from hitchworth.classification.judgment import Judgment, fact_tests, judge
from hitchworth.classification.jurisdiction_assessment import JurisdictionAssessment
from hitchworth.classification.kleene import Truth, all_of, any_of
from hitchworth.model.policy import SettlesAs
from hitchworth.model.towing_rule import TowingRuleResult
from hitchworth.reference.condition import Condition
from hitchworth.reference.towing_rules import ParsedTowingRule, towing_rules_in

NOT_LOOKED_UP = "brakes-not-looked-up"
"""Stands for the brake rule of a place that has none here: silence would read as "none needed"."""


def towing_rule_results(
    home: JurisdictionAssessment, places: frozenset[str], facts: BuildFacts
) -> Iterator[TowingRuleResult]:
    """Yield every towing rule of these places that applies, or may apply because a fact is missing.

    A rule that asks for equipment is there even where it does not apply, with what the trailer has.
    """
    rules = towing_rules_in(places)
    for parsed in rules:
        result = _result(parsed, home, places, facts)
        if result is not None:
            yield result
    if home.jurisdiction is not None and not any(parsed.rule.topic == "brakes" for parsed in rules):
        yield _not_looked_up(home.jurisdiction)


def _result(
    parsed: ParsedTowingRule, home: JurisdictionAssessment, places: frozenset[str], facts: BuildFacts
) -> TowingRuleResult | None:
    rule = parsed.rule
    considered_as, is_concerned = _concerned(parsed, home, facts)
    when, requires = (_judged(condition, facts) for condition in (parsed.when, parsed.requires))
    applies = all_of((is_concerned, True if when is None else when.holds))
    if is_concerned is False or (applies is False and requires is None):
        return None
    return TowingRuleResult(
        id=rule.id,
        topic=rule.topic,
        jurisdiction=min(places.intersection(rule.jurisdictions)),
        text=rule.text,
        parameters=rule.parameters,
        applies=applies,
        met=requires.holds if requires else None,
        considered_as=considered_as,
        tests=tuple(test for each in (when, requires) if each for test in fact_tests(each)),
        source=rule.source,
        verified=rule.provenance == "published",
        caution=rule.caution,
    )


def _judged(condition: Condition | None, facts: BuildFacts) -> Judgment | None:
    return judge(condition, facts) if condition else None


def _concerned(
    parsed: ParsedTowingRule, home: JurisdictionAssessment, facts: BuildFacts
) -> tuple[SettlesAs | None, Truth]:
    """Return as what the trailer is under the rule, and whether it is: as registered now, or as what it is built for.

    A rule for any class concerns every trailer. A registered class that is not known may be any.
    """
    if parsed.except_family:
        return "registered_class", None if home.registered is None else home.registered not in parsed.except_family
    if not parsed.family:
        return None, True
    if home.registered in parsed.family:
        return "registered_class", True
    return "built_use", _is_built_as(parsed.family, home, facts)


def _is_built_as(family: frozenset[str], home: JurisdictionAssessment, facts: BuildFacts) -> Truth:
    """Return whether the trailer meets a definition of the family's classes, or is built to stay in on trips.

    A definition may ask for more, such as a certificate, than the brake law of a place that only says house trailer.
    """
    own = [one.holds for one in home.judged if one.definition.class_ in family and one.definition.role == "class"]
    is_stayed_in = facts["temporary_living_quarters"].value
    return any_of((*own, is_stayed_in if isinstance(is_stayed_in, bool) else None))


def _not_looked_up(place: str) -> TowingRuleResult:
    return TowingRuleResult(
        id=NOT_LOOKED_UP,
        topic="brakes",
        jurisdiction=place,
        text="",
        applies=None,
        tests=(),
        source="",
        verified=False,
        caution="",
    )
