"""The records of an assessment, from what was judged. Sentences are left to `wording`."""

from hitchworth.classing.judgement import element_result
from hitchworth.classing.near_miss import near_misses
from hitchworth.classing.opinion import Opinion
from hitchworth.classing.registered_class import explained, fields_of_document
from hitchworth.classing.verdict import Judged, own_definition
from hitchworth.model.assessment import DefinitionResult, ElementResult, Outlook, RegisteredResult, View


def registered_result(opinion: Opinion, document: str | None) -> RegisteredResult:
    """The registered class held against its own definition, where there is one."""
    own = own_definition(opinion.judged, opinion.registered)
    return RegisteredResult(
        class_=opinion.registered,
        definition=own.definition.id if own else None,
        holds=own.holds if own else None,
        elements=_elements(own) if own else (),
        body_codes=explained(document, opinion.chain),
        document_fields=fields_of_document(opinion.chain),
    )


def built_results(opinion: Opinion) -> tuple[DefinitionResult, ...]:
    """Every definition of the chain, the nearest jurisdiction's first."""
    return tuple(_definition_result(one) for one in opinion.judged)


def view(opinion: Opinion, outlook: Outlook, document: str | None) -> View:
    """The opinion as one of the other ways to see the trailer."""
    return View(
        outlook=outlook,
        jurisdiction=opinion.jurisdiction or "",
        verdict=opinion.verdict,
        registered=registered_result(opinion, document),
        built=built_results(opinion),
        missing_facts=opinion.missing,
        near_misses=tuple(near_misses(opinion.judged)),
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
        rule=one.judgement.condition.rule,
        mark=definition.mark,
        elements_mark=definition.elements_mark,
        note=definition.note,
    )


def _elements(one: Judged) -> tuple[ElementResult, ...]:
    return tuple(element_result(part, one.definition.citation) for part in one.judgement.parts)
