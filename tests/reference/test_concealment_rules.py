"""What the law says of what an insurer was not told: every rule, and which place takes which."""

import pytest

from hitchworth.model.settlement import ConcealmentRule
from hitchworth.reference.concealment_rules import concealment_rule_of, concealment_rules
from hitchworth.reference.jurisdictions import jurisdictions
from hitchworth.reference.load import read

RULES = concealment_rules()


def test_a_place_has_one_rule() -> None:
    assert len(read("concealment_rules.yaml", tuple[ConcealmentRule, ...])) == len(RULES)


@pytest.mark.parametrize("rule", RULES.values(), ids=lambda rule: rule.jurisdiction)
def test_a_rule_has_its_place_words_and_source(rule: ConcealmentRule) -> None:
    assert rule.jurisdiction in jurisdictions()
    assert rule.text.endswith(".")
    assert rule.source
    assert any(character.isdigit() for character in rule.source), "a section or a year"
    assert rule.provenance in {"published", "unverified"}
    assert bool(rule.unverified_text) is bool(rule.unverified_source)


def test_what_was_not_read_is_marked() -> None:
    """By the marks of the reference: the whole text of these places is from memory, or the sections named."""
    assert {rule.jurisdiction for rule in RULES.values() if rule.provenance == "unverified"} == {
        "CA-QC",
        "US-AZ",
        "US-IL",
        "US-WA",
    }
    besides = {rule.jurisdiction: rule.unverified_source for rule in RULES.values() if rule.unverified_source}
    assert besides == {
        "AU": "Insurance Contracts Act 1984, section 28",
        "CA-ON": "Insurance Act, section 233",
        "CH": "Insurance Contract Act 1908, article 6",
    }
    for place, source in besides.items():
        assert source not in RULES[place].source


@pytest.mark.parametrize(
    ("places", "intent", "not_issued", "contributed", "proportion"),
    [
        # California Insurance Code 331, 359: with intent or without, if material
        ("US-CA", False, None, False, False),
        # Fla. Stat. 627.409(1)(b), N.Y. Ins. Law 3105: the insurer would not have issued the same policy
        ("US-FL US-NY", False, True, False, False),
        # Mass. G.L. c. 175 s. 186: intent or increased risk; 27 Ohio St. 2d 216 (1971): only where the policy says void
        ("US-MA", False, False, False, False),
        ("US-OH", True, False, False, False),
        # Tex. Ins. Code 705.004: material or contributed
        ("US-TX", False, False, None, False),
        # RCW 48.18.090: intent to deceive
        ("US-WA", True, False, False, False),
        # ORS 742.013(1): a written application, attached, material and relied on
        ("US-OR", False, False, False, False),
        # surveys of state law: material, and affects acceptance or hazard
        ("US-HI US-AL US-AR US-IL", False, None, False, False),
        # A.R.S. 20-1109: all of three limbs; how much intent is not settled here
        ("US-AZ", None, True, False, False),
        # Consumer Insurance Act 2012; Civil Code of Quebec 2411: the claim is cut in the proportion of the premiums
        ("GB CA-QC", False, True, False, True),
        # VVG section 19: no rescission where it would have insured on other terms
        ("DE", False, True, None, False),
        # Ontario: Insurance Act s. 233; Australia: Insurance Contracts Act 1984 s. 28 and 54; the Irish act of
        # 2019 s. 8, 9; Norway s. 4-1, 4-2; New Zealand 1977 s. 5, 6; Switzerland art. 6 [memory]
        ("CA-ON", None, None, None, False),
        ("AU", False, None, None, True),
        ("IE", False, True, True, True),
        ("NO", False, None, False, False),
        ("NZ", False, None, None, False),
        ("CH", False, None, True, False),
        # Supreme Court of Canada, [1989] 2 S.C.R. 1048
        ("CA", False, True, False, False),
    ],
)
def test_what_a_rule_needs(
    places: str,
    *,
    intent: bool | None,
    not_issued: bool | None,
    contributed: bool | None,
    proportion: bool,
) -> None:
    for place in places.split():
        rule = RULES[place]
        found = (
            rule.intent_needed,
            rule.counts_if_not_issued,
            rule.must_have_contributed,
            rule.reduces_in_proportion,
        )
        assert found == (intent, not_issued, contributed, proportion), place


@pytest.mark.parametrize(
    ("place", "rule"),
    [
        ("US-CA", "US-CA"),
        ("GB-NIR", "GB"),
        ("CA-QC", "CA-QC"),
        ("CA-AB", "CA"),  # the nearest wider one
        ("AU-VIC", "AU"),
        ("US-NV", None),  # none was looked up, and there is none of the whole country
        ("FR", None),
        ("XX", None),
        (None, None),
    ],
)
def test_the_nearest_rule_counts(place: str | None, rule: str | None) -> None:
    found = concealment_rule_of(place)
    assert (found and found.jurisdiction) == rule
