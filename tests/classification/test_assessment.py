"""What an assessment has besides its verdict: reasons, near misses, what to ask first, remedies, other views."""

from datetime import date

import pytest

from hitchworth.classification.assessment import assess
from hitchworth.classification.build_facts import parse_facts
from hitchworth.classification.judgment import judge
from hitchworth.classification.registered_class import class_key
from hitchworth.model.assessment import Assessment, View
from hitchworth.model.build import FactValue, Measurement
from hitchworth.model.definition import DefinitionResult, ElementResult
from hitchworth.reference.coverage import coverage
from hitchworth.reference.definitions import definitions
from hitchworth.reference.facts import vocabulary
from hitchworth.reference.jurisdictions import UnknownJurisdictionError, jurisdictions
from hitchworth.reference.registration_documents import class_families
from hitchworth.reference.remedies import remedies
from hitchworth.reference.towing_rules import towing_rules

AS_OF = date(2026, 11, 25)
CAMPER: dict[str, FactValue] = {
    "self_propelled": False,
    "vehicular_structure": True,
    "single_chassis": True,
    "permanent_residence_use": False,
    "needs_utilities_to_live_in": False,
    "special_permit_needed": False,
    "temporary_living_quarters": True,
    "carries_property": False,
    "collapsible": False,
    "built_for_road": True,
    "sleeping_berths": 2,
}


def _built(assessment: Assessment | View, name: str) -> DefinitionResult:
    return next(definition for definition in assessment.built if definition.id == name)


def _element(definition: DefinitionResult, name: str) -> ElementResult:
    return next(element for element in definition.elements if element.id == name)


def test_an_element_says_which_fact_which_value_which_threshold() -> None:
    facts = {**CAMPER, "exterior_area_m2": Measurement(value=340, unit="ft2")}
    area = _element(_built(assess("US-KY", "travel_trailer", facts, AS_OF), "us-ky-travel-trailer"), "outer")
    test = area.tests[0]
    assert (test.fact, test.operator, test.threshold, test.unit) == ("exterior_area_m2", "<", "29.7289728", "m2")
    assert (test.value, test.compared, test.holds) == ("340 ft2", "31.5870336", False)
    assert area.citation.startswith("KRS")
    assert (area.because, assess("US-KY", None, facts, AS_OF).statement) == ("", "")


def test_the_comparisons_that_decide_are_marked() -> None:
    facts = {"center_axle": True, "axle_rating_kg": 700, "gross_weight_rating_kg": 760}
    weight = _element(_built(assess("EU", None, facts, AS_OF), "eu-o1"), "e2")
    assert weight.rule == "any"
    assert [(test.fact, test.decides) for test in weight.tests] == [
        ("gross_weight_rating_kg", False),
        ("center_axle", True),
        ("rigid_drawbar", False),
        ("semi_trailer", False),
        ("axle_rating_kg", True),
    ]


def test_under_a_not_the_contrary_is_asked_for() -> None:
    facts: dict[str, FactValue] = {"collapsible": False, "overall_length_m": 4.5, "width_m": 2.3}
    size = _element(_built(assess("US-CA", None, facts, AS_OF), "us-ca-trailer-coach"), "no-camp-trailer")
    assert (size.rule, size.holds) == ("not", False)
    assert {test.fact: (test.negated, test.decides) for test in size.tests} == {
        "collapsible": (True, False),
        "overall_length_m": (True, True),
        "width_m": (True, True),
    }
    assert not any(test.negated for part in size.parts for test in part.tests)


def test_at_least_says_how_many_and_shows_each() -> None:
    facts = {"has_cooking": True, "has_refrigeration_or_icebox": True, "toilet_self_contained": True}
    result = _built(assess("US", None, facts, AS_OF), "us-recreation-vehicle-trailer")
    facilities = _element(result, "facilities")
    assert (facilities.rule, facilities.needed, facilities.holds) == ("at_least", 4, None)
    assert (facilities.parts_met, facilities.part_count) == (3, 6)
    assert [part.holds for part in facilities.parts] == [True, True, True, None, None, None]


