"""Towing rules: published limits on weight, brakes, size and speed, and rules of thumb of the trade."""

from functools import cache, lru_cache

from msgspec import Struct, field

from hitchworth.model.provenance import Provenance
from hitchworth.model.towing_rule import TowingTopic
from hitchworth.reference.condition import Condition, Element, parse_condition
from hitchworth.reference.load import read
from hitchworth.reference.registration_documents import class_families


class TowingRule(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A towing rule, and the condition under which it applies to a trailer."""

    id: str
    jurisdictions: tuple[str, ...]
    topic: TowingTopic
    text: str
    parameters: dict[str, str] = field(default_factory=dict)
    """The numbers in the text, by name: {weight:pounds}."""
    family: str | None = None
    """Only for classes of this family (class_families.yaml)."""
    except_family: str | None = None
    """Not for classes of this family, which have a rule of their own."""
    when: Element | None = None
    """The condition over the facts; always when left out."""
    requires: Element | None = None
    """What the trailer must have where the rule applies. Such a rule is shown whether or not it applies."""
    source: str
    provenance: Provenance
    caution: str


class ParsedTowingRule(Struct, frozen=True):
    """A towing rule with its conditions parsed."""

    rule: TowingRule
    when: Condition | None
    requires: Condition | None
    family: frozenset[str]
    """The classes of its family; empty where it has none."""
    except_family: frozenset[str]


@cache
def towing_rules() -> tuple[ParsedTowingRule, ...]:
    """Return every towing rule with its parsed conditions."""
    families: dict[str, frozenset[str]] = {family.name: frozenset(family.classes) for family in class_families()}
    return tuple(
        ParsedTowingRule(
            rule,
            parse_condition(rule.when) if rule.when else None,
            parse_condition(rule.requires) if rule.requires else None,
            families[rule.family] if rule.family else frozenset(),
            families[rule.except_family] if rule.except_family else frozenset(),
        )
        for rule in read("towing_rules.yaml", tuple[TowingRule, ...])
    )


@lru_cache(maxsize=1000)
def towing_rules_in(places: frozenset[str]) -> tuple[ParsedTowingRule, ...]:
    """Return the towing rules of these places."""
    return tuple(each for each in towing_rules() if places.intersection(each.rule.jurisdictions))
