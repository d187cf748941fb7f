"""The texts of an assessment: why an element is met or not, and what the verdict means."""

from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal, InvalidOperation
from types import MappingProxyType

from msgspec.structs import replace

from hitchworth.localization.class_statement import class_statement
from hitchworth.localization.localizer import Localizer
from hitchworth.localization.notes import localize_note
from hitchworth.localization.texts import texts
from hitchworth.localization.working_readings import localize_reading
from hitchworth.model.assessment import (
    Assessment,
    ClassChangeEffect,
    ClassWord,
    MissingFact,
    NearMiss,
    PresetFact,
    RegisteredResult,
    Remedy,
    View,
)
from hitchworth.model.definition import DefinitionResult, ElementResult, FactTest, Operator
from hitchworth.model.towing_rule import TowingRuleResult
from hitchworth.model.vin import VinCheck

MIN_PLACES, MAX_PLACES = 2, 9
"""Decimal places of a measurement: as few as show that it differs from the threshold."""

NEGATED: Mapping[Operator, Operator] = MappingProxyType(
    {"==": "!=", "!=": "==", "<=": ">", "<": ">=", ">=": "<", ">": "<=", "in": "!="}
)


def localize_assessment(assessment: Assessment, localizer: Localizer) -> Assessment:
    """Return the assessment with statement and reasons; published texts are translated where the catalog has them."""
    localized = replace(
        assessment,
        registered=_registered(assessment.registered, localizer),
        built=tuple(_definition(definition, localizer) for definition in assessment.built),
        missing_facts=tuple(_missing_fact(fact, localizer) for fact in assessment.missing_facts),
        presets=tuple(_preset(preset, localizer) for preset in assessment.presets),
        remedies=tuple(_remedy(remedy, localizer) for remedy in assessment.remedies),
        near_misses=tuple(_near_miss(near, localizer) for near in assessment.near_misses),
        towing_rules=tuple(_towing_rule(rule, localizer) for rule in assessment.towing_rules),
        vin_check=localize_vin_check(assessment.vin_check, localizer),
        views=tuple(_view(view, localizer) for view in assessment.views),
    )
    read = replace(localized, working_reading=localize_reading(localized, localizer))
    return replace(read, statement=class_statement(read, localizer))


def _registered(registered: RegisteredResult, localizer: Localizer) -> RegisteredResult:
    return replace(
        registered,
        elements=tuple(_element(element, localizer) for element in registered.elements),
        body_codes=tuple(replace(code, meaning=localizer.translate(code.meaning)) for code in registered.body_codes),
        document_fields=tuple(
            replace(field, meaning=localizer.translate(field.meaning)) for field in registered.document_fields
        ),
        nearest_words=tuple(_class_word(word, localizer) for word in registered.nearest_words),
    )


def _class_word(word: ClassWord, localizer: Localizer) -> ClassWord:
    """Return the word; a title of a definition is translated, a word that the place itself writes is not."""
    shown = localizer.translate(word.word) if word.status == "defined" else word.word
    return replace(word, word=shown, source=localizer.translate(word.source), note=localizer.translate(word.note))


def _definition(definition: DefinitionResult, localizer: Localizer) -> DefinitionResult:
    return replace(
        definition,
        title=localizer.translate(definition.title),
        elements=tuple(_element(element, localizer) for element in definition.elements),
        note=localizer.translate(definition.note),
    )


def _element(element: ElementResult, localizer: Localizer) -> ElementResult:
    """Return the element with its reason: the comparisons that decided its result."""
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


def _towing_rule(rule: TowingRuleResult, localizer: Localizer) -> TowingRuleResult:
    return replace(
        rule,
        text=localizer.format(rule.text or texts().not_looked_up["brakes"], **rule.parameters),
        source=localizer.translate(rule.source),
        caution=localizer.translate(rule.caution),
        because=_reasons(rule.tests, localizer),
    )


def localize_vin_check(number: VinCheck | None, localizer: Localizer) -> VinCheck | None:
    """Return the reading of an identification number with its notes in words; None for none."""
    if number is None:
        return None
    return replace(number, notes=tuple(localize_note(note, localizer) for note in number.notes))