def test_a_near_miss_names_the_one_condition() -> None:
    facts = {**CAMPER, "interior_area_m2": 10, "exterior_area_m2": 31.2}
    near = {miss.definition: miss.element for miss in assess("US-KY", "travel_trailer", facts, AS_OF).near_misses}
    assert near["us-ky-travel-trailer"].id == "outer"
    assert near["us-ky-travel-trailer"].tests[0].compared == "31.2"
    assert "us-ky-camping-trailer" in near


def test_two_misses_or_an_unknown_are_no_near_miss() -> None:
    for change in ({"special_permit_needed": True}, {"special_permit_needed": None}):
        facts: dict[str, FactValue] = {**CAMPER, "interior_area_m2": 10, "exterior_area_m2": 31.2, **change}
        assessment = assess("US-KY", None, facts, AS_OF)
        assert "us-ky-travel-trailer" not in {miss.definition for miss in assessment.near_misses}


def test_a_single_unknown_condition_is_no_near_miss() -> None:
    """All conditions of the definition hold but the outside area, which is not known."""
    facts = {**CAMPER, "interior_area_m2": 10}
    near = {miss.definition for miss in assess("US-KY", "travel_trailer", facts, AS_OF).near_misses}
    assert "us-ky-travel-trailer" not in near
    assert "us-ky-camping-trailer" in near


def test_a_definition_of_one_condition_is_no_near_miss() -> None:
    assessment = assess("US-WA", None, {"recognized_manufacturer": True}, AS_OF)
    assert _built(assessment, "us-wa-home-built").holds is False
    assert assessment.near_misses == ()


def test_a_definition_by_alternatives_is_no_near_miss() -> None:
    """Of the two alternatives of the corporation tax one fails and the other is met: the definition holds."""
    facts: dict[str, FactValue] = {**CAMPER, "permanently_towable": True}
    assessment = assess("GB", "caravan", facts, AS_OF)
    assert _built(assessment, "gb-caravan-tax").holds is True
    assert "gb-caravan-tax" not in {miss.definition for miss in assessment.near_misses}


def test_an_overlay_is_not_the_definition_of_the_registered_class() -> None:
    registered = assess("GB", "caravan_planning", {**CAMPER, "permanently_towable": True}, AS_OF).registered
    assert (registered.class_, registered.definition, registered.holds) == ("caravan_planning", None, None)


def test_a_category_is_the_definition_of_the_registered_class() -> None:
    registered = assess("AU", "TA", {"self_propelled": False, "axle_rating_kg": 700}, AS_OF).registered
    assert (registered.definition, registered.holds) == ("au-ta", True)


def test_a_limit_of_several_places_names_the_one_of_the_trailer() -> None:
    facts: dict[str, FactValue] = {"gross_weight_rating_kg": "3001 lb", "has_brakes": False}
    for place in ("US-TX", "US-UT"):
        rules = {rule.id: rule for rule in assess(place, None, facts, AS_OF).towing_rules}
        assert rules["us-breakaway-not-looked-up"].jurisdiction == place
    assert "us-breakaway-not-looked-up" not in {rule.id for rule in assess("US-NC", None, facts, AS_OF).towing_rules}


def test_what_was_read_in_a_published_text_is_verified() -> None:
    facts: dict[str, FactValue] = {"gross_weight_rating_kg": 800, "has_brakes": False, "center_axle": False}
    label = {**facts, "certified_to_standard": "EN 1949, EN 1648-1"}
    french, german = assess("FR", "SE", label, AS_OF), assess("DE", "SE", facts, AS_OF)
    rules = {rule.id: rule.verified for rule in french.towing_rules}
    assert (rules["fr-registration"], rules["eu-brakes-o2"]) == (True, False)
    assert {standard.name: standard.verified for standard in french.standards} == {"EN 1949": True, "EN 1648-1": False}
    fields = {entry.field: entry.verified for entry in german.registered.document_fields}
    assert (fields["J"], fields["4, 5"]) == (True, False)


