"""The paragraph of an assessment and the reasons of its conditions, in the words of a reader."""

from datetime import date

import pytest

from hitchworth.classification.assessment import assess
from hitchworth.demo import demo_request
from hitchworth.localization.locales import available
from hitchworth.localization.localize import localize
from hitchworth.model.assessment import Assessment
from hitchworth.model.build import FactValue, Measurement
from hitchworth.reference.definitions import definitions
from hitchworth.reference.jurisdictions import jurisdictions

AS_OF = date(2026, 11, 25)
CAMPER: dict[str, FactValue] = {
    "self_propelled": False,
    "vehicular_structure": True,
    "special_permit_needed": False,
    "temporary_living_quarters": True,
    "collapsible": False,
    "built_for_road": True,
    "carries_property": False,
}
CLASSES = sorted({definition.class_ for definition in definitions() if definition.role == "class"})


def assessed(place: str | None, document: str | None, facts: dict[str, FactValue], locale: str = "en-US") -> Assessment:
    return localize(assess(place, document, facts, AS_OF), locale)


def test_a_class_that_is_missed_is_explained_with_the_figures() -> None:
    found = assessed("US-KY", "travel_trailer", {**CAMPER, "interior_area_m2": 10, "exterior_area_m2": 31.2})
    figures = "Outside area: 335.8 sq ft (31.2 m²); required: less than 320 sq ft (29.73 m²)."
    assert f"(KRS 186.650(4)). {figures} As built it meets" in found.statement
    near = next(miss for miss in found.near_misses if miss.class_ == "travel_trailer")
    missed = "“Travel trailer” is missed by one condition only: exterior area under 320 square feet."
    assert near.text == f"{missed} {figures}"


def test_a_hair_beside_the_limit_is_not_shown_as_the_limit() -> None:
    found = assessed("US-FL", "travel_trailer", {**CAMPER, "width_m": "8 ft 6 1/1000 in"})
    width = next(element for element in found.registered.elements if element.id == "width")
    assert width.because == "Width: 8 ft 6.001 in (2.5908 m); required: at most 8 ft 6 in (2.5908 m)."
    on_it = assessed("US-FL", "travel_trailer", {**CAMPER, "width_m": "8 ft 6 in"}).registered.elements
    assert "Width: 8 ft 6 in (2.59 m); required: at most 8 ft 6 in (2.59 m)." in [element.because for element in on_it]


def test_some_of_several_are_counted() -> None:
    found = assessed(
        "US", None, {"has_cooking": True, "has_refrigeration_or_icebox": True, "toilet_self_contained": True}
    )
    vehicle = next(built for built in found.built if built.id == "us-recreation-vehicle-trailer")
    facilities = next(element for element in vehicle.elements if element.id == "facilities")
    assert facilities.because.startswith("3 of 6 are met, 4 must be. ")
    assert all(part.because for part in facilities.parts)


def test_under_a_not_the_contrary_is_asked_for() -> None:
    found = assessed("US-CA", "trailer_coach", {"collapsible": False, "overall_length_m": 4.5, "width_m": 2.3})
    size = next(element for element in found.registered.elements if element.id == "no-camp-trailer")
    assert size.because == (
        "Overall length: 14 ft 9.2 in (4.5 m); required: more than 16 ft (4.88 m). "
        "Width: 7 ft 6.6 in (2.3 m); required: more than 8 ft (2.44 m)."
    )
    tent = assessed("US-CA", "trailer_coach", {"collapsible": True}).registered.elements[-1]
    assert tent.because == "Folds for towing: yes; required: no."


def test_what_can_settle_it_is_named_and_what_the_plan_changes() -> None:
    planned = Measurement(value=True, planned=True)
    facts = {**CAMPER, "temporary_living_quarters": planned, "carries_property": True, "floor_area_m2": "60 ft2"}
    statement = assessed("US-ID", "utility_trailer", facts).statement
    assert "because the answers can settle it: living quarters for trips." in statement
    assert "Once everything that is planned is done: mismatch." in statement
    assert "As built it meets: Utility trailer (Idaho Code 49-122 (utility trailer))." in statement
    assert "Not verified" not in statement


@pytest.mark.parametrize(
    ("place", "document", "beginning", "end"),
    [
        (None, None, "No registered class is given", "can settle it: jurisdiction."),
        (
            "US-GU",
            "spaceship",
            "The definitions given here do not include the class spaceship",
            "wider ones are used instead: United States.",
        ),
        (
            "US-WA",
            "spaceship",
            "Washington: no law that is given here defines the class “spaceship”. The nearest classes that are defined "
            "(Washington): ",
            "do not decide whether the build matches its registered class, spaceship.",
        ),
        (
            "US-ME",
            None,
            "No registered class is given",
            "There are no definitions of Maine itself here; wider ones are used instead: United States.",
        ),
    ],
)
def test_what_cannot_be_compared_says_why(place: str | None, document: str | None, beginning: str, end: str) -> None:
    statement = assessed(place, document, {}).statement
    assert statement.startswith(beginning)
    assert statement.endswith(end)


