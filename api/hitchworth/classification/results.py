"""The records of an assessment, from the judged definitions. `localization` writes their sentences."""

from collections.abc import Sequence
from typing import get_args

from hitchworth.classification.build_facts import BuildFacts
from hitchworth.classification.class_reading import ClassReading
from hitchworth.classification.judgment import element_result
from hitchworth.classification.jurisdiction_assessment import JurisdictionAssessment
from hitchworth.classification.registered_class import body_codes_in, class_fields_of_document
from hitchworth.classification.verdict import JudgedDefinition, registered_definition
from hitchworth.model.assessment import (
    ClassWord,
    NearMiss,
    Outlook,
    PresetFact,
    RegisteredResult,
    TrailerKind,
    View,
    WorkingReading,
)
from hitchworth.model.definition import DefinitionResult, ElementResult
from hitchworth.reference.class_words import nearest_words
from hitchworth.reference.registration_documents import family_of_class, presets_of


def registered_result(assessment: JurisdictionAssessment, written_class: str | None) -> RegisteredResult:
    """Return the registered class compared with its own definition, if there is one."""
    own = registered_definition(assessment.judged, assessment.registered)
    return RegisteredResult(
        class_=assessment.registered,
        definition=own.definition.id if own else None,
        holds=own.holds if own else None,
        elements=_elements(own) if own else (),
        body_codes=body_codes_in(written_class, assessment.chain),
        document_fields=class_fields_of_document(assessment.chain),
        nearest_words=_nearest_words(assessment) if own is None else (),
    )


def _nearest_words(assessment: JurisdictionAssessment) -> tuple[ClassWord, ...]:
    """Return the words for the kind of the class; of a class whose kind is not known, those that there are of any."""
    code, family = assessment.jurisdiction, family_of_class(assessment.registered)
    if code is None or assessment.registered is None:
        return ()
    if family is not None:
        return nearest_words(code, family.name, assessment.as_of)
    words = (word for kind in get_args(TrailerKind) for word in nearest_words(code, kind, assessment.as_of))
    return tuple(word for word in words if word.word)


def working_reading(reading: ClassReading) -> WorkingReading | None:
    """Return by what a class without a definition was read; None where the definitions themselves decide."""
    if not reading.is_working:
        return None
    return WorkingReading(
        basis=reading.basis,
        read_by=tuple(one.definition.id for one in reading.own),
        contradicted_by=tuple(one.definition.id for one in (*reading.against, *reading.opposed)),
        holds=reading.holds,
    )


def preset_facts(registered: str | None, facts: BuildFacts) -> tuple[PresetFact, ...]:
    """Return the facts that are taken from the registered class because they were not given."""
    return tuple(
        PresetFact(
            fact=preset.fact,
            value=preset.value,
            class_=registered,
            source=preset.source,
            verified=preset.provenance == "published",
        )
        for preset in presets_of(registered)
        if registered is not None and facts[preset.fact].preset
    )


def built_results(assessment: JurisdictionAssessment) -> tuple[DefinitionResult, ...]:
    """Return every judged definition, those of the nearest jurisdiction first."""
    return tuple(_definition_result(one) for one in assessment.judged)


def view(assessment: JurisdictionAssessment, outlook: Outlook, written_class: str | None) -> View:
    """Return the assessment as another view of the trailer."""
    return View(
        outlook=outlook,
        jurisdiction=assessment.jurisdiction or "",
        verdict=assessment.verdict,
        registered=registered_result(assessment, written_class),
        built=built_results(assessment),
        missing_facts=assessment.missing,
        near_misses=near_misses(assessment.judged),
        working_reading=working_reading(assessment.reading),
    )


def near_misses(judged: Sequence[JudgedDefinition]) -> tuple[NearMiss, ...]:
    """Return the definitions of two or more conditions that the trailer meets in all but one, with that one."""
    missed = ((one, [part for part in one.judgment.parts if not part.holds]) for one in judged if one.holds is False)
    return tuple(
        NearMiss(
            definition=one.definition.id,
            class_=one.definition.class_,
            title=one.definition.title,
            element=element_result(parts[0], one.definition.citation),
        )
        for one, parts in missed
        if one.judgment.condition.rule == "all" and len(parts) == 1 < len(one.judgment.parts)
    )


def _definition_result(one: JudgedDefinition) -> DefinitionResult:
    definition = one.definition
    return DefinitionResult(
        id=definition.id,
        class_=definition.class_,
        role=definition.role,
        title=definition.title,
        jurisdiction=definition.jurisdiction,
        citation=definition.citation,
        version=definition.version,
        verified=definition.verified,
        contradicts_registered=one.contradicts,
        holds=one.holds,
        elements=_elements(one),
        rule=one.judgment.condition.rule,
        provenance=definition.provenance,
        elements_provenance=definition.elements_provenance,
        elements_note=definition.elements_note,
        note=definition.note,
    )


def _elements(one: JudgedDefinition) -> tuple[ElementResult, ...]:
    return tuple(element_result(part, one.definition.citation) for part in one.judgment.parts)
