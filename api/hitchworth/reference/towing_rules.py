"""Towing rules: published limits on weight, brakes, size and speed, and rules of thumb of the trade."""

from functools import cache

from msgspec import Struct

from hitchworth.model.assessment import Provenance, TowingTopic
from hitchworth.reference.condition import Condition, Element, parse_condition
from hitchworth.reference.load import read


class TowingRule(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A towing rule, and the condition under which it applies to a trailer."""

    id: str
    jurisdictions: tuple[str, ...]
    topic: TowingTopic
    text: str
    when: Element
    source: str
    provenance: Provenance
    caution: str


@cache
def towing_rules() -> tuple[tuple[TowingRule, Condition], ...]:
    """Return every towing rule with its parsed condition."""
    return tuple((rule, parse_condition(rule.when)) for rule in read("towing_rules.yaml", tuple[TowingRule, ...]))
