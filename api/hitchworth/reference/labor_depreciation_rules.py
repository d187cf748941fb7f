"""Whether labor may be depreciated, where that is published: by statute, regulation or court."""

from functools import cache

from hitchworth.model.estimate import LaborDepreciationRule
from hitchworth.reference.load import read


@cache
def labor_depreciation_rules() -> dict[str, LaborDepreciationRule]:
    """Every rule by its jurisdiction."""
    rules = read("labor_depreciation_rules.yaml", tuple[LaborDepreciationRule, ...])
    return {rule.jurisdiction: rule for rule in rules}


def labor_depreciation_rule_of(jurisdiction: str | None) -> LaborDepreciationRule | None:
    """The rule of this place; None where none is known here."""
    return labor_depreciation_rules().get(jurisdiction or "")
