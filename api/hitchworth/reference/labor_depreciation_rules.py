"""Published rules on whether labor may be depreciated: statutes, regulations and court decisions."""

from functools import cache

from hitchworth.model.estimate import LaborDepreciationRule
from hitchworth.reference.load import read


@cache
def labor_depreciation_rules() -> dict[str, LaborDepreciationRule]:
    """Return every rule by its jurisdiction."""
    rules = read("labor_depreciation_rules.yaml", tuple[LaborDepreciationRule, ...])
    return {rule.jurisdiction: rule for rule in rules}


def labor_depreciation_rule_of(jurisdiction: str | None) -> LaborDepreciationRule | None:
    """Return the rule of the jurisdiction, or None when the data has none."""
    return labor_depreciation_rules().get(jurisdiction or "")
