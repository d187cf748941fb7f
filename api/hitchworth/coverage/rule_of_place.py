"""The published rule on depreciating labor where the trailer is registered, and what it leaves open."""

from hitchworth.coverage.outcomes import Outcomes
from hitchworth.model.note import Note
from hitchworth.reference.labor_depreciation_rules import labor_depreciation_rule_of
from hitchworth.reference.plausible_terms import labor_is_kept

LABOR_TERM = "depreciates_labor"


def rule_on(term: str, jurisdiction: str | None) -> dict[str, str]:
    """What is published on the term there, and where, as particulars of a question; empty where nothing is known."""
    rule = labor_depreciation_rule_of(jurisdiction) if term == LABOR_TERM else None
    return {"rule": rule.text, "citation": rule.citation} if rule else {}


def is_settled_by_rule(term: str, jurisdiction: str | None) -> bool:
    """Whether a rule leaves one answer to the term: no money hangs on it, but the insurer should confirm it."""
    return term == LABOR_TERM and labor_is_kept(jurisdiction)


def assumed_by_rule(outcomes: Outcomes) -> tuple[Note, ...]:
    """What the settlement takes from the rule of the place and not from the policy, for it to say."""
    claim, place = outcomes.claim, outcomes.claim.around.build.jurisdiction
    assumed = dict(zip(outcomes.terms, outcomes.worst, strict=True))
    if (
        is_settled_by_rule(LABOR_TERM, place)
        and assumed.get(LABOR_TERM) is False
        and any(line.labor_depreciation for line in claim.lost)
    ):
        citation = rule_on(LABOR_TERM, place)["citation"]
        return (Note(code="labor_kept_by_rule", about=claim.policy.name, parameters={"citation": citation}),)
    return ()
