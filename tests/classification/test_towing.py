"""Towing rules: brakes by place, class and weight, and what a change of class brings."""

from collections.abc import Mapping
from datetime import date

import pytest

from hitchworth.classification.assessment import assess
from hitchworth.classification.towing import NOT_LOOKED_UP
from hitchworth.demo import demo_request
from hitchworth.model.build import Base, FactValue
from hitchworth.model.towing_rule import TowingRuleResult
from hitchworth.reference.jurisdictions import jurisdictions
from valuation_parts import part

AS_OF = date(2026, 11, 25)
UNBRAKED: Mapping[str, FactValue] = {"has_brakes": False, "temporary_living_quarters": True, "self_propelled": False}


def rules(
    place: str, facts: Mapping[str, FactValue], registered: str | None = "utility_trailer"
) -> dict[str, TowingRuleResult]:
    return {rule.id: rule for rule in assess(place, registered, facts, AS_OF).towing_rules}


def brakes_lacking(place: str, facts: Mapping[str, FactValue], registered: str | None = "utility_trailer") -> bool:
    """Whether a rule that holds now asks for brakes that the trailer does not have."""
    found = rules(place, {**UNBRAKED, **facts}, registered).values()
    return any(
        rule.topic == "brakes" and rule.applies and rule.met is not True and rule.considered_as != "built_use"
        for rule in found
        if rule.met is not None or not rule.id.startswith("us-")
    )


@pytest.mark.parametrize(
    ("home", "facts", "expected"),
    [
        # "or more" and "over": a plate of exactly 3,000 lb. A.R.S. 28-952 and O.C.G.A. 40-8-50, from lists.
        ("US-AZ", {"gross_weight_rating_kg": "3000 lb"}, True),
        ("US-GA", {"gross_weight_rating_kg": "3000 lb"}, False),
        ("US-GA", {"gross_weight_rating_kg": "3001 lb"}, True),
        ("US-TX", {"gross_weight_rating_kg": "4500 lb"}, False),
        ("US-TX", {"gross_weight_rating_kg": "4501 lb"}, True),
        # Idaho Code 49-933 and Ohio Rev. Code 4513.20 count the empty weight, whatever it may carry.
        ("US-ID", {"empty_weight_kg": "1499 lb", "gross_weight_rating_kg": "7000 lb"}, False),
        ("US-ID", {"empty_weight_kg": "1500 lb", "gross_weight_rating_kg": "1500 lb"}, True),
        ("US-OH", {"empty_weight_kg": "1999 lb", "gross_weight_rating_kg": "7000 lb"}, False),
        ("US-OH", {"empty_weight_kg": "2000 lb"}, True),
        # N.Y. VTL 375(1)(c)
        ("US-NY", {"empty_weight_kg": "1001 lb", "gross_weight_rating_kg": "3000 lb"}, True),
        ("US-NY", {"empty_weight_kg": "1000 lb", "gross_weight_rating_kg": "3000 lb"}, False),
        # Miss. Code 63-7-51: every new trailer but a light one with two axles. Va. Code 46.2-1070: the actual weight
        # with its load.
        ("US-MS", {"axle_count": 2, "empty_weight_kg": "1000 lb", "gross_weight_rating_kg": "1999 lb"}, False),
        ("US-MS", {"axle_count": 2, "empty_weight_kg": "1000 lb", "gross_weight_rating_kg": "2000 lb"}, True),
        ("US-MS", {"axle_count": 1, "empty_weight_kg": "1000 lb", "gross_weight_rating_kg": "1990 lb"}, True),
        ("US-VA", {"loaded_weight_kg": "2999 lb", "gross_weight_rating_kg": "7000 lb"}, False),
        ("US-VA", {"loaded_weight_kg": "3000 lb"}, True),
        # Minn. Stat. 169.67: 3,000 lb, or more than the empty tow vehicle
        ("US-MN", {"gross_weight_rating_kg": "2500 lb", "mass_ratio_gross_to_tow_empty": "1.01"}, True),
        ("US-MN", {"gross_weight_rating_kg": "2500 lb", "mass_ratio_gross_to_tow_empty": "1"}, False),
        ("US-NV", {"gross_weight_rating_kg": "1500 lb"}, True),
        ("US-RI", {"gross_weight_rating_kg": "3999 lb"}, False),
        ("US-MA", {"empty_weight_kg": "10000 lb"}, False),
        # Elsewhere
        ("GB", {"axle_rating_kg": 751}, True),
        ("CA-QC", {"loaded_weight_kg": 1301}, True),
        ("CA-SK", {"gross_weight_rating_kg": 1360}, True),
        ("AU", {"axle_rating_kg": 750}, False),
        ("AU-TAS", {"axle_rating_kg": 751}, True),
    ],
)
def test_brakes_are_asked_for_from_the_weight_of_the_place(
    home: str, facts: dict[str, FactValue], *, expected: bool
) -> None:
    assert brakes_lacking(home, facts) is expected


