"""The assessment: registered class against built use where the trailer is registered, and as others would see it."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date

from msgspec.structs import replace

from hitchworth.classification.identification import examine
from hitchworth.classification.local_assessment import Subject, assess_elsewhere, assess_locally
from hitchworth.classification.near_miss import near_misses
from hitchworth.classification.readings import Readings, read_facts
from hitchworth.classification.remedies import remedies_for
from hitchworth.classification.results import built_results, registered_result, view
from hitchworth.classification.standards import standards_named
from hitchworth.classification.weights import weight_warnings
from hitchworth.model.assessment import Assessment, View
from hitchworth.model.build import FactValue

INSURERS = "INS"
"""The entry of the library for what insurers usually mean by their words."""


def assess(
    jurisdiction: str | None,
    registered_class: str | None,
    facts: Mapping[str, FactValue],
    as_of: date,
    *,
    vin: str | None = None,
    travels_to: Sequence[str] = (),
) -> Assessment:
    """The trailer's class by the definitions in force on the date.

    The verdict is for the trailer as it stands: planned facts count as unknown. `views` shows it as planned (when a
    fact is planned), in insurers' usual terms, and in each jurisdiction of `travels_to`. Sentences are empty here;
    `wording` makes them.

    Raises UnknownJurisdictionError, KeyError for an unknown fact, UnreadableFactError.
    """
    readings = read_facts(facts)
    document = registered_class or _stated_class(readings)
    subject = Subject(document=document, facts=readings, as_of=as_of)
    home = assess_locally(subject, jurisdiction)
    places = frozenset({"*", *home.chain, *([jurisdiction] if jurisdiction else [])})
    return Assessment(
        as_of=as_of,
        jurisdiction=jurisdiction,
        verdict=home.verdict,
        registered=registered_result(home, document),
        built=built_results(home),
        missing_facts=home.missing,
        remedies=remedies_for(home, places, readings),
        statement="",
        near_misses=tuple(near_misses(home.judged)),
        weights=tuple(weight_warnings(places, readings)),
        identification=examine(vin, home.chain, as_of) if vin else None,
        standards=standards_named(readings),
        views=tuple(_views(subject, jurisdiction, travels_to)),
    )


def _stated_class(facts: Readings) -> str | None:
    stated = facts["registered_class"].value
    return stated if isinstance(stated, str) else None


def _views(subject: Subject, home: str | None, travels_to: Sequence[str]) -> Iterator[View]:
    if home and subject.facts.any_planned:
        planned = replace(subject, facts=subject.facts.as_planned())
        yield view(assess_locally(planned, home), "as_planned", subject.document)
    yield view(assess_elsewhere(subject, home, INSURERS), "insurer", subject.document)
    for border in travels_to:
        yield view(assess_elsewhere(subject, home, border), "across_border", subject.document)
