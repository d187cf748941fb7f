"""The statement of an assessment: the verdict, its reasons, what to find out first, and what was not verified."""

from collections.abc import Iterator

from hitchworth.localization.localizer import Localizer
from hitchworth.localization.texts import texts
from hitchworth.localization.working_readings import (
    deciding_definitions,
    verdict_label,
    words_of_place,
)
from hitchworth.model.assessment import Assessment
from hitchworth.model.definition import DefinitionResult
from hitchworth.reference.jurisdictions import jurisdictions


def class_statement(assessment: Assessment, localizer: Localizer) -> str:
    """Return the paragraph, from an assessment whose reasons are localized already."""
    sentences = (
        *_verdict(assessment, localizer),
        _reasons(assessment),
        _first(assessment, localizer),
        _meets(assessment, localizer),
        _planned(assessment, localizer),
        _wider(assessment, localizer),
        _not_verified(assessment, localizer),
    )
    return " ".join(sentence for sentence in sentences if sentence)


def _verdict(assessment: Assessment, localizer: Localizer) -> tuple[str, ...]:
    registered, reading = assessment.registered, assessment.working_reading
    if assessment.jurisdiction and reading is not None:
        return (*words_of_place(assessment, assessment.jurisdiction, localizer), reading.text)
    if assessment.jurisdiction and assessment.verdict == "undetermined" and registered.nearest_words:
        undecided = localizer.format(texts().verdicts["undetermined"], registered=registered.class_)
        return (*words_of_place(assessment, assessment.jurisdiction, localizer), undecided)
    return (_verdict_by_definition(assessment, localizer),)


def _verdict_by_definition(assessment: Assessment, localizer: Localizer) -> str:
    verdicts, registered = texts().verdicts, assessment.registered
    if registered.class_ is None:
        return localizer.format(verdicts["no_registered_class"])
    if assessment.verdict == "match":
        return localizer.format(verdicts["match"], registered=registered.class_)
    if assessment.verdict == "mismatch":
        return _mismatch(assessment, registered.class_, localizer)
    if assessment.jurisdiction and registered.definition is None:
        return localizer.format(verdicts["no_definition"], registered=registered.class_)
    facts = _named((missing.fact for missing in assessment.missing_facts), localizer)
    sentence = verdicts["undetermined_facts" if facts else "undetermined"]
    return localizer.format(sentence, registered=registered.class_, facts=facts)


def _mismatch(assessment: Assessment, registered: str, localizer: Localizer) -> str:
    """Return the first definition that contradicts the class, or, without one, that the class's own is not met."""
    contradicting = next(_contradicting(assessment), None)
    if contradicting is not None:
        return localizer.format(
            texts().verdicts["mismatch_built"],
            registered=registered,
            title=contradicting.title,
            citation=contradicting.citation,
        )
    citation = next((element.citation for element in assessment.registered.elements), "")
    return localizer.format(texts().verdicts["mismatch_registered"], registered=registered, citation=citation)


def _contradicting(assessment: Assessment) -> Iterator[DefinitionResult]:
    return (built for built in assessment.built if built.holds and built.contradicts_registered)


def _reasons(assessment: Assessment) -> str:
    """Return the conditions of the registered class that are certainly not met."""
    return " ".join(element.because for element in assessment.registered.elements if element.holds is False)


def _meets(assessment: Assessment, localizer: Localizer) -> str:
    """Return the classes that the build meets, except those that the verdict has named."""
    named = {assessment.registered.definition if assessment.verdict == "match" else None}
    named |= {built.id for built in list(_contradicting(assessment))[:1] if assessment.verdict == "mismatch"}
    named |= {built.id for built in deciding_definitions(assessment)}
    met = [built for built in assessment.built if built.role == "class" and built.holds and built.id not in named]
    titles = "; ".join(f"{built.title} ({built.citation})" for built in met)
    return localizer.format(texts().verdicts["meets"], titles=titles) if titles else ""


def _first(assessment: Assessment, localizer: Localizer) -> str:
    """Return the fewest facts that can settle the verdict; empty when the verdict has just named the same facts."""
    missing = assessment.missing_facts
    first = [fact.fact for fact in missing if fact.decisive and fact.fact != "registered_class"]
    named = assessment.registered.definition is not None and len(first) == len(missing)
    return localizer.format(texts().verdicts["first"], facts=_named(first, localizer)) if first and not named else ""


def _planned(assessment: Assessment, localizer: Localizer) -> str:
    """Return the verdict once everything planned is done, where it differs."""
    planned = next((view for view in assessment.views if view.outlook == "as_planned"), None)
    if planned is None or planned.verdict == assessment.verdict:
        return ""
    return localizer.format(texts().sheet["as_planned"], verdict=verdict_label(planned, localizer))


def _wider(assessment: Assessment, localizer: Localizer) -> str:
    """Return whose definitions are used where the jurisdiction has none of its own."""
    code = assessment.jurisdiction
    if code is None or any(built.jurisdiction == code for built in assessment.built):
        return ""
    wider = (localizer.place(link) for link in jurisdictions()[code].chain if link != code)
    return localizer.format(texts().verdicts["wider"], place=localizer.place(code), wider=", ".join(wider))


def _not_verified(assessment: Assessment, localizer: Localizer) -> str:
    """Return the sentence on the deciding definitions that were not verified."""
    citations = "; ".join(unread_citations(assessment))
    return localizer.format(texts().verdicts["not_verified"], citations=citations) if citations else ""


def unread_citations(assessment: Assessment) -> tuple[str, ...]:
    """Return the citations of the deciding definitions that were not verified against the published text."""
    if assessment.registered.class_ is None:
        return ()
    deciding = {assessment.registered.definition, *(built.id for built in _contradicting(assessment))}
    deciding |= {built.id for built in deciding_definitions(assessment)}
    unread = [built.citation for built in assessment.built if built.id in deciding and not built.verified]
    return tuple(dict.fromkeys(unread))


def _named(facts: Iterator[str] | list[str], localizer: Localizer) -> str:
    return ", ".join(localizer.label("fact", fact) for fact in facts)