@pytest.mark.parametrize(
    ("on_axles", "tow_gross", "applies"),
    [
        # RCW 46.37.340 [read]: up to 3,000 lb free only while the weight on its wheels is at most 40 percent of the tow
        # vehicle's gross weight. 1,900 of 4,000 lb is 47.5 percent, 1,600 is 40.
        ("1900 lb", "4000 lb", True),
        ("1600 lb", "4000 lb", False),
        ("1601 lb", "4000 lb", True),
        ("1900 lb", "4750 lb", False),
        ("1900 lb", None, None),
    ],
)
@pytest.mark.parametrize("place", ["US-FL", "US-SC", "US-SD", "US-WA", "US-MD", "US-VT", "US-NJ", "US-DC", "US-NH"])
def test_the_forty_percent_rule(place: str, on_axles: str, tow_gross: str | None, applies: bool | None) -> None:
    facts = {"gross_weight_rating_kg": "2900 lb", "axle_load_kg": on_axles, "tow_gross_weight_kg": tow_gross}
    rule = rules(place, {**UNBRAKED, **facts})[f"us-{place[3:].lower()}-brakes"]
    assert (rule.applies, rule.met) == (applies, False)


def test_above_the_weight_the_tow_vehicle_does_not_matter() -> None:
    facts = {"gross_weight_rating_kg": "3001 lb", "axle_load_kg": "100 lb", "tow_gross_weight_kg": "9000 lb"}
    assert rules("US-WA", {**UNBRAKED, **facts})["us-wa-brakes"].applies is True


@pytest.mark.parametrize(
    ("place", "weight", "now", "to_come"),
    [
        # N.C.G.S. 20-124(f): every house trailer of 1,000 lb gross weight or more; other trailers 4,000 lb.
        ("US-NC", "1400 lb", False, True),
        ("US-NC", "1000 lb", False, True),
        ("US-NC", "999 lb", False, False),
        ("US-NC", "4000 lb", True, True),
        # Cal. Veh. Code 26302, 26303; Neb. Rev. Stat. 60-6,246; RSA 266:30
        ("US-CA", "1500 lb", False, True),
        ("US-CA", "1499 lb", False, False),
        ("US-NE", "3000 lb", None, True),
        ("US-NH", "1501 lb", False, True),
        ("US-NH", "1500 lb", False, False),
    ],
)
def test_the_rule_of_the_class_to_come_stands_beside_that_of_the_class_now(
    place: str, weight: str, now: bool | None, to_come: bool
) -> None:
    facts = {"gross_weight_rating_kg": weight, "axle_load_kg": "500 lb", "tow_gross_weight_kg": "9000 lb"}
    state = place[3:].lower()
    found = rules(place, {**UNBRAKED, **facts})
    if now is not None:
        assert (found[f"us-{state}-brakes"].applies, found[f"us-{state}-brakes"].considered_as) == (
            now,
            "registered_class",
        )
    living = found[f"us-{state}-brakes-living"]
    assert (living.applies, living.met, living.considered_as) == (to_come, False, "built_use")
    # Registered as what it is built for, that rule holds now, and the one for other trailers is gone.
    changed = rules(place, {**UNBRAKED, **facts}, "house_trailer")
    assert changed[f"us-{state}-brakes-living"].considered_as == "registered_class"
    assert f"us-{state}-brakes" not in changed
    # A trailer that carries goods has no class to come.
    goods = {**UNBRAKED, **facts, "temporary_living_quarters": False, "designed_for_habitation": False}
    of_goods = rules(place, goods).get(f"us-{state}-brakes-living")
    assert of_goods is None or of_goods.applies is not True


