"""The words of an assessment: why an element holds or does not, and what the verdict says."""

from decimal import Decimal, InvalidOperation

from msgspec.structs import replace

from hitchworth.model.assessment import (
    Assessment,
    DefinitionResult,
    ElementResult,
    FactTest,
    MissingFact,
    NearMiss,
    RegisteredResult,
    Remedy,
    View,
    WeightWarning,
)
from hitchworth.model.identification import IdentificationNumber
from hitchworth.wording.notes import worded_note
from hitchworth.wording.texts import texts
from hitchworth.wording.voice import Voice


def worded_assessment(assessment: Assessment, voice: Voice) -> Assessment:
    """The assessment with its statement and reasons, and with published texts translated where the catalog has them."""
    return replace(
        assessment,
        registered=_registered(assessment.registered, voice),
        built=tuple(_definition(definition, voice) for definition in assessment.built),
        missing_facts=tuple(_missing(fact, voice) for fact in assessment.missing_facts),
        remedies=tuple(_remedy(remedy, voice) for remedy in assessment.remedies),
        near_misses=tuple(_near_miss(near, voice) for near in assessment.near_misses),
        weights=tuple(_weight(warning, voice) for warning in assessment.weights),
        identification=_identification(assessment.identification, voice),
        views=tuple(_view(view, voice) for view in assessment.views),
        statement=_statement(assessment, voice),
    )


def _registered(registered: RegisteredResult, voice: Voice) -> RegisteredResult:
    return replace(registered, elements=tuple(_element(element, voice) for element in registered.elements))


def _definition(definition: DefinitionResult, voice: Voice) -> DefinitionResult:
    return replace(
        definition,
        title=voice.translated(definition.title),
        elements=tuple(_element(element, voice) for element in definition.elements),
        note=voice.translated(definition.note),
    )


def _element(element: ElementResult, voice: Voice) -> ElementResult:
    """The reason names the comparisons that made the element come out as it did."""
    deciding = [test for test in element.tests if test.decides] or element.tests
    return replace(
        element,
        text=voice.translated(element.text),
        because=" ".join(_because(test, voice) for test in deciding),
        parts=tuple(_element(part, voice) for part in element.parts),
    )


def _near_miss(near: NearMiss, voice: Voice) -> NearMiss:
    return replace(near, title=voice.translated(near.title), element=_element(near.element, voice))


def _weight(warning: WeightWarning, voice: Voice) -> WeightWarning:
    return replace(
        warning,
        text=voice.translated(warning.text),
        source=voice.translated(warning.source),
        caution=voice.translated(warning.caution),
    )


def _identification(number: IdentificationNumber | None, voice: Voice) -> IdentificationNumber | None:
    if number is None:
        return None
    return replace(number, notes=tuple(worded_note(note, voice) for note in number.notes))


def _view(view: View, voice: Voice) -> View:
    return replace(
        view,
        registered=_registered(view.registered, voice),
        built=tuple(_definition(definition, voice) for definition in view.built),
        missing_facts=tuple(_missing(fact, voice) for fact in view.missing_facts),
        near_misses=tuple(_near_miss(near, voice) for near in view.near_misses),
    )


def _because(test: FactTest, voice: Voice) -> str:
    wanted = _wanted(test, voice)
    if test.value is None:
        return voice.say(texts().elements["unknown"], fact=test.fact, wanted=wanted)
    return voice.say(texts().elements["known"], fact=test.fact, value=_given(test, voice), wanted=wanted)


def _given(test: FactTest, voice: Voice) -> str:
    """The fact as it was compared: a number in the unit of the definition."""
    return _shown(test.value if test.compared is None else test.compared, test, voice)


def _wanted(test: FactTest, voice: Voice) -> str:
    choices = test.threshold if isinstance(test.threshold, tuple) else (test.threshold,)
    value = ", ".join(_shown(choice, test, voice) for choice in choices)
    return voice.say(texts().conditions[test.operator], value=value)


def _shown(value: bool | int | str | None, test: FactTest, voice: Voice) -> str:
    """A value of a fact in words: yes and no, a measure with its unit, or one of the fact's own values."""
    if isinstance(value, bool):
        return voice.label("yes_no", str(value).lower())
    try:
        number = Decimal(str(value))
    except InvalidOperation:
        return voice.label(test.fact, str(value))
    return voice.formats.measure(number, test.unit)


def _missing(fact: MissingFact, voice: Voice) -> MissingFact:
    return replace(fact, question=voice.translated(fact.question), measure=voice.translated(fact.measure))


def _remedy(remedy: Remedy, voice: Voice) -> Remedy:
    return replace(
        remedy,
        route=voice.translated(remedy.route),
        decided_by=voice.translated(remedy.decided_by),
        needs=tuple(voice.translated(need) for need in remedy.needs),
        source=voice.translated(remedy.source),
        caution=voice.translated(remedy.caution),
    )


def _statement(assessment: Assessment, voice: Voice) -> str:
    verdicts, registered = texts().verdicts, assessment.registered
    if registered.class_ is None:
        return voice.say(verdicts["no_registered_class"])
    if assessment.verdict == "match":
        return voice.say(verdicts["match"], registered=registered.class_)
    if assessment.verdict == "mismatch":
        return _mismatch(assessment, registered.class_, voice)
    facts = ", ".join(voice.label("fact", missing.fact) for missing in assessment.missing_facts)
    sentence = verdicts["undetermined_facts" if facts else "undetermined"]
    return voice.say(sentence, registered=registered.class_, facts=facts)


def _mismatch(assessment: Assessment, registered: str, voice: Voice) -> str:
    """Name the first definition that speaks against the class; without one, the class's own definition failed."""
    against = (built for built in assessment.built if built.holds and built.contradicts_registered)
    contradicting = next(against, None)
    if contradicting is not None:
        return voice.say(
            texts().verdicts["mismatch_built"],
            registered=registered,
            title=contradicting.title,
            citation=contradicting.citation,
        )
    citation = next((element.citation for element in assessment.registered.elements), "")
    return voice.say(texts().verdicts["mismatch_registered"], registered=registered, citation=citation)
