"""The words of an assessment: why an element holds or does not, and what the verdict says."""

from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal, InvalidOperation
from types import MappingProxyType

from msgspec.structs import replace

from hitchworth.model.assessment import (
    Assessment,
    DefinitionResult,
    ElementResult,
    FactTest,
    MissingFact,
    NearMiss,
    Operator,
    RegisteredResult,
    Remedy,
    View,
    WeightWarning,
)
from hitchworth.model.identification import IdentificationNumber
from hitchworth.wording.class_statement import class_statement
from hitchworth.wording.notes import worded_note
from hitchworth.wording.texts import texts
from hitchworth.wording.voice import Voice

FEWEST_PLACES, MOST_PLACES = 2, 9
"""Decimal places of a measure: as few as tell it from the threshold."""

CONTRARY: Mapping[Operator, Operator] = MappingProxyType(
    {"==": "!=", "!=": "==", "<=": ">", "<": ">=", ">=": "<", ">": "<=", "in": "!="}
)


def worded_assessment(assessment: Assessment, voice: Voice) -> Assessment:
    """The assessment with its statement and reasons, and with published texts translated where the catalog has them."""
    spoken = replace(
        assessment,
        registered=_registered(assessment.registered, voice),
        built=tuple(_definition(definition, voice) for definition in assessment.built),
        missing_facts=tuple(_missing(fact, voice) for fact in assessment.missing_facts),
        remedies=tuple(_remedy(remedy, voice) for remedy in assessment.remedies),
        near_misses=tuple(_near_miss(near, voice) for near in assessment.near_misses),
        weights=tuple(_weight(warning, voice) for warning in assessment.weights),
        identification=_identification(assessment.identification, voice),
        views=tuple(_view(view, voice) for view in assessment.views),
    )
    return replace(spoken, statement=class_statement(spoken, voice))


def _registered(registered: RegisteredResult, voice: Voice) -> RegisteredResult:
    return replace(
        registered,
        elements=tuple(_element(element, voice) for element in registered.elements),
        body_codes=tuple(replace(code, meaning=voice.translated(code.meaning)) for code in registered.body_codes),
        document_fields=tuple(
            replace(field, meaning=voice.translated(field.meaning)) for field in registered.document_fields
        ),
    )


def _definition(definition: DefinitionResult, voice: Voice) -> DefinitionResult:
    return replace(
        definition,
        title=voice.translated(definition.title),
        elements=tuple(_element(element, voice) for element in definition.elements),
        note=voice.translated(definition.note),
    )


def _element(element: ElementResult, voice: Voice) -> ElementResult:
    """The reason names the comparisons that made the element come out as it did."""
    return replace(
        element,
        text=voice.translated(element.text),
        because=" ".join((*_count(element, voice), _reasons(element.tests, voice))),
        parts=tuple(_element(part, voice) for part in element.parts),
    )


def _near_miss(near: NearMiss, voice: Voice) -> NearMiss:
    title, element = voice.translated(near.title), _element(near.element, voice)
    missed = voice.say(texts().verdicts["near_miss"], title=title, element=element.text)
    return replace(near, title=title, element=element, text=f"{missed} {element.because}")


def _weight(warning: WeightWarning, voice: Voice) -> WeightWarning:
    return replace(
        warning,
        text=voice.translated(warning.text),
        source=voice.translated(warning.source),
        caution=voice.translated(warning.caution),
        because=_reasons(warning.tests, voice),
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


def _count(element: ElementResult, voice: Voice) -> Iterator[str]:
    """How many conditions hold, where some of several are enough."""
    if element.rule == "at_least" or (element.rule == "any" and not element.holds):
        counts = (element.held, element.conditions, element.needed or 1)
        held, conditions, needed = map(str, counts)
        yield voice.say(texts().elements["count"], held=held, conditions=conditions, needed=needed)


def _reasons(tests: Sequence[FactTest], voice: Voice) -> str:
    """The comparisons that decided; where none did, all of them."""
    deciding = [test for test in tests if test.decides] or tests
    return " ".join(dict.fromkeys(_because(test, voice) for test in deciding))


def _because(test: FactTest, voice: Voice) -> str:
    """The fact as it was compared, in the unit of the definition, and what was asked for."""
    places = _places(test, voice)
    wanted = _wanted(test, voice, places)
    if test.value is None:
        return voice.say(texts().elements["unknown"], fact=test.fact, wanted=wanted)
    value = _shown(test.value if test.compared is None else test.compared, test, voice, places)
    return voice.say(texts().elements["known"], fact=test.fact, value=value, wanted=wanted)


def _places(test: FactTest, voice: Voice) -> int:
    """So many decimal places that a value beside a threshold is not shown as the threshold itself."""
    compared, threshold = test.compared, test.threshold
    if compared is None or not isinstance(threshold, str) or Decimal(compared) == Decimal(threshold):
        return FEWEST_PLACES
    apart = (
        places
        for places in range(FEWEST_PLACES, MOST_PLACES)
        if _shown(compared, test, voice, places) != _shown(threshold, test, voice, places)
    )
    return next(apart, MOST_PLACES)


def _wanted(test: FactTest, voice: Voice, places: int) -> str:
    """What the element asks for; under a `not`, the contrary of the comparison."""
    threshold, operator = test.threshold, test.operator
    if test.negated and isinstance(threshold, bool):
        threshold = not threshold
    elif test.negated:
        operator = CONTRARY[operator]
    choices = threshold if isinstance(threshold, tuple) else (threshold,)
    value = ", ".join(_shown(choice, test, voice, places) for choice in choices)
    return voice.say(texts().conditions[operator], value=value)


def _shown(value: bool | int | str | None, test: FactTest, voice: Voice, places: int) -> str:
    """A value of a fact in words: yes and no, a measure with its unit, or one of the fact's own values."""
    if isinstance(value, bool):
        return voice.label("yes_no", str(value).lower())
    try:
        number = Decimal(str(value))
    except InvalidOperation:
        return voice.label(test.fact, str(value))
    return voice.formats.measure(number, test.unit, places)


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