def test_where_the_use_is_not_known_the_rule_of_the_class_to_come_may_hold() -> None:
    rule = rules("US-NC", {"gross_weight_rating_kg": "1400 lb"})["us-nc-brakes-living"]
    assert (rule.applies, rule.met) == (None, None)
    assert rules("US-NC", {}, None)["us-nc-brakes"].applies is None


def test_a_rule_that_does_not_apply_is_shown_with_what_the_trailer_has() -> None:
    light = rules("US-GA", {"gross_weight_rating_kg": "1400 lb", "has_brakes": True})["us-ga-brakes"]
    assert (light.applies, light.met) == (False, True)
    assert [test.fact for test in light.tests] == ["gross_weight_rating_kg", "has_brakes"]
    assert light.parameters == {"weight": "3000"}
    # One that asks for no equipment is there only where it applies or may apply.
    assert "no-payload-left" not in rules("US-GA", {"gross_weight_rating_kg": 800, "empty_weight_kg": 500})


def test_brakes_that_break_away_are_asked_for_where_the_state_asks_for_them() -> None:
    facts: dict[str, FactValue] = {
        "gross_weight_rating_kg": "3500 lb",
        "has_brakes": True,
        "has_breakaway_device": False,
    }
    florida = rules("US-FL", facts)["us-fl-breakaway"]
    assert (florida.applies, florida.met) == (True, False)
    # N.C.G.S. 20-124 names none; for Texas nothing was looked up. Neither says that none is needed.
    assert "names no breakaway device" in rules("US-NC", facts)["us-nc-breakaway"].text
    texas = rules("US-TX", facts)["us-breakaway-not-looked-up"]
    assert (texas.topic, texas.verified) == ("breakaway", False)


@pytest.mark.parametrize("place", sorted(set(jurisdictions()) - {"INT", "INS"}))
def test_no_place_is_silent_about_brakes(place: str) -> None:
    found = assess(place, None, {}, AS_OF).towing_rules
    brakes = [rule for rule in found if rule.topic == "brakes"]
    assert brakes
    assert all(rule.text or rule.id == NOT_LOOKED_UP for rule in brakes)
    if NOT_LOOKED_UP in {rule.id for rule in brakes}:
        assert len(brakes) == 1


def test_without_a_place_no_rule_is_said_to_be_missing() -> None:
    assert NOT_LOOKED_UP not in {rule.id for rule in assess(None, None, {}, AS_OF).towing_rules}


CAMPER: Mapping[str, FactValue] = {**demo_request().build.facts, **UNBRAKED, "gross_weight_rating_kg": "2900 lb"}
"""The camper of the demo, lighter and without brakes."""


def test_a_remedy_that_changes_the_class_says_what_that_brings() -> None:
    found = assess("US-CA", "utility_trailer", CAMPER, AS_OF)
    (correct,) = (remedy for remedy in found.remedies if remedy.id == "us-correct-title")
    assert {effect.topic for effect in correct.brings} == {
        "brakes",
        "lights",
        "inspection",
        "title",
        "fees",
        "insurance",
    }
    # Cal. Veh. Code 26303 and 26304: brakes from 1,500 lb, and a breakaway device with them.
    brakes = [effect for effect in correct.brings if effect.topic == "brakes"]
    assert [(effect.parameters, effect.differs) for effect in brakes] == [({"weight": "1500"}, True), ({}, True)]
    assert all(effect.verified for effect in brakes)
    # What was not looked up has no text and no source of its own.
    elsewhere = assess("US-NY", "utility_trailer", CAMPER, AS_OF)
    (brings,) = (remedy.brings for remedy in elsewhere.remedies if remedy.id == "us-correct-title")
    (title,) = (effect for effect in brings if effect.topic == "title")
    assert (title.text, title.source, title.verified) == ("", "", False)
    # A remedy that leaves the class brings nothing.
    assert [remedy.brings for remedy in found.remedies if remedy.id == "agreed-value"] == [()]