def _view(view: View, localizer: Localizer) -> View:
    localized = replace(
        view,
        registered=_registered(view.registered, localizer),
        built=tuple(_definition(definition, localizer) for definition in view.built),
        missing_facts=tuple(_missing_fact(fact, localizer) for fact in view.missing_facts),
        near_misses=tuple(_near_miss(near, localizer) for near in view.near_misses),
    )
    return replace(localized, working_reading=localize_reading(localized, localizer))


def _count(element: ElementResult, localizer: Localizer) -> Iterator[str]:
    """Yield how many conditions are met, where some of several are enough."""
    if element.rule == "at_least" or (element.rule == "any" and not element.holds):
        counts = (element.parts_met, element.part_count, element.needed or 1)
        held, conditions, needed = map(str, counts)
        yield localizer.format(texts().elements["count"], held=held, conditions=conditions, needed=needed)


def _reasons(tests: Sequence[FactTest], localizer: Localizer) -> str:
    """Return the comparisons that decided; where none did, all of them."""
    deciding = [test for test in tests if test.decides] or tests
    return " ".join(dict.fromkeys(_reason(test, localizer) for test in deciding))


def _reason(test: FactTest, localizer: Localizer) -> str:
    """Return the fact as it was compared, in the unit of the definition, and what is required."""
    places = _places(test, localizer)
    required = _required(test, localizer, places)
    if test.value is None:
        return localizer.format(texts().elements["unknown"], fact=test.fact, wanted=required)
    value = _shown(test.value if test.compared is None else test.compared, test, localizer, places)
    known = "preset" if test.preset else "known"
    return localizer.format(texts().elements[known], fact=test.fact, value=value, wanted=required)


def _places(test: FactTest, localizer: Localizer) -> int:
    """Return as many decimal places as it takes to show a value near a threshold as different from it."""
    compared, threshold = test.compared, test.threshold
    if compared is None or not isinstance(threshold, str) or Decimal(compared) == Decimal(threshold):
        return MIN_PLACES
    apart = (
        places
        for places in range(MIN_PLACES, MAX_PLACES)
        if _shown(compared, test, localizer, places) != _shown(threshold, test, localizer, places)
    )
    return next(apart, MAX_PLACES)


def _required(test: FactTest, localizer: Localizer, places: int) -> str:
    """Return what the element requires; under a `not`, the opposite of the comparison."""
    threshold, operator = test.threshold, test.operator
    if test.negated and isinstance(threshold, bool):
        threshold = not threshold
    elif test.negated:
        operator = NEGATED[operator]
    choices = threshold if isinstance(threshold, tuple) else (threshold,)
    value = ", ".join(_shown(choice, test, localizer, places) for choice in choices)
    return localizer.format(texts().conditions[operator], value=value)


def _shown(value: bool | int | str | None, test: FactTest, localizer: Localizer, places: int) -> str:
    """Return a value of a fact in words: yes or no, a measurement with its unit, or one of the fact's own values."""
    if isinstance(value, bool):
        return localizer.label("yes_no", str(value).lower())
    try:
        number = Decimal(str(value))
    except InvalidOperation:
        return localizer.label(test.fact, str(value))
    return localizer.formats.measure(number, test.unit, places)


def _missing_fact(fact: MissingFact, localizer: Localizer) -> MissingFact:
    return replace(fact, question=localizer.translate(fact.question), measure=localizer.translate(fact.measure))


def _preset(preset: PresetFact, localizer: Localizer) -> PresetFact:
    value = localizer.label("yes_no", str(preset.value).lower())
    text = localizer.format(texts().elements["preset_fact"], fact=preset.fact, value=value, registered=preset.class_)
    return replace(preset, source=localizer.translate(preset.source), text=text)


def _remedy(remedy: Remedy, localizer: Localizer) -> Remedy:
    return replace(
        remedy,
        route=localizer.translate(remedy.route),
        decided_by=localizer.translate(remedy.decided_by),
        needs=tuple(localizer.translate(need) for need in remedy.needs),
        source=localizer.translate(remedy.source),
        caution=localizer.translate(remedy.caution),
        brings=tuple(_class_change_effect(effect, localizer) for effect in remedy.brings),
    )


def _class_change_effect(effect: ClassChangeEffect, localizer: Localizer) -> ClassChangeEffect:
    text = localizer.format(effect.text or texts().not_looked_up["class_change"], **effect.parameters)
    return replace(effect, text=text, source=localizer.translate(effect.source))