def test_what_can_settle_the_verdict_is_asked_first() -> None:
    missing = assess("US-IN", "utility_trailer", {"self_propelled": False}, AS_OF).missing_facts
    first = [fact.fact for fact in missing if fact.decisive]
    assert first == ["carries_property", "temporary_living_quarters"]
    assert [fact.fact for fact in missing[: len(first)]] == first
    assert all(fact.question and fact.measure for fact in missing)


def test_of_as_many_facts_those_of_the_nearest_definition_are_asked_first() -> None:
    """In Virginia the state's camping trailer can settle it by two facts, and so can that of the industry standard."""
    missing = assess("US-VA", "utility_trailer", {}, AS_OF).missing_facts
    assert [fact.fact for fact in missing if fact.decisive] == ["collapsible", "sleeping_berths"]
    # Then what the standard's trailer asks for besides, and what only the federal manufactured home asks for.
    assert [fact.fact for fact in missing[2:5]] == [
        "temporary_living_quarters",
        "needs_utilities_to_live_in",
        "permanent_residence_use",
    ]


@pytest.mark.parametrize("home", [place.code for place in coverage() if place.definitions and place.code != "INS"])
@pytest.mark.parametrize("registered", ["caravan", "travel_trailer", "utility_trailer", "goods_trailer", "trailer"])
def test_the_facts_asked_first_can_settle_it_and_a_single_one_can_not(home: str, registered: str) -> None:
    """By trying plain answers; where more than one fact is asked first, no single missing fact would have done."""
    assessment = assess(home, registered, {"self_propelled": False}, AS_OF)
    missing = [fact.fact for fact in assessment.missing_facts]
    first = [fact.fact for fact in assessment.missing_facts if fact.decisive]
    assert "registered_class" not in missing
    if assessment.verdict == "undetermined" and first:
        assert _can_settle(home, registered, first)
        assert len(first) == 1 or not any(_can_settle(home, registered, [name]) for name in missing)


def _can_settle(home: str, registered: str, names: list[str]) -> bool:
    return any(
        assess(home, registered, {"self_propelled": False, **answers}, AS_OF).verdict != "undetermined"
        for answers in _answers(names)
    )


def _answers(names: list[str]) -> list[dict[str, FactValue]]:
    """Every combination of plain answers: yes and no, nothing, little, much and very much."""
    combined: list[dict[str, FactValue]] = [{}]
    for name in names:
        fact = vocabulary()[name]
        numbers: tuple[FactValue, ...] = (0, 2, 8, 90, 5000) if fact.unit == "kg" else (0, 2, 8, 90)
        values = (True, False) if fact.type == "boolean" else fact.values or numbers
        combined = [{**one, name: value} for one in combined for value in values]
    return combined


def test_nothing_is_missing_once_the_verdict_stands() -> None:
    assessment = assess("US-ID", "utility_trailer", {**CAMPER, "floor_area_m2": 4.6}, AS_OF)
    assert (assessment.verdict, assessment.missing_facts) == ("mismatch", ())


def test_without_a_jurisdiction_the_jurisdiction_is_missing() -> None:
    assessment = assess(None, "utility_trailer", CAMPER, AS_OF)
    assert (assessment.verdict, assessment.built) == ("undetermined", ())
    assert [(fact.fact, fact.decisive) for fact in assessment.missing_facts] == [("jurisdiction", True)]


