"""The words of an assessment: why an element holds or does not, and what the verdict says."""

from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal, InvalidOperation
from types import MappingProxyType

from msgspec.structs import replace

from hitchworth.localization.class_statement import class_statement
from hitchworth.localization.localizer import Localizer
from hitchworth.localization.notes import localize_note
from hitchworth.localization.texts import texts
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

FEWEST_PLACES, MOST_PLACES = 2, 9
"""Decimal places of a measure: as few as tell it from the threshold."""

CONTRARY: Mapping[Operator, Operator] = MappingProxyType(
    {"==": "!=", "!=": "==", "<=": ">", "<": ">=", ">=": "<", ">": "<=", "in": "!="}
)


def localize_assessment(assessment: Assessment, localizer: Localizer) -> Assessment:
    """The assessment with its statement and reasons, and with published texts translated where the catalog has them."""
    answered_locale = replace(
        assessment,
        registered=_registered(assessment.registered, localizer),
        built=tuple(_definition(definition, localizer) for definition in assessment.built),
        missing_facts=tuple(_missing(fact, localizer) for fact in assessment.missing_facts),
        remedies=tuple(_remedy(remedy, localizer) for remedy in assessment.remedies),
        near_misses=tuple(_near_miss(near, localizer) for near in assessment.near_misses),
        weights=tuple(_weight(warning, localizer) for warning in assessment.weights),
        identification=_identification(assessment.identification, localizer),
        views=tuple(_view(view, localizer) for view in assessment.views),
    )
    return replace(answered_locale, statement=class_statement(answered_locale, localizer))


def _registered(registered: RegisteredResult, localizer: Localizer) -> RegisteredResult:
    return replace(
        registered,
        elements=tuple(_element(element, localizer) for element in registered.elements),
        body_codes=tuple(replace(code, meaning=localizer.translate(code.meaning)) for code in registered.body_codes),
        document_fields=tuple(
            replace(field, meaning=localizer.translate(field.meaning)) for field in registered.document_fields
        ),
    )


def _definition(definition: DefinitionResult, localizer: Localizer) -> DefinitionResult:
    return replace(
        definition,
        title=localizer.translate(definition.title),
        elements=tuple(_element(element, localizer) for element in definition.elements),
        note=localizer.translate(definition.note),
    )


def _element(element: ElementResult, localizer: Localizer) -> ElementResult:
    """The reason names the comparisons that made the element come out as it did."""
    return replace(
        element,
        text=localizer.translate(element.text),
        because=" ".join((*_count(element, localizer), _reasons(element.tests, localizer))),
        parts=tuple(_element(part, localizer) for part in element.parts),
    )


def _near_miss(near: NearMiss, localizer: Localizer) -> NearMiss:
    title, element = localizer.translate(near.title), _element(near.element, localizer)
    missed = localizer.format(texts().verdicts["near_miss"], title=title, element=element.text)
    return replace(near, title=title, element=element, text=f"{missed} {element.because}")


def _weight(warning: WeightWarning, localizer: Localizer) -> WeightWarning:
    return replace(
        warning,
        text=localizer.translate(warning.text),
        source=localizer.translate(warning.source),
        caution=localizer.translate(warning.caution),
        because=_reasons(warning.tests, localizer),
    )


def _identification(number: IdentificationNumber | None, localizer: Localizer) -> IdentificationNumber | None:
    if number is None:
        return None
    return replace(number, notes=tuple(localize_note(note, localizer) for note in number.notes))


def _view(view: View, localizer: Localizer) -> View:
    return replace(
        view,
        registered=_registered(view.registered, localizer),
        built=tuple(_definition(definition, localizer) for definition in view.built),
        missing_facts=tuple(_missing(fact, localizer) for fact in view.missing_facts),
        near_misses=tuple(_near_miss(near, localizer) for near in view.near_misses),
    )


def _count(element: ElementResult, localizer: Localizer) -> Iterator[str]:
    """How many conditions hold, where some of several are enough."""
    if element.rule == "at_least" or (element.rule == "any" and not element.holds):
        counts = (element.held, element.conditions, element.needed or 1)
        held, conditions, needed = map(str, counts)
        yield localizer.format(texts().elements["count"], held=held, conditions=conditions, needed=needed)


def _reasons(tests: Sequence[FactTest], localizer: Localizer) -> str:
    """The comparisons that decided; where none did, all of them."""
    deciding = [test for test in tests if test.decides] or tests
    return " ".join(dict.fromkeys(_because(test, localizer) for test in deciding))


def _because(test: FactTest, localizer: Localizer) -> str:
    """The fact as it was compared, in the unit of the definition, and what was asked for."""
    places = _places(test, localizer)
    wanted = _wanted(test, localizer, places)
    if test.value is None:
        return localizer.format(texts().elements["unknown"], fact=test.fact, wanted=wanted)
    value = _shown(test.value if test.compared is None else test.compared, test, localizer, places)
    return localizer.format(texts().elements["known"], fact=test.fact, value=value, wanted=wanted)


def _places(test: FactTest, localizer: Localizer) -> int:
    """So many decimal places that a value beside a threshold is not shown as the threshold itself."""
    compared, threshold = test.compared, test.threshold
    if compared is None or not isinstance(threshold, str) or Decimal(compared) == Decimal(threshold):
        return FEWEST_PLACES
    apart = (
        places
        for places in range(FEWEST_PLACES, MOST_PLACES)
        if _shown(compared, test, localizer, places) != _shown(threshold, test, localizer, places)
    )
    return next(apart, MOST_PLACES)


def _wanted(test: FactTest, localizer: Localizer, places: int) -> str:
    """What the element asks for; under a `not`, the contrary of the comparison."""
    threshold, operator = test.threshold, test.operator
    if test.negated and isinstance(threshold, bool):
        threshold = not threshold
    elif test.negated:
        operator = CONTRARY[operator]
    choices = threshold if isinstance(threshold, tuple) else (threshold,)
    value = ", ".join(_shown(choice, test, localizer, places) for choice in choices)
    return localizer.format(texts().conditions[operator], value=value)


def _shown(value: bool | int | str | None, test: FactTest, localizer: Localizer, places: int) -> str:
    """A value of a fact in words: yes and no, a measure with its unit, or one of the fact's own values."""
    if isinstance(value, bool):
        return localizer.label("yes_no", str(value).lower())
    try:
        number = Decimal(str(value))
    except InvalidOperation:
        return localizer.label(test.fact, str(value))
    return localizer.formats.measure(number, test.unit, places)


def _missing(fact: MissingFact, localizer: Localizer) -> MissingFact:
    return replace(fact, question=localizer.translate(fact.question), measure=localizer.translate(fact.measure))


def _remedy(remedy: Remedy, localizer: Localizer) -> Remedy:
    return replace(
        remedy,
        route=localizer.translate(remedy.route),
        decided_by=localizer.translate(remedy.decided_by),
        needs=tuple(localizer.translate(need) for need in remedy.needs),
        source=localizer.translate(remedy.source),
        caution=localizer.translate(remedy.caution),
    )
