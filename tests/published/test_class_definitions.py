"""State definitions against their texts: for each, one trailer that meets it and one that misses it by one word.

The sections are those named in `api/hitchworth/reference/data/definitions`; the trailers are worked by hand from their
texts, read in public copies on 2026-11-27 (`text_source` of each definition). A foot is 0.3048 m.
"""

from datetime import date

import pytest

from hitchworth.classification.assessment import assess
from hitchworth.model.build import FactValue

AS_OF = date(2026, 11, 27)
FOOT = 0.3048
TRIPS: dict[str, FactValue] = {
    "self_propelled": False,
    "vehicular_structure": True,
    "built_for_road": True,
    "single_chassis": True,
    "temporary_living_quarters": True,
    "designed_for_habitation": True,
    "main_use_living": True,
    "carries_property": False,
    "recreational_use_only": True,
    "commercial_use": False,
    "permanent_residence_use": False,
    "special_permit_needed": False,
    "special_function_body": False,
    "collapsible": False,
    "sleeping_berths": 2,
    "has_table_and_seating": True,
    "has_cooking": True,
    "width_m": 7 * FOOT,
    "overall_length_m": 20 * FOOT,
    "body_length_m": 16 * FOOT,
}
HAULS: dict[str, FactValue] = {
    **TRIPS,
    "temporary_living_quarters": False,
    "designed_for_habitation": False,
    "main_use_living": False,
    "carries_property": True,
    "recreational_use_only": False,
    "sleeping_berths": 0,
    "has_table_and_seating": False,
    "has_cooking": False,
}
EXAMPLES: list[tuple[str, dict[str, FactValue], dict[str, FactValue]]] = [
    # RCW 46.04.623: without connection to utilities | only with them
    (
        "us-wa-travel-trailer",
        {**TRIPS, "needs_utilities_to_live_in": False},
        {**TRIPS, "needs_utilities_to_live_in": True},
    ),
    # RCW 46.04.422: of a natural person, 3,000 lb on the scale | of a company. The weight is a line of the fee table.
    (
        "us-wa-private-use-trailer",
        {**HAULS, "owned_by_natural_person": True, "wheels": 2, "empty_weight_kg": 1361},
        {**HAULS, "owned_by_natural_person": False, "wheels": 2},
    ),
    # 75 Pa.C.S. 102: open box without air brakes | the same with a galley and a bed for trips
    ("us-pa-utility-trailer", {**HAULS, "has_air_brakes": False}, {**TRIPS, "has_air_brakes": False}),
    # Act 138 of 2018: noncommercial | hired out
    ("us-pa-recreational-trailer", TRIPS, {**TRIPS, "commercial_use": True}),
    # Idaho Code 49-121(6)(f): 38 ft by 8.5 ft, 323 sq ft: no area in the vehicle title | needs a permit
    (
        "us-id-travel-trailer",
        {**TRIPS, "exterior_area_m2": 38 * 8.5 * FOOT * FOOT},
        {**TRIPS, "special_permit_needed": True},
    ),
    # Idaho Code 39-4201: 37 ft by 8.5 ft, 314.5 sq ft | 38 ft, 323 sq ft
    (
        "us-id-travel-trailer-health-code",
        {**TRIPS, "exterior_area_m2": 37 * 8.5 * FOOT * FOOT},
        {**TRIPS, "exterior_area_m2": 38 * 8.5 * FOOT * FOOT},
    ),
    # OAR 735-022-0140(7): the builder's certificate counts | nobody's
    (
        "us-or-recreational-vehicle",
        {**TRIPS, "set_up_daily": True, "rv_standard_certified_by": "builder"},
        {**TRIPS, "set_up_daily": True, "rv_standard_certified_by": "nobody"},
    ),
    # ORS 803.305(5): 1,800 lb loaded | for hire
    (
        "us-or-light-trailer",
        {**HAULS, "loaded_weight_kg": "1800 lb", "pneumatic_tires": True},
        {**HAULS, "loaded_weight_kg": "1800 lb", "pneumatic_tires": True, "commercial_use": True},
    ),
    # Tex. Transportation Code 501.002(30): 8.7 ft wide and 46 ft long, by way (A) | 401 sq ft, by neither way
    (
        "us-tx-travel-trailer",
        {
            **TRIPS,
            "width_m": 8.7 * FOOT,
            "body_length_m": 46 * FOOT,
            "exterior_area_m2": 400 * FOOT * FOOT,
            "permanently_towable": True,
        },
        {**TRIPS, "width_m": 8.7 * FOOT, "body_length_m": 46 * FOOT, "exterior_area_m2": 401 * FOOT * FOOT},
    ),
    # Ind. Code 9-13-2-150: equipped exclusively to live in | also hauls, and no park model
    ("us-in-recreational-vehicle", TRIPS, {**TRIPS, "carries_property": True, "rv_standard_certified_by": "nobody"}),
    # C.R.S. 42-1-102(60.3): half living, half bikes | all living
    ("us-co-multipurpose-trailer", {**TRIPS, "has_cargo_space": True}, {**TRIPS, "has_cargo_space": False}),
    # Mo. Rev. Stat. 301.010(51): a cargo box with a fixed bunk, slept in | used only to haul
    ("us-mo-recreational-trailer", TRIPS, {**TRIPS, "main_use_living": False}),
    # S.C. Code 56-3-720: 20 ft by 7 ft | 24 ft by 8.5 ft
    ("us-sc-camper-or-travel-trailer", TRIPS, {**TRIPS, "overall_length_m": 24 * FOOT, "width_m": 8.5 * FOOT}),
    # Iowa Code 321.1(36D): 45 ft by 8.5 ft for weekends | 46 ft
    (
        "us-ia-travel-trailer",
        {**TRIPS, "overall_length_m": "45 ft", "width_m": "102 in", "days_in_one_place": 14},
        {**TRIPS, "overall_length_m": "46 ft", "width_m": "102 in", "days_in_one_place": 14},
    ),
    # Neb. Rev. Stat. 60-107: 39 ft, 102 in | 41 ft
    (
        "us-ne-travel-trailer",
        {**TRIPS, "overall_length_m": "39 ft", "width_m": "102 in"},
        {**TRIPS, "overall_length_m": "41 ft", "width_m": "102 in"},
    ),
    # Neb. Rev. Stat. 60-358: 9,000 lb | 9,001 lb
    ("us-ne-utility-trailer", {"gross_weight_rating_kg": "9000 lb"}, {"gross_weight_rating_kg": "9001 lb"}),
    # N.M. Stat. 66-1-4.17(M): a camping body | a box with loose mattresses
    ("us-nm-travel-trailer", TRIPS, HAULS),
    # Conn. Gen. Stat. 14-1(9): only for camping | lumber between trips
    ("us-ct-camp-trailer", TRIPS, {**TRIPS, "recreational_use_only": False}),
    # 23 V.S.A. 4: a utility trailer used to sleep in | a boat trailer
    ("us-vt-trailer-coach", {**HAULS, "sleeping_berths": 1}, HAULS),
    # Wyo. Stat. 31-1-101(a): 8.5 ft | 9 ft
    ("us-wy-house-trailer", {**TRIPS, "width_m": "8.5 ft"}, {**TRIPS, "width_m": "9 ft"}),
    # KRS 186.650(4): 16 by 7 ft, 112 sq ft | 40 by 8.5 ft, 340 sq ft
    (
        "us-ky-travel-trailer",
        {**TRIPS, "interior_area_m2": "90 ft2", "exterior_area_m2": "112 ft2"},
        {**TRIPS, "interior_area_m2": "200 ft2", "exterior_area_m2": "340 ft2"},
    ),
    # 625 ILCS 5/1-128: equipped and used to live in | equipped, used for freight
    ("us-il-house-trailer", TRIPS, {**TRIPS, "main_use_living": False, "carries_property": True}),
    # Md. Code, Transp. 11-170: 40 ft | 41 ft
    ("us-md-travel-trailer", {**TRIPS, "overall_length_m": "40 ft"}, {**TRIPS, "overall_length_m": "41 ft"}),
    # Miss. Code 63-3-103: a 12 ft sleeper | an enclosed cargo trailer
    ("us-ms-recreational-vehicle", {**TRIPS, "overall_length_m": "12 ft"}, HAULS),
    # Tenn. Code Ann. 55-1-105: a workshop on wheels | a flatbed
    ("us-tn-house-trailer", {**HAULS, "special_function_body": True}, HAULS),
    # Ala. Code 32-1-1.1(27): a small sleeper | a horse trailer without quarters
    ("us-al-house-trailer", TRIPS, HAULS),
    # K.S.A. 8-1490: a sleeper for recreation | a dump trailer
    ("us-ks-travel-trailer", TRIPS, HAULS),
    # SDCL 32-3-1(26): named by its maker | the same built at home
    (
        "us-sd-recreational-vehicle",
        {**TRIPS, "named_travel_trailer_by_manufacturer": True},
        {**TRIPS, "named_travel_trailer_by_manufacturer": False},
    ),
    # R.I. Gen. Laws 31-1-3: certified by the maker | built at home
    (
        "us-ri-camping-recreational-vehicle",
        {**TRIPS, "rv_standard_certified_by": "manufacturer"},
        {**TRIPS, "rv_standard_certified_by": "builder"},
    ),
]