def test_a_limit_on_weight_says_which_fact_and_figure() -> None:
    found = assessed("US-WA", None, {"gross_weight_rating_kg": "3500 lb", "has_brakes": False})
    brakes = next(rule for rule in found.towing_rules if rule.id == "us-wa-brakes")
    assert "required: more than 3,000 lb (1,360.78 kg)." in brakes.because
    assert "above a gross weight of 3,000 lb," in brakes.text
    assert "more than 40% of the tow vehicle's gross weight" in brakes.text


def test_a_weight_in_pounds_has_kilograms_beside_it_outside_the_united_states() -> None:
    found = assessed("US-GA", None, {"gross_weight_rating_kg": "3500 lb"}, "de-DE")
    brakes = next(rule for rule in found.towing_rules if rule.id == "us-ga-brakes")
    # 3,000 x 0.45359237 kg
    assert brakes.text == "Anhängerbremsen sind über 3.000 lb (1.361 kg) Gesamtgewicht vorgeschrieben."


@pytest.mark.parametrize("locale", available())
def test_a_place_without_a_brake_rule_says_that_it_was_not_looked_up(locale: str) -> None:
    (brakes,) = (rule for rule in assessed("CA-PE", None, {}, locale).towing_rules if rule.topic == "brakes")
    assert len(brakes.text) > 40
    assert brakes.applies is None


def test_what_a_change_of_class_brings_is_in_words() -> None:
    facts = {**CAMPER, **demo_request().build.facts, "gross_weight_rating_kg": "2900 lb", "has_brakes": False}
    found = assessed("US-CA", "utility_trailer", facts)
    effects = next(remedy.brings for remedy in found.remedies if remedy.brings)
    texts = {(effect.topic, effect.text) for effect in effects}
    assert (
        "brakes",
        "A camping or house trailer needs brakes at a gross weight of 1,500 lb or more; "
        "the limit for other trailers is higher.",
    ) in texts
    assert any(topic == "title" and "form REG 5036" in text for topic, text in texts)
    elsewhere = assessed("US-NY", "utility_trailer", facts)
    effects = next(remedy.brings for remedy in elsewhere.remedies if remedy.brings)
    texts = {(effect.topic, effect.text) for effect in effects}
    assert ("title", "Not looked up. Ask the registering authority before you apply.") in texts


@pytest.mark.parametrize("locale", available())
@pytest.mark.parametrize("place", jurisdictions())
def test_the_statement_is_whole_in_every_jurisdiction_and_locale(place: str, locale: str) -> None:
    for document in (None, *CLASSES[::7]):
        statement = assessed(place, document, CAMPER, locale).statement
        assert statement.endswith(".")
        assert "…" not in statement
        assert "{" not in statement


def test_a_class_with_a_definition_whose_facts_are_missing_names_them() -> None:
    statement = assessed("US-KY", "travel_trailer", CAMPER).statement
    assert statement.startswith("Whether the build matches its registered class, travel trailer, is not known yet.")
    assert "Still needed: " in statement
    assert "interior living area" in statement
    assert "outside area" in statement


TO_CONFIRM = "Ask the registering authority to confirm it."


@pytest.mark.parametrize(
    ("place", "facts", "sentences"),
    [
        (
            "US-NY",
            {"permanent_residence_use": False},
            (
                "New York: no law that is given here defines the class “utility trailer”.",
                "A word of its own for a trailer of this kind was looked for and not found (N.Y. Veh. and Traf. Law,",
                "The build is compared with the nearest definitions instead, which are not the law on this class: "
                "Travel trailer in the industry standard (NFPA 1192, definitions (scope only)). It meets them, so it ",
                f"does not match its registered class, utility trailer. {TO_CONFIRM}",
                "Not verified against the published text: NFPA 1192, definitions (scope only).",
            ),
        ),
        (
            "US-NY",
            {"permanent_residence_use": False, "temporary_living_quarters": False},
            (
                "which are not the law on this class: Trailer (N.Y. Veh. and Traf. Law s. 156). By them it matches its "
                f"registered class, utility trailer. {TO_CONFIRM}",
            ),
        ),
        (
            "US-SC",
            {"temporary_living_quarters": None},
            (
                "The word used there is “utility trailer” (S.C. Code 56-3-130); no definition of it was read.",
                "is not known yet. Find out first, because the answers can settle it: ",
            ),
        ),
        (
            "GB",
            {"temporary_living_quarters": False, "permanent_residence_use": False},
            (
                "United Kingdom: no law that is given here defines the class “utility trailer”. The build is compared "
                "with the nearest definitions instead, which are not the law on this class: Goods trailer (",
                "It does not meet them, so it does not match its registered class, utility trailer.",
            ),
        ),
        ("US-VI", {}, ("Its own word for a trailer of this kind was not looked up.",)),
        (
            "DE",
            {},
            ("The nearest classes that are defined (European Union): Trailer of ordinary body (codes DA",),
        ),
    ],
)
def test_a_class_without_a_definition_is_read_by_another_and_says_so(
    place: str, facts: dict[str, FactValue], sentences: tuple[str, ...]
) -> None:
    statement = assessed(place, "utility_trailer", {**CAMPER, **facts}).statement
    assert [sentence for sentence in sentences if sentence not in statement] == [], statement
    assert "Which class" not in statement