def test_mississippi_counts_the_load_and_asks_more_of_a_new_trailer() -> None:
    """Miss. Code 63-7-51: more than a ton of load; a new trailer unless it is light and has two axles.

    How many axles it has may not be known: then it may apply. A breakaway device goes with either.
    """
    of_load: dict[str, FactValue] = {"empty_weight_kg": "1000 lb", "gross_weight_rating_kg": "3000 lb"}
    assert rules("US-MS", of_load)["us-ms-brakes"].applies is False
    assert rules("US-MS", of_load | {"gross_weight_rating_kg": "3001 lb"})["us-ms-brakes"].applies is True
    light: dict[str, FactValue] = {"empty_weight_kg": "1350 lb", "gross_weight_rating_kg": "1990 lb", "wheels": 2}
    for name in ("us-ms-brakes-new", "us-ms-breakaway"):
        assert rules("US-MS", light)[name].applies is None
        assert rules("US-MS", light | {"axle_count": 1})[name].applies is True
        assert rules("US-MS", light | {"axle_count": 2})[name].applies is False


# Where the class is wrong in a working reading alone, a change of class brings what it brings elsewhere: a rebuilt
# title and an inspection (SDCL 32-3-53), brakes from 1,500 lb (RSA 266:30).
@pytest.mark.parametrize(("place", "source"), [("US-SD", "SDCL 32-3-53"), ("US-NH", "RSA 266:30")])
def test_a_working_reading_has_its_remedy_and_what_that_brings(place: str, source: str) -> None:
    facts = {**CAMPER, "temporary_living_quarters": True, "special_permit_needed": False, "collapsible": False}
    found = assess(place, "utility_trailer", facts, AS_OF)
    assert found.working_reading is not None
    assert found.verdict == "mismatch"
    (correct,) = (remedy for remedy in found.remedies if remedy.id == "us-correct-title")
    assert any(source in effect.source for effect in correct.brings)


def test_what_a_working_reading_is_for_needs_no_remedy() -> None:
    """A definition that is not met says nothing of what the trailer is built as."""
    facts = {**CAMPER, "temporary_living_quarters": False, "special_permit_needed": False, "collapsible": False}
    remedies = {remedy.id for remedy in assess("US-SD", "utility_trailer", facts, AS_OF).remedies}
    assert "us-correct-title" not in remedies


def test_a_frame_of_ones_own_has_no_bill_of_sale() -> None:
    """What is not known of the parts leaves the paper in: a bought base may be among them."""

    def papers(*categories: str, kind: str = "frame") -> tuple[str, ...]:
        parts = tuple(part(category, category=category) for category in categories)
        found = assess("US-CA", "utility_trailer", CAMPER, AS_OF, components=parts, base=Base(kind=kind))
        return next(remedy.needs for remedy in found.remedies if remedy.id == "us-correct-title")

    assert "bill of sale of the base trailer" not in papers("frame", "body_panels")
    assert "bill of sale of the base trailer" in papers("body_panels", "chassis")
    assert "bill of sale of the base trailer" not in papers("body_panels", "chassis", kind="own frame")
    assert "bill of sale of the base trailer" in papers()


def test_where_one_rule_holds_for_every_class_it_is_said_to_stay() -> None:
    found = assess("US-WA", "utility_trailer", CAMPER, AS_OF)
    (correct,) = (remedy for remedy in found.remedies if remedy.id == "us-correct-title")
    brakes = [effect for effect in correct.brings if effect.topic == "brakes"]
    # RCW 46.37.340 and 46.37.351
    assert [(effect.parameters, effect.differs) for effect in brakes] == [
        ({"weight": "3000", "share": "0.4"}, False),
        ({"feet": "40", "mph": "20"}, False),
    ]


def test_a_definition_that_is_met_makes_it_what_it_is_built_for() -> None:
    # Cal. Veh. Code 635 is met by other facts; whether people stay in it on trips is not known.
    facts = {**CAMPER, "temporary_living_quarters": None}
    assert rules("US-CA", facts)["us-ca-brakes-living"].applies is True
