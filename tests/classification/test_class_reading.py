"""A class that the place does not define: read by the nearest class there or a standard, and marked as no law of it.

The definitions behind the readings: 49 CFR 571.3 (trailer), NFPA 1192 (travel trailer, folding camping trailer; from
memory), Regulation (EU) 2018/858 (goods trailer, caravan), VSB 1 (Australia).
"""

from datetime import date

import pytest

from hitchworth.classification.assessment import assess
from hitchworth.localization.assessments import localize_assessment
from hitchworth.localization.localizer import localizer_for
from hitchworth.model.assessment import Assessment, Verdict
from hitchworth.model.build import FactValue, Measurement

AS_OF = date(2026, 11, 27)
CAMPER: dict[str, FactValue] = {
    "temporary_living_quarters": True,
    "fixed_living_fittings": True,
    "sleeping_berths": 2,
    "carries_property": False,
    "open_load_area": False,
    "collapsible": False,
    "special_permit_needed": False,
    "permanent_residence_use": False,
    "needs_utilities_to_live_in": False,
    "main_use_living": True,
}
HAULER: dict[str, FactValue] = {
    **CAMPER,
    "temporary_living_quarters": False,
    "fixed_living_fittings": False,
    "sleeping_berths": 0,
    "carries_property": True,
    "open_load_area": True,
    "main_use_living": False,
    "enclosed": True,
    "special_function_body": False,
}


def read_by(assessment: Assessment) -> tuple[str, ...]:
    """What stands for the class; fails where the definitions themselves decide."""
    assert assessment.working_reading is not None
    return assessment.working_reading.read_by


@pytest.mark.parametrize(
    ("place", "goods"),
    [
        ("DE", "eu-goods-trailer"),
        ("FR", "eu-goods-trailer"),
        ("GB", "gb-goods-trailer"),
        ("AU", "au-goods-trailer"),
        ("NZ", "nz-goods-trailer"),
        ("US-NY", "us-ny-trailer"),
        ("US-VA", "us-trailer"),
        ("US-VI", "us-trailer"),
    ],
)
def test_a_utility_trailer_where_there_is_no_such_class(place: str, goods: str) -> None:
    hauls, sleeps, unknown = (assess(place, "utility_trailer", facts, AS_OF) for facts in (HAULER, CAMPER, {}))
    assert [one.verdict for one in (hauls, sleeps, unknown)] == ["match", "mismatch", "undetermined"]
    for one in (hauls, sleeps, unknown):
        assert goods in read_by(one)
        assert one.registered.definition is None
        assert one.registered.holds is None
        assert "registered_class" not in {fact.fact for fact in one.missing_facts}
    assert unknown.missing_facts


@pytest.mark.parametrize(
    ("place", "document", "facts", "verdict", "basis"),
    [
        # Maine defines no class at all: the standard's two trailers.
        ("US-ME", "travel_trailer", CAMPER, "match", "standard"),
        ("US-ME", "camping_trailer", {**CAMPER, "collapsible": True}, "match", "standard"),
        ("US-ME", "travel_trailer", HAULER, "mismatch", "standard"),
        # Tennessee has the house trailer: a sleeper built for the road is one.
        ("US-TN", "travel_trailer", {**CAMPER, "designed_for_habitation": True}, "match", "nearest_class"),
        # California has two classes of the kind that exclude each other; either will do for a third name.
        (
            "US-CA",
            "caravan",
            {**CAMPER, "designed_for_habitation": True, "overall_length_m": 4.2, "width_m": 2},
            "match",
            "nearest_class",
        ),
        (
            "US-CA",
            "caravan",
            {**CAMPER, "designed_for_habitation": True, "overall_length_m": 7, "width_m": 2},
            "match",
            "nearest_class",
        ),
        # Virginia's only class of the kind folds; a rigid camper is read by the standard.
        ("US-VA", "travel_trailer", CAMPER, "match", "standard"),
        # Two axles are no private use trailer of Washington, but a trailer by the federal rule.
        ("US-WA", "utility_trailer", {**HAULER, "wheels": 4}, "match", "standard"),
        (
            "US-WA",
            "utility_trailer",
            {**HAULER, "wheels": 2, "owned_by_natural_person": True, "commercial_use": False},
            "match",
            "nearest_class",
        ),
        ("AU", "utility_trailer", {**CAMPER, "enclosed": True}, "mismatch", "nearest_class"),
    ],
)
def test_the_nearest_class_goes_before_the_standard(
    place: str, document: str, facts: dict[str, FactValue], verdict: Verdict, basis: str
) -> None:
    found = assess(place, document, facts, AS_OF)
    assert found.verdict == verdict
    assert found.working_reading is not None
    assert found.working_reading.basis == basis
    assert found.working_reading.holds is (verdict == "match")


