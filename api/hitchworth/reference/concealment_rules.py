"""What the law of a place says when the insurer was not told something, or told it wrongly."""

from functools import cache

from hitchworth.model.settlement import ConcealmentRule
from hitchworth.reference.jurisdictions import jurisdictions
from hitchworth.reference.load import read


@cache
def concealment_rules() -> dict[str, ConcealmentRule]:
    """Return the rules by jurisdiction."""
    return {rule.jurisdiction: rule for rule in read("concealment_rules.yaml", tuple[ConcealmentRule, ...])}


def concealment_rule_of(jurisdiction: str | None) -> ConcealmentRule | None:
    """Return the rule of the place, or of the nearest wider one; None where none was looked up."""
    place = jurisdictions().get(jurisdiction or "")
    chain = place.chain if place is not None else ()
    return next((concealment_rules()[code] for code in chain if code in concealment_rules()), None)
