"""The assessment: registered class against built use where the trailer is registered, and by other definitions."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date

from msgspec.structs import replace

from hitchworth.classification.advice import remedies_for, standards_on_label
from hitchworth.classification.build_facts import BuildFacts, parse_facts
from hitchworth.classification.jurisdiction_assessment import Trailer, assess_at_home, assess_elsewhere
from hitchworth.classification.registered_class import class_key
from hitchworth.classification.results import (
    built_results,
    near_misses,
    preset_facts,
    registered_result,
    view,
    working_reading,
)
from hitchworth.classification.towing import towing_rule_results
from hitchworth.classification.vin import decode_vin, suggest_vin
from hitchworth.model.assessment import Assessment, View
from hitchworth.model.build import Base, FactValue
from hitchworth.model.entry import Component
from hitchworth.reference import jurisdictions
from hitchworth.reference.registration_documents import presets_of

INSURERS = "INS"
"""The entry of the library for what insurers usually mean by their words."""


def assess(
    jurisdiction: str | None,
    registered_class: str | None,
    facts: Mapping[str, FactValue],
    as_of: date,
    *,
    vin: str | None = None,
    components: Sequence[Component] = (),
    base: Base | None = None,
    travels_to: Sequence[str] = (),
) -> Assessment:
    """Return the trailer's class by the definitions in force on the date.

    The verdict is for the trailer as it is now: planned facts count as unknown. `views` assess it as planned (if a
    fact is planned), in insurers' usual terms, and in each jurisdiction of `travels_to`. Where the place defines no
    such class, the verdict is that of a working reading, which `working_reading` describes. Without a VIN, a serial
    number of the components may be suggested as one. Sentences are left empty; `localization` writes them.

    Raises UnknownJurisdictionError, KeyError for an unknown fact, InvalidFactError.
    """
    given = parse_facts(facts)
    written_class = registered_class or _class_given_as_fact(given)
    build_facts = given.with_presets(_presets(written_class, jurisdiction))
    trailer = Trailer(written_class=written_class, facts=build_facts, as_of=as_of)
    home = assess_at_home(trailer, jurisdiction)
    places = frozenset({"*", *home.chain, *([jurisdiction] if jurisdiction else [])})
    rules = tuple(towing_rule_results(home, places, build_facts))
    return Assessment(
        as_of=as_of,
        jurisdiction=jurisdiction,
        verdict=home.verdict,
        registered=registered_result(home, written_class),
        built=built_results(home),
        missing_facts=home.missing,
        presets=preset_facts(home.registered, build_facts),
        remedies=remedies_for(home, places, build_facts, rules, components=components, base=base),
        statement="",
        near_misses=near_misses(home.judged),
        towing_rules=rules,
        vin_check=decode_vin(vin, home.chain, as_of) if vin else suggest_vin(components, home.chain, as_of),
        standards=standards_on_label(build_facts),
        views=tuple(_views(trailer, jurisdiction, travels_to)),
        working_reading=working_reading(home.reading),
    )


def _class_given_as_fact(facts: BuildFacts) -> str | None:
    value = facts["registered_class"].value
    return value if isinstance(value, str) else None


def _presets(written_class: str | None, jurisdiction: str | None) -> dict[str, bool]:
    """Return what the registered class implies. Raises UnknownJurisdictionError."""
    chain = jurisdictions.jurisdiction(jurisdiction).chain if jurisdiction else ()
    return {preset.fact: preset.value for preset in presets_of(class_key(written_class, chain))}


def _views(trailer: Trailer, registered_in: str | None, travels_to: Sequence[str]) -> Iterator[View]:
    if registered_in and trailer.facts.any_planned:
        planned = replace(trailer, facts=trailer.facts.as_planned())
        yield view(assess_at_home(planned, registered_in), "as_planned", trailer.written_class)
    yield view(assess_elsewhere(trailer, registered_in, INSURERS), "insurer", trailer.written_class)
    for destination in travels_to:
        yield view(assess_elsewhere(trailer, registered_in, destination), "across_border", trailer.written_class)