def test_planned_facts_make_another_view() -> None:
    facts: dict[str, FactValue] = {**CAMPER, "temporary_living_quarters": Measurement(value=True, planned=True)}
    assessment = assess("US-ID", "utility_trailer", {**facts, "floor_area_m2": 5, "carries_property": True}, AS_OF)
    planned = next(view for view in assessment.views if view.outlook == "as_planned")
    assert (assessment.verdict, planned.verdict) == ("undetermined", "mismatch")
    tests = [test for element in _built(planned, "us-id-travel-trailer").elements for test in element.tests]
    assert [test.fact for test in tests if test.planned] == ["temporary_living_quarters"]


def test_without_a_plan_there_is_no_planned_view() -> None:
    assert [view.outlook for view in assess("DE", "caravan", CAMPER, AS_OF).views] == ["insurer"]


@pytest.mark.parametrize(
    ("registered", "verdict"),
    [("utility_trailer", "mismatch"), ("travel_trailer", "match"), ("spaceship", "undetermined")],
)
def test_insurers_usual_terms_are_a_view(registered: str, verdict: str) -> None:
    view = next(view for view in assess("US-WA", registered, CAMPER, AS_OF).views if view.outlook == "insurer")
    assert view.verdict == verdict
    assert not any(definition.verified for definition in view.built)


def test_across_a_border_the_class_goes_by_that_authoritys_word() -> None:
    facts: dict[str, FactValue] = {**CAMPER, "fixed_living_fittings": True, "overall_length_m": 6, "width_m": 2.3}
    assessment = assess("US-WA", "travel_trailer", facts, AS_OF, travels_to=("DE", "US-CA"))
    views = {view.jurisdiction: view for view in assessment.views if view.outlook == "across_border"}
    assert (views["DE"].registered.class_, views["DE"].verdict) == ("caravan", "match")
    assert views["US-CA"].registered.class_ == "trailer_coach"


def test_an_unknown_border_is_refused() -> None:
    with pytest.raises(UnknownJurisdictionError):
        assess("DE", "caravan", CAMPER, AS_OF, travels_to=("XX",))


@pytest.mark.parametrize(
    ("written", "chain", "key"),
    [
        ("Utility Trailer", ("US",), "utility_trailer"),
        ("utility-trailer", ("US",), "utility_trailer"),
        ("SE", ("DE", "EU"), "caravan"),
        ("DC03", ("DE", "EU"), "goods_trailer"),
        ("DC 03", ("EU",), "goods_trailer"),
        ("DC77", ("EU",), "dc77"),
        ("SE", ("US",), "se"),
        (" se", ("DE", "EU"), "caravan"),
        ("dc03", ("EU",), "goods_trailer"),
        ("CT", ("US-OR", "US"), "camping_trailer"),
        (None, ("US",), None),
    ],
)
def test_the_class_on_the_document_becomes_a_key(written: str | None, chain: tuple[str, ...], key: str | None) -> None:
    assert class_key(written, chain) == key


def test_a_body_code_is_explained() -> None:
    registered = assess("DE", "DC03", CAMPER, AS_OF).registered
    assert registered.class_ == "goods_trailer"
    assert [code.meaning for code in registered.body_codes] == ["center-axle trailer", "body: closed box"]
    assert all(code.source and code.verified for code in registered.body_codes)
    assert [entry.field for entry in registered.document_fields if "body code" in entry.meaning] == ["4, 5"]


def test_the_class_may_be_given_as_a_fact() -> None:
    assert assess("DE", None, {**CAMPER, "registered_class": "caravan"}, AS_OF).registered.class_ == "caravan"


def test_a_mismatch_has_its_remedies() -> None:
    assessment = assess("DE", "goods_trailer", {**CAMPER, "fixed_living_fittings": True, "has_gas": True}, AS_OF)
    routes = {remedy.id: remedy for remedy in assessment.remedies}
    assert {"de-new-permit", "de-gas-test", "agreed-value"} <= set(routes)
    assert "de-sports-trailer" not in routes
    assert not any(name.startswith("us-") for name in routes)
    assert routes["de-new-permit"].verified
    french = assess("FR", "goods_trailer", CAMPER, AS_OF).remedies
    assert {remedy.id: remedy.verified for remedy in french}["fr-individual-approval"] is True
    assert all(remedy.needs and remedy.decided_by and remedy.source and remedy.caution for remedy in routes.values())