@pytest.mark.parametrize(("name", "meets", "misses"), EXAMPLES, ids=[name for name, _, _ in EXAMPLES])
def test_one_trailer_meets_it_and_one_misses_it(
    name: str, meets: dict[str, FactValue], misses: dict[str, FactValue]
) -> None:
    place = name[:5].upper()
    for facts, expected in ((meets, True), (misses, False)):
        built = {built.id: built.holds for built in assess(place, None, facts, AS_OF).built}
        assert built[name] is expected


@pytest.mark.parametrize(
    ("place", "document", "facts"),
    [
        # C.R.S. 42-1-102: 27 ft overall, a body of 24 ft: neither camper trailer nor trailer coach by the letter
        ("US-CO", "camper_trailer", {"overall_length_m": "27 ft", "body_length_m": "24 ft", "has_cargo_space": False}),
        # Ohio R.C. 4501.01(Q): 35 ft in the copies, 40 ft from memory
        ("US-OH", "travel_trailer", {"overall_length_m": "40 ft", "body_length_m": "36 ft"}),
    ],
)
def test_a_length_between_two_readings_is_for_the_authority(
    place: str, document: str, facts: dict[str, FactValue]
) -> None:
    known: dict[str, FactValue] = {**TRIPS, "needs_utilities_to_live_in": False, **facts}
    asked = assess(place, document, known, AS_OF)
    assert asked.verdict == "undetermined"
    assert [fact.fact for fact in asked.missing_facts] == ["authority_accepts_length"]
    assert assess(place, document, {**known, "authority_accepts_length": True}, AS_OF).verdict == "match"
    assert assess(place, document, {**known, "authority_accepts_length": False}, AS_OF).verdict == "mismatch"


@pytest.mark.parametrize(
    ("name", "last", "first"),
    [
        # Act 138 of 2018-10-24, in force one year later
        ("us-pa-recreational-trailer", date(2019, 10, 23), date(2019, 10, 24)),
        # 2023 Act 164, published 2024-03-22
        ("us-wi-recreational-vehicle", date(2024, 3, 22), date(2024, 3, 23)),
    ],
)
def test_a_new_wording_follows_the_old_one_without_a_gap(name: str, last: date, first: date) -> None:
    for day, expected in ((last, False), (first, True)):
        built = {one.id for one in assess(name[:5].upper(), None, {}, day).built}
        assert (name in built) is expected
        assert any(one.startswith(f"{name}-before") for one in built) is not expected
