"""What a registered trailer class implies: used when nothing else is given, said to be so, and never asked."""

from datetime import date

import pytest

from hitchworth.classification.assessment import assess
from hitchworth.localization.localize import localize
from hitchworth.model.assessment import Assessment
from hitchworth.model.build import FactValue, Measurement
from hitchworth.model.definition import FactTest
from hitchworth.reference.condition import Condition
from hitchworth.reference.definitions import condition_of, definitions
from hitchworth.reference.facts import vocabulary
from hitchworth.reference.registration_documents import presets_of

AS_OF = date(2026, 11, 25)


def preset(assessment: Assessment) -> dict[str, tuple[bool, str]]:
    return {each.fact: (each.value, each.class_) for each in assessment.presets}


def comparisons_of(assessment: Assessment, fact: str) -> list[FactTest]:
    elements = (element for definition in assessment.built for element in definition.elements)
    return [test for element in elements for test in element.tests if test.fact == fact]


def test_a_trailer_class_says_that_it_is_towed_has_wheels_and_is_built_for_the_road() -> None:
    assert preset(assess("US-WA", "Utility Trailer", {}, AS_OF)) == {
        "self_propelled": (False, "utility_trailer"),
        "vehicular_structure": (True, "utility_trailer"),
        "built_for_road": (True, "utility_trailer"),
    }


def test_a_preset_decides_as_a_fact_that_was_given_would_and_is_marked() -> None:
    (test, *_) = comparisons_of(assess("US-WA", "travel_trailer", {}, AS_OF), "self_propelled")
    assert (test.value, test.holds, test.preset) == (False, True, True)
    (given, *_) = comparisons_of(assess("US-WA", "travel_trailer", {"self_propelled": False}, AS_OF), "self_propelled")
    assert (given.value, given.holds, given.preset) == (False, True, False)


@pytest.mark.parametrize("value", [True, False])
def test_a_fact_that_is_given_goes_before_the_preset(value: bool) -> None:
    found = assess("US-WA", "travel_trailer", {"self_propelled": value}, AS_OF)
    assert "self_propelled" not in preset(found)
    assert {test.value for test in comparisons_of(found, "self_propelled")} == {value}


@pytest.mark.parametrize("unknown", [None, Measurement(value=None), Measurement(value=True, planned=True)])
def test_a_fact_that_is_not_known_or_only_planned_leaves_the_preset(unknown: FactValue) -> None:
    assert preset(assess("US-WA", "travel_trailer", {"self_propelled": unknown}, AS_OF))["self_propelled"][0] is False


def test_a_plan_goes_before_the_preset_in_the_view_as_planned() -> None:
    found = assess("US-WA", "travel_trailer", {"self_propelled": Measurement(value=True, planned=True)}, AS_OF)
    (planned,) = (view for view in found.views if view.outlook == "as_planned")
    # A travel trailer has no motive power, so with an engine it does not match its class.
    assert planned.verdict == "mismatch"
    assert found.verdict == "undetermined"


@pytest.mark.parametrize(
    "written",
    ["caravan", "Trailer (utility)", "boat trailer", "BT", "Wohnanhänger", "So. Anhänger Wohnwagen", "O2", "remorque"],
)
def test_words_of_a_document_name_a_trailer(written: str) -> None:
    key = "_".join(written.casefold().split())
    assert presets_of(key)


@pytest.mark.parametrize(
    "written", [None, "motor_caravan", "motor_home", "recreational_vehicle", "specially_constructed_vehicle", "truck"]
)
def test_no_other_class_implies_anything(written: str | None) -> None:
    assert presets_of(written) == ()
    assert assess("US-WA", written, {}, AS_OF).presets == ()


def test_a_body_code_of_a_trailer_implies_what_its_class_does() -> None:
    assert preset(assess("DE", "SE", {}, AS_OF))["self_propelled"] == (False, "caravan")


def test_a_preset_is_never_missing() -> None:
    for definition in definitions():
        found = assess(definition.jurisdiction, definition.class_, {}, AS_OF)
        assert {missing.fact for missing in found.missing_facts}.isdisjoint(preset(found))


def test_no_class_whose_definition_says_otherwise_implies_anything() -> None:
    for definition in definitions():
        required = _required(condition_of(definition.id))
        clashing = [
            each.fact for each in presets_of(definition.class_) if required.get(each.fact, each.value) != each.value
        ]
        assert clashing == [], definition.id


def _required(condition: Condition) -> dict[str, object]:
    """Return the facts that a definition requires as they are: comparisons that must all hold."""
    parts = condition.parts if condition.rule == "all" else (condition,)
    compared = (part.comparison for part in parts if part.comparison and part.comparison.operator == "==")
    return {comparison.fact: comparison.threshold for comparison in compared}


def test_presets_are_facts_of_the_vocabulary() -> None:
    for each in presets_of("trailer"):
        assert vocabulary()[each.fact].type == "boolean"
        assert each.source


def test_a_preset_is_printed_as_taken_from_the_class() -> None:
    found = localize(assess("US-WA", "travel_trailer", {}, AS_OF), "en-US")
    assert found.presets[0].text == (
        "Own engine that drives it: no. "
        "This is taken from the registered class, travel trailer, because it was not entered."
    )
    towed = next(
        element
        for definition in found.built
        if definition.id == found.registered.definition
        for element in definition.elements
        if element.tests[0].fact == "self_propelled"
    )
    assert towed.because == "Own engine that drives it: no (taken from the registered class); required: no."
