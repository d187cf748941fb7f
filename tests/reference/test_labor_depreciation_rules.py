"""What is published on depreciating labor: every row, its citation, its provenance, its translation."""

import pytest

from hitchworth.localization.localizer import localizer_for
from hitchworth.model.estimate import LaborDepreciationRule
from hitchworth.reference.jurisdictions import jurisdictions
from hitchworth.reference.labor_depreciation_rules import labor_depreciation_rule_of, labor_depreciation_rules

RULES = labor_depreciation_rules()


@pytest.mark.parametrize("rule", RULES.values(), ids=lambda rule: rule.jurisdiction)
def test_a_rule_has_its_text_citation_and_translation(rule: LaborDepreciationRule) -> None:
    assert rule.text
    assert rule.citation
    assert rule.provenance in {"published", "unverified"}
    assert localizer_for("de-DE").translate(rule.text) != rule.text


# Cal. Code Regs. tit. 10, section 2695.9(f)(1): no; Ark. Code section 23-88-106: by approved wording
@pytest.mark.parametrize(("place", "law"), [("US-CA", "not_depreciated"), ("US-AR", "by_policy_wording")])
def test_the_rule_of_a_statute(place: str, law: str) -> None:
    rule = labor_depreciation_rule_of(place)
    assert rule is not None
    assert rule.law == law


def test_the_places_that_the_demo_and_the_definitions_know_may_have_none() -> None:
    assert labor_depreciation_rule_of("US-WA") is None
    assert labor_depreciation_rule_of(None) is None
    assert set(RULES) & set(jurisdictions())