def test_what_speaks_against_the_class_in_the_reading_is_named() -> None:
    found = assess("US-ME", "utility_trailer", CAMPER, AS_OF).working_reading
    assert found is not None
    assert found.contradicted_by == (
        "us-manufactured-home",
        "us-standard-travel-trailer",
        "us-standard-camping-trailer",
    )
    assert found.holds is True, "a camper too is drawn and carries persons or property (49 CFR 571.3)"
    german = assess("DE", "utility_trailer", CAMPER, AS_OF).working_reading
    assert german is not None
    assert "de-wohnanhaenger" in german.contradicted_by


@pytest.mark.parametrize(
    ("place", "document"),
    [
        ("US-ID", "utility_trailer"),  # the state defines it
        ("US-OH", "trailer"),  # the federal level defines it, as a category
        ("US-ME", "spaceship"),  # of no known kind
        ("INT", "utility_trailer"),  # of a known kind, but there is nothing to read it by
        ("US-ME", None),
        (None, "utility_trailer"),
    ],
)
def test_no_working_reading(place: str | None, document: str | None) -> None:
    assert assess(place, document, CAMPER, AS_OF).working_reading is None


def test_the_law_of_the_place_goes_before_a_reading() -> None:
    """RCW 46.04.623 contradicts the utility trailer, though the state does not define that class."""
    facts = {**CAMPER, "single_chassis": True}
    found = assess("US-WA", "utility_trailer", facts, AS_OF)
    assert (found.verdict, found.working_reading) == ("mismatch", None)
    open_still = assess(
        "US-WA", "utility_trailer", {**facts, "single_chassis": None, "temporary_living_quarters": None}, AS_OF
    )
    assert open_still.working_reading is not None


@pytest.mark.parametrize(("document", "asked"), [(None, True), ("spaceship", False), ("utility_trailer", False)])
def test_the_class_is_asked_for_only_when_it_was_not_given(document: str | None, asked: bool) -> None:
    missing = {fact.fact: fact.decisive for fact in assess("US-ME", document, {}, AS_OF).missing_facts}
    assert missing.get("registered_class", False) is asked
    assert ("registered_class" in missing) is asked


def test_the_nearest_words_are_named_where_the_class_is_not_defined() -> None:
    assert [word.class_ for word in assess("GB", "utility_trailer", {}, AS_OF).registered.nearest_words] == [
        "goods_trailer"
    ]
    assert [word.status for word in assess("US-ME", "utility_trailer", {}, AS_OF).registered.nearest_words] == [
        "not_looked_up"
    ]
    for place, document in (("GB", "goods_trailer"), ("GB", None), (None, "utility_trailer"), (None, "teardrop")):
        assert assess(place, document, {}, AS_OF).registered.nearest_words == ()


def test_a_class_of_no_known_kind_gets_the_words_of_every_kind() -> None:
    teardrop = assess("US-WA", "Teardrop", {}, AS_OF)
    assert teardrop.verdict == "undetermined"
    assert teardrop.working_reading is None
    assert [(word.kind, word.class_) for word in teardrop.registered.nearest_words] == [
        ("goods", "private_use_trailer"),  # RCW 46.04.422
        ("living", "travel_trailer"),  # RCW 46.04.623
    ]
    # Maine's word for a trailer to carry things was not looked up: without a kind that says nothing.
    assert [word.word for word in assess("US-ME", "teardrop", {}, AS_OF).registered.nearest_words] == ["camper trailer"]
    statement = localize_assessment(teardrop, localizer_for("en-US")).statement
    assert (
        "The nearest classes that are defined (Washington): Private use single-axle trailer; Travel trailer."
        in statement
    )
    assert "do not decide whether the build matches its registered class, teardrop" in statement


def test_a_view_has_its_own_reading() -> None:
    facts = {**HAULER, "temporary_living_quarters": Measurement(value=True, planned=True)}
    found = assess("US-ME", "utility_trailer", facts, AS_OF, travels_to=("US-NH", "DE"))
    views = {(view.outlook, view.jurisdiction): view for view in found.views}
    assert views["as_planned", "US-ME"].working_reading is not None
    assert views["as_planned", "US-ME"].verdict == "mismatch"
    assert views["across_border", "US-NH"].working_reading is not None
    assert views["across_border", "DE"].working_reading is None, "read by the class of that place, as before"
    assert views["insurer", "INS"].working_reading is None
