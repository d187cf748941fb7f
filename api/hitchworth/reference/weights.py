"""Limits on weight, brakes, size and speed as jurisdictions publish them, and the trade's rules of thumb."""

from functools import cache

from msgspec import Struct

from hitchworth.model.assessment import Provenance, WeightTopic
from hitchworth.reference.condition import Condition, Element, parse
from hitchworth.reference.load import read


class WeightRule(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A limit, and when a trailer reaches it."""

    id: str
    jurisdictions: tuple[str, ...]
    topic: WeightTopic
    text: str
    when: Element
    source: str
    provenance: Provenance
    caution: str


@cache
def weight_rules() -> tuple[tuple[WeightRule, Condition], ...]:
    """Every limit with its condition, parsed."""
    return tuple((rule, parse(rule.when)) for rule in read("weights.yaml", tuple[WeightRule, ...]))
