"""What one authority's definitions say of one trailer: every definition judged, the verdict, and what is missing."""

from datetime import date

from msgspec import Struct

from hitchworth.classification.missing import missing_facts, missing_jurisdiction
from hitchworth.classification.readings import Readings
from hitchworth.classification.registered_class import class_elsewhere, class_key
from hitchworth.classification.verdict import Judged, consistent, judge_all, verdict_of
from hitchworth.model.assessment import MissingFact, Verdict
from hitchworth.reference.definitions import definitions_for
from hitchworth.reference.jurisdictions import jurisdiction as entry_of


class Subject(Struct, frozen=True, kw_only=True):
    """The trailer: what its document says, what is known of it, and when."""

    document: str | None
    """The class in the words of the document."""
    facts: Readings
    as_of: date


class LocalAssessment(Struct, frozen=True, kw_only=True):
    """The outcome under the definitions of one jurisdiction."""

    jurisdiction: str | None
    chain: tuple[str, ...]
    registered: str | None
    judged: tuple[Judged, ...]
    verdict: Verdict
    missing: tuple[MissingFact, ...]


def assess_locally(subject: Subject, jurisdiction: str | None) -> LocalAssessment:
    """The local where the trailer is registered. Raises UnknownJurisdictionError."""
    if jurisdiction is None:
        return _without_jurisdiction(subject)
    return _assess(subject, jurisdiction, class_key(subject.document, _chain(jurisdiction)))


def assess_elsewhere(subject: Subject, home: str | None, jurisdiction: str) -> LocalAssessment:
    """The local of another authority, its words put for those of the document. Raises UnknownJurisdictionError."""
    registered = class_key(subject.document, _chain(home) if home else ())
    there = class_elsewhere(registered, definitions_for(jurisdiction, subject.as_of), subject.facts)
    return _assess(subject, jurisdiction, there)


def _chain(jurisdiction: str) -> tuple[str, ...]:
    return entry_of(jurisdiction).chain


def _assess(subject: Subject, jurisdiction: str, registered: str | None) -> LocalAssessment:
    judged = judge_all(definitions_for(jurisdiction, subject.as_of), registered, subject.facts)
    verdict = verdict_of(consistent(judged, registered))
    return LocalAssessment(
        jurisdiction=jurisdiction,
        chain=_chain(jurisdiction),
        registered=registered,
        judged=judged,
        verdict=verdict,
        missing=missing_facts(judged, registered, subject.facts) if verdict == "undetermined" else (),
    )


def _without_jurisdiction(subject: Subject) -> LocalAssessment:
    return LocalAssessment(
        jurisdiction=None,
        chain=(),
        registered=class_key(subject.document, ()),
        judged=(),
        verdict="undetermined",
        missing=(missing_jurisdiction(),),
    )
