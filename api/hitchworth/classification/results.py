"""The records of an assessment, from what was judged. Sentences are left to `wording`."""

from hitchworth.classification.judgment import element_result
from hitchworth.classification.local_assessment import LocalAssessment
from hitchworth.classification.near_miss import near_misses
from hitchworth.classification.registered_class import explained, fields_of_document
from hitchworth.classification.verdict import Judged, own_definition
from hitchworth.model.assessment import DefinitionResult, ElementResult, Outlook, RegisteredResult, View


def registered_result(local: LocalAssessment, document: str | None) -> RegisteredResult:
    """The registered class held against its own definition, where there is one."""
    own = own_definition(local.judged, local.registered)
    return RegisteredResult(
        class_=local.registered,
        definition=own.definition.id if own else None,
        holds=own.holds if own else None,
        elements=_elements(own) if own else (),
        body_codes=explained(document, local.chain),
        document_fields=fields_of_document(local.chain),
    )


def built_results(local: LocalAssessment) -> tuple[DefinitionResult, ...]:
    """Every definition of the chain, the nearest jurisdiction's first."""
    return tuple(_definition_result(one) for one in local.judged)


def view(local: LocalAssessment, outlook: Outlook, document: str | None) -> View:
    """The local as one of the other ways to see the trailer."""
    return View(
        outlook=outlook,
        jurisdiction=local.jurisdiction or "",
        verdict=local.verdict,
        registered=registered_result(local, document),
        built=built_results(local),
        missing_facts=local.missing,
        near_misses=tuple(near_misses(local.judged)),
    )


def _definition_result(one: Judged) -> DefinitionResult:
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


def _elements(one: Judged) -> tuple[ElementResult, ...]:
    return tuple(element_result(part, one.definition.citation) for part in one.judgment.parts)