def test_a_match_needs_no_new_papers() -> None:
    assessment = assess("DE", "caravan", {**CAMPER, "fixed_living_fittings": True}, AS_OF)
    assert {remedy.id for remedy in assessment.remedies} == {"agreed-value"}


def test_a_place_without_definitions_of_its_own_goes_by_the_wider_ones() -> None:
    facts = {**CAMPER, "sleeping_berths": 2, "has_cooking": True, "has_toilet": True}
    assessment = assess("US-ME", "utility_trailer", facts, AS_OF)
    assert {built.jurisdiction for built in assessment.built} == {"US"}
    assert assess("AT", "SE", CAMPER, AS_OF).verdict == assess("EU", "SE", CAMPER, AS_OF).verdict == "match"


def test_remedies_and_limits_speak_of_places_and_classes_that_exist() -> None:
    places = {*jurisdictions(), "*"}
    classes = {one.class_ for one in definitions()} | {name for family in class_families() for name in family.classes}
    for entry, _ in remedies():
        assert set(entry.jurisdictions) <= places, entry.id
        assert {*entry.registered, *entry.built} <= classes, entry.id
    for rule in (each.rule for each in towing_rules()):
        assert set(rule.jurisdictions) <= places, rule.id
        assert rule.source, rule.id
        assert rule.caution, rule.id


def test_an_overloaded_trailer_and_a_light_tongue_are_warned_of() -> None:
    facts: dict[str, FactValue] = {
        "gross_weight_rating_kg": 1000,
        "loaded_weight_kg": 1100,
        "tongue_load_kg": 60,
        "ball_hitch": True,
    }
    rules = {rule.id for rule in assess("US-WA", None, facts, AS_OF).towing_rules if rule.applies}
    assert {"overloaded", "tongue-load-10-15"} <= rules


def test_the_number_is_examined_where_it_is_given() -> None:
    assert assess("DE", None, CAMPER, AS_OF).vin_check is None
    found = assess("DE", None, CAMPER, AS_OF, vin="WZZ00000000000001").vin_check
    assert found
    assert found.region == "Europe"


@pytest.mark.parametrize(
    ("label", "names"),
    [
        ("EN 1645-1:2018 and EN1949", ["EN 1645-1", "EN 1949"]),
        ("nfpa 1192", ["NFPA 1192"]),
        ("EN 16451", []),
        ("AS/NZS 3001, AS/NZS 5601.2", ["AS/NZS 3001", "AS/NZS 5601.2"]),
    ],
)
def test_the_standards_that_a_label_names_are_explained(label: str, names: list[str]) -> None:
    standards = assess("DE", None, {"certified_to_standard": label}, AS_OF).standards
    assert sorted(standard.name for standard in standards) == names
    assert all(standard.covers and standard.source for standard in standards)


def test_an_earlier_date_is_judged_by_what_held_then() -> None:
    facts: dict[str, FactValue] = {**CAMPER, "main_use_living": True, "width_m": 2.7, "body_length_m": 13}
    facts["exterior_area_m2"] = 45  # too large for the other way in, the federal rule of that time
    assert assess("US-TX", "travel_trailer", facts, date(2017, 8, 31)).registered.holds is False
    assert assess("US-TX", "travel_trailer", facts, date(2017, 9, 1)).registered.holds is True


def test_the_same_input_makes_the_same_output() -> None:
    assert assess("US-WA", "utility_trailer", CAMPER, AS_OF) == assess("US-WA", "utility_trailer", CAMPER, AS_OF)


def test_conditions_of_remedies_can_hold() -> None:
    for entry, condition in remedies():
        if condition is not None:
            assert judge(condition, parse_facts({})).holds is None, entry.id
