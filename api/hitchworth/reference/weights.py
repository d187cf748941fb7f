"""Limits on weight, brakes, size and speed: those that jurisdictions publish, and rules of thumb of the trade."""

from functools import cache

from msgspec import Struct

from hitchworth.model.assessment import Provenance, WeightTopic
from hitchworth.reference.condition import Condition, Element, parse_condition
from hitchworth.reference.load import read


class WeightRule(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A limit, and the condition under which a trailer exceeds it."""

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
    """Return every limit with its parsed condition."""
    return tuple((rule, parse_condition(rule.when)) for rule in read("weights.yaml", tuple[WeightRule, ...]))
