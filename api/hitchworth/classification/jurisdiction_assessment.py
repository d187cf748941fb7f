"""The assessment of a trailer under one jurisdiction: its definitions judged, the verdict, and the missing facts."""

from datetime import date

from msgspec import Struct

from hitchworth.classification.build_facts import BuildFacts
from hitchworth.classification.class_reading import ClassReading, class_reading
from hitchworth.classification.missing_facts import missing_facts, missing_jurisdiction
from hitchworth.classification.registered_class import class_key, equivalent_class
from hitchworth.classification.verdict import JudgedDefinition, judge_all, verdict_of
from hitchworth.model.assessment import MissingFact, Verdict
from hitchworth.reference import jurisdictions
from hitchworth.reference.definitions import definitions_for


class Trailer(Struct, frozen=True, kw_only=True):
    """The trailer to assess: the class on its document, its facts, and the date."""

    written_class: str | None
    """The class in the words of the document."""
    facts: BuildFacts
    as_of: date


class JurisdictionAssessment(Struct, frozen=True, kw_only=True):
    """The outcome under the definitions of one jurisdiction."""

    jurisdiction: str | None
    chain: tuple[str, ...]
    registered: str | None
    judged: tuple[JudgedDefinition, ...]
    reading: ClassReading
    verdict: Verdict
    missing: tuple[MissingFact, ...]
    as_of: date


def assess_at_home(trailer: Trailer, jurisdiction: str | None) -> JurisdictionAssessment:
    """Assess the trailer where it is registered. Raises UnknownJurisdictionError."""
    if jurisdiction is None:
        return _without_jurisdiction(trailer)
    return _assess(trailer, jurisdiction, class_key(trailer.written_class, _chain(jurisdiction)))


def assess_elsewhere(trailer: Trailer, registered_in: str | None, jurisdiction: str) -> JurisdictionAssessment:
    """Assess the trailer under another authority's equivalent class. Raises UnknownJurisdictionError."""
    registered = class_key(trailer.written_class, _chain(registered_in) if registered_in else ())
    equivalent = equivalent_class(registered, definitions_for(jurisdiction, trailer.as_of), trailer.facts)
    return _assess(trailer, jurisdiction, equivalent)


def _chain(jurisdiction: str) -> tuple[str, ...]:
    return jurisdictions.jurisdiction(jurisdiction).chain


def _assess(trailer: Trailer, jurisdiction: str, registered: str | None) -> JurisdictionAssessment:
    judged = judge_all(definitions_for(jurisdiction, trailer.as_of), registered, trailer.facts)
    reading = class_reading(judged, registered, _chain(jurisdiction))
    verdict = verdict_of(reading.fits)
    return JurisdictionAssessment(
        jurisdiction=jurisdiction,
        chain=_chain(jurisdiction),
        registered=registered,
        judged=judged,
        reading=reading,
        verdict=verdict,
        missing=missing_facts(reading, registered, trailer.facts) if verdict == "undetermined" else (),
        as_of=trailer.as_of,
    )


def _without_jurisdiction(trailer: Trailer) -> JurisdictionAssessment:
    return JurisdictionAssessment(
        jurisdiction=None,
        chain=(),
        registered=class_key(trailer.written_class, ()),
        judged=(),
        reading=ClassReading(own=(), against=()),
        verdict="undetermined",
        missing=(missing_jurisdiction(),),
        as_of=trailer.as_of,
    )
