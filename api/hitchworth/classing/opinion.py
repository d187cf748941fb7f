"""What one authority's definitions say of one trailer: every definition judged, the verdict, and what is missing."""

from datetime import date

from msgspec import Struct

from hitchworth.classing.missing import missing_facts, missing_jurisdiction
from hitchworth.classing.readings import Readings
from hitchworth.classing.registered_class import class_elsewhere, class_key
from hitchworth.classing.verdict import Judged, consistent, judge_all, verdict_of
from hitchworth.model.assessment import MissingFact, Verdict
from hitchworth.reference.definitions import definitions_for
from hitchworth.reference.jurisdictions import jurisdiction as entry_of


class Subject(Struct, frozen=True, kw_only=True):
    """The trailer: what its document says, what is known of it, and when."""

    document: str | None
    """The class in the words of the document."""
    facts: Readings
    as_of: date


class Opinion(Struct, frozen=True, kw_only=True):
    """The outcome under the definitions of one jurisdiction."""

    jurisdiction: str | None
    chain: tuple[str, ...]
    registered: str | None
    judged: tuple[Judged, ...]
    verdict: Verdict
    missing: tuple[MissingFact, ...]


def opinion(subject: Subject, jurisdiction: str | None) -> Opinion:
    """The opinion where the trailer is registered. Raises UnknownJurisdictionError."""
    if jurisdiction is None:
        return _without_jurisdiction(subject)
    return _opinion(subject, jurisdiction, class_key(subject.document, _chain(jurisdiction)))


def opinion_elsewhere(subject: Subject, home: str | None, jurisdiction: str) -> Opinion:
    """The opinion of another authority, its words put for those of the document. Raises UnknownJurisdictionError."""
    registered = class_key(subject.document, _chain(home) if home else ())
    there = class_elsewhere(registered, definitions_for(jurisdiction, subject.as_of), subject.facts)
    return _opinion(subject, jurisdiction, there)


def _chain(jurisdiction: str) -> tuple[str, ...]:
    return entry_of(jurisdiction).chain


def _opinion(subject: Subject, jurisdiction: str, registered: str | None) -> Opinion:
    judged = judge_all(definitions_for(jurisdiction, subject.as_of), registered, subject.facts)
    verdict = verdict_of(consistent(judged, registered))
    return Opinion(
        jurisdiction=jurisdiction,
        chain=_chain(jurisdiction),
        registered=registered,
        judged=judged,
        verdict=verdict,
        missing=missing_facts(judged, registered, subject.facts) if verdict == "undetermined" else (),
    )


def _without_jurisdiction(subject: Subject) -> Opinion:
    return Opinion(
        jurisdiction=None,
        chain=(),
        registered=class_key(subject.document, ()),
        judged=(),
        verdict="undetermined",
        missing=(missing_jurisdiction(),),
    )
