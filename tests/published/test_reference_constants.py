"""The constants of the reference data that come from a named source. The source is named beside each table."""

import re
from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction

import pytest

from hitchworth.classification.answer_search import comparisons
from hitchworth.model.schedule import Schedule
from hitchworth.reference.circuits import circuit_rules
from hitchworth.reference.claims import claims
from hitchworth.reference.evidence_ranges import evidence_ranges
from hitchworth.reference.labor_depreciation_rules import labor_depreciation_rules
from hitchworth.reference.plausible_terms import plausible_terms
from hitchworth.reference.schedules import library_schedules, schedule_named
from hitchworth.reference.total_loss_thresholds import total_loss_thresholds
from hitchworth.reference.towing_rules import ParsedTowingRule, TowingRule, towing_rules

LIVES = {
    # Government of Canada, National Joint Council, Relocation Directive, depreciation table: yearly percentage
    "refrigerator": "10",  # 10 percent a year
    "stove": "10",
    "appliances": "10",
    "computers": "10",
    "kitchenware": "10",
    "bedding": "20",  # 5 percent a year
    "linen": "5",  # 20 percent a year
    # Australian Taxation Office, effective life of depreciating assets, prime cost
    "curtains": "6",
    "fire_extinguisher": "15",
    "hand_tools": "5",
    "power_tools": "5",
}


@pytest.mark.parametrize(("name", "life"), LIVES.items())
def test_a_published_life_is_straight_line_to_nothing(name: str, life: str) -> None:
    record = schedule_named(name)
    assert record is not None
    assert record.provenance == "published"
    assert record.schedule == Schedule(method="straight_line", life_years=Decimal(life), residual=Decimal(0))


def test_every_published_straight_line_is_in_the_table() -> None:
    found = {
        r.name for r in library_schedules() if r.provenance == "published" and r.schedule.method == "straight_line"
    }
    assert found == set(LIVES)


# Allowance List-Depreciation Guide of the US military services (2007): 7 or 10 percent a year, at most 75 percent
@pytest.mark.parametrize(("name", "yearly", "last"), [("air_conditioner", 7, "10.7143"), ("electronics", 10, "7.5")])
def test_a_yearly_percentage_ends_at_a_quarter(name: str, yearly: int, last: str) -> None:
    record = schedule_named(name)
    assert record is not None
    points = {point.age_years: point.percent_good for point in record.schedule.points}
    assert points[Decimal(0)] == 1
    assert points[Decimal(last)] == Decimal("0.25") == min(points.values())
    assert abs(Fraction(75, yearly) - Fraction(last)) < Fraction(1, 10000)


# National Fire Protection Association, NFPA 70: low-voltage fuses of articles 551 and 552 to 10 AWG; from 8 AWG on the
# 60 C column of table 310.16 for copper (from memory)
THIN = "18:6 16:8 14:15 12:20 10:30"
THICK = "8:40 6:55 4:70 3:85 2:95 1:110 0:125 -1:145 -2:165 -3:195"


def test_ratings_of_conductors() -> None:
    for rule, row in ((circuit_rules().thin_conductors, THIN), (circuit_rules().thick_conductors, THICK)):
        printed = {int(gauge): Decimal(amps) for gauge, amps in (each.split(":") for each in row.split())}
        assert rule.amps == printed


# Code of Federal Regulations, 33 CFR 183.425, table 5, read: allowable amperage by temperature class of the insulation
INSULATED = """
AWG  60  75  80  90 105 125 200
  8  55  65  70  70  80  90 100
  6  80  95 100 100 120 125 135
  4 105 125 130 135 160 170 180
  3 120 145 150 155 180 195 210
  2 140 170 175 180 210 225 240
  1 165 195 210 210 245 265 280
  0 195 230 245 245 285 305 325
 -1 225 265 285 285 330 355 370
 -2 260 310 330 330 385 410 430
 -3 300 360 385 385 445 475 510
"""


def test_ratings_by_class_of_insulation() -> None:
    head, *rows = (line.split() for line in INSULATED.strip().splitlines())
    printed = {
        int(degrees): {int(row[0]): Decimal(row[column]) for row in rows}
        for column, degrees in enumerate(head[1:], start=1)
    }
    assert circuit_rules().insulated_conductors.amps_by_class == printed


def test_distance_and_interrupt_rating_of_a_main_fuse() -> None:
    # NFPA 70, 552.10(E)(4), as a survey of the code gives it: 18 inches. ABYC E-11, as an installer gives it: 72.
    distance, inch = circuit_rules().fuse_distance, Decimal("0.0254")
    assert [round(limit / inch) for limit in (distance.bare, distance.sheathed)] == [18, 72]
    # ABYC E-11, as a maker of fuses and a forum of boat owners quote it: the bank's short-circuit current, or 20 kA
    # where that is above 10 kA. Its table of small banks: 1,500 A to 5,000 A (from memory).
    rule = circuit_rules().interrupt_rating
    assert (rule.large_bank, rule.enough) == (Decimal(10_000), Decimal(20_000))
    assert (rule.least, rule.lead_acid) == (Decimal(1_500), Decimal(5_000))


def test_start_of_a_motor() -> None:
    # ISO 8820-3, blade fuses: at 200 percent of its rating a fuse opens after 0.15 s at the earliest (from memory)
    assert circuit_rules().motor_start.multiple == 2


def test_thinnest_conductor() -> None:
    # NFPA 70, 552.10(B)(2), read in a copy: conductors of 6 to 18 AWG
    assert circuit_rules().thinnest_conductor.awg == 18


def test_resistivity_of_copper() -> None:
    # International Annealed Copper Standard: 1/58 ohm mm2/m at 20 C
    assert abs(Fraction(circuit_rules().copper.resistivity) - Fraction(1, 58)) < Fraction(1, 10**8)


def test_voltage_drop() -> None:
    # Tables of ABYC E-11 for boats: 3 percent for critical circuits, 10 percent for others
    limit = circuit_rules().voltage_drop
    assert (limit.critical, limit.other) == (Decimal("0.03"), Decimal("0.10"))


# The share of the value by which the law of a place calls a vehicle salvage or a total loss, in percent: statutes as
# cited in the data; read in their text, or in lists with citations where the row says so. None: no share in the law.
SHARES = {
    60: "",
    65: "NV",
    70: "AR IN IA WI",
    75: "AL DC KS KY LA MD MI NE NH NY NC ND RI SC TN WV WY",
    80: "FL MN MO OR",
    100: "CO OK PA TX UT",
    None: "AK AZ CA CT DE GA HI ID IL ME MA MS MT NJ NM OH SD VT VA WA",
}


@pytest.mark.parametrize(("percent", "places"), SHARES.items())
def test_total_loss_shares(percent: int | None, places: str) -> None:
    share = None if percent is None else Decimal(percent) / 100
    found = {code.removeprefix("US-") for code, law in total_loss_thresholds().by_place.items() if law.share == share}
    assert found == set(places.split())


def test_what_the_texts_of_total_loss_laws_hold_for() -> None:
    laws = {code.removeprefix("US-"): law for code, law in total_loss_thresholds().by_place.items()}

    def among(**fields: object) -> set[str]:
        return {code for code, law in laws.items() if all(getattr(law, name) == is_ for name, is_ in fields.items())}

    # ORS 801.527; R.I. Gen. Laws 31-46-1.1; Wyo. Stat. 31-2-106: the share is for damage that no insurer covers.
    assert among(only_uninsured=True) == {"OR", "RI", "WY"}
    # Va. Code 46.2-1602.1, RCW 46.04.514, Conn. Gen. Stat. 38a-353: repair and salvage against the value.
    assert among(rule="formula") == {"CT", "VA", "WA"}
    # C.R.S. 42-6-102 and Mo. Rev. Stat. 301.010 name trailers.
    assert among(scope="trailers") == {"CO", "MO"}
    # 47 O.S. 1111: 60 percent brands the title.
    assert laws["OK"].brand_share == Decimal("0.6")
    # Six model years: Mo. Rev. Stat. 301.010, Va. Code 46.2-1600; seven: Neb. Rev. Stat. 60-171.
    assert {
        code: law.model_years for code, law in laws.items() if law.model_years and law.scope != "motor_vehicles"
    } == {
        "MO": 6,
        "VA": 6,
        "NE": 7,
        "OK": 7,
    }


VEHICLE = "tow_vehicle_extension recreational_vehicle commercial scheduled_property"
ANSWERS = {
    # Personal auto, physical damage: an owned trailer counts only when it is in the declarations
    "covers_damage": (False, True),
    # Auto physical damage forms; the analysis of the maximum-limit endorsements: a stated amount only caps
    "basis tow_vehicle_extension commercial": ("actual_cash_value",),
    "basis tow_vehicle_extension commercial amount": ("stated_amount",),
    # Scheduled property, with and without agreed value
    "basis scheduled_property": ("actual_cash_value", "replacement_cost"),
    "basis scheduled_property amount": ("stated_amount", "agreed_value"),
    # A dictionary of appraisal, 2010: 23 states broad evidence, 11 market value, 4 cost less depreciation
    "values_by": ("market_value", "cost_less_depreciation"),
    # A federal court in Texas (W.D. Tex. 2001): actual cash value does not ask who did the work
    "counts_own_labor": (False, True),
    # 10 CCR 2695.9(f)(1) and 2695.8(b)(1) (California): labor is not depreciated; the sales tax is paid
    "depreciates_labor": (True, False),
    # HO 04 81 05 11, as a trade reference comments it: wear, tear or obsolescence comes off. Cal. Ins. Code 2051(b):
    # physical depreciation only
    "deducts_obsolescence": (True, False),
    "deducts_obsolescence US-CA": (False,),
    "total_loss_tax_rate US": ("0", "sales_tax_rate"),
    # States in whose rules a duty to pay the tax on an automobile was found: Act 58 of 2003 (Arkansas), C.R.S.
    # 10-4-639, Conn. Gen. Stat. 38a-353, Fla. Stat. 626.9743, 191 IAC 15.43, K.A.R. 40-1-34,
    # 11 NYCRR 216, W. Va. Code 33-6-33. Alaska has no tax of the state.
    # Whether a trailer is an automobile is open, so both answers are plausible.
    **{
        f"total_loss_tax_rate US-{state}": ("0", "sales_tax_rate")
        for state in ("AK", "AR", "CO", "CT", "FL", "IA", "KS", "NY", "WV")
    },
    # Homeowners, special limit for trailers: 1,500 in 10 00 and 05 11, 2,000 in 03 22
    "limit homeowners US": ("1500", "2000"),
    "contents_limit tow_vehicle_extension commercial scheduled_property": ("0",),
    "contents_limit homeowners": ("none",),
    "deductible scheduled_property": ("500", "0"),
    # Touring caravan wordings: a claim is cut in proportion where the sum is clearly too low
    "coinsurance_rate recreational_vehicle homeowners GB": ("1", "0"),
    "covers_under_construction builders_risk": (True,),
    # Coverage other than collision names these; household forms name theirs
    f"covers_perils.theft {VEHICLE}": (True,),
    f"covers_perils.vandalism {VEHICLE} homeowners": (True,),
    f"covers_perils.hail {VEHICLE} builders_risk": (True,),
    f"covers_perils.wind {VEHICLE} builders_risk": (True,),
    f"covers_perils.flood {VEHICLE}": (True,),
    f"covers_perils.falling_objects {VEHICLE} homeowners": (True,),
    "covers_perils.animals tow_vehicle_extension recreational_vehicle commercial": (True,),
    "covers_perils.flood homeowners": (False,),
    "covers_perils.collision homeowners": (False,),
}
"""By term, kinds, places, and what has to be known."""


def test_published_answers_to_open_terms() -> None:
    published = [entry for entry in plausible_terms() if entry.provenance == "published"]
    found = {" ".join((each.term, *each.kinds, *each.places, *each.when_known)): each.values for each in published}
    assert found == ANSWERS
    assert len(found) == len(published)


# AACE International Recommended Practice 18R-97: class 1 is -10/+15 percent, class 3 is -20/+30 percent
@pytest.mark.parametrize(("grade", "below", "above"), [("written_quote", 10, 15), ("own_estimate", 20, 30)])
def test_published_ranges(grade: str, below: int, above: int) -> None:
    (found,) = (each for name, each in evidence_ranges().items() if name == grade)
    assert (found.below, found.above, found.provenance) == (below, above, "published")


TIME_LIMITS = {
    # Common wording of policies, practice of insurers
    "usual-proof": "60 calendar_days",
    "usual-theft-wait": "30 calendar_days",
    # Model regulation on unfair claims settlement practices
    "us-model-acknowledge": "15 calendar_days",
    "us-model-decide": "21 calendar_days",
    "us-model-pay": "30 calendar_days",
    "de-part-payment": "1 months",  # VVG section 14
    "gb-prompt": "None calendar_days",  # ICOBS 8.1.1 has no number
    "gb-misrepresentation": "None calendar_days",  # ICOBS 8.1.2
    "gb-pay": "None calendar_days",  # Insurance Act 2015, section 13A
    # General Insurance Code of Practice (Australia)
    "au-decide": "10 business_days",
    "au-decide-latest": "4 months",
    "au-status": "20 business_days",
    # Fair Insurance Code (New Zealand)
    "nz-acknowledge": "5 business_days",
    "nz-decide": "10 business_days",
    "nz-status": "20 business_days",
    # Insurance Code (France), L113-2, L113-5
    "fr-notice": "5 working_days",
    "fr-notice-theft": "2 working_days",
    "fr-pay": "None calendar_days",
    "ch-pay": "28 calendar_days",  # Insurance Contract Act 1908, article 41: four weeks
    "no-notice": "12 months",  # Insurance Contracts Act 1989, section 8-5: one year from knowledge
    "ie-pay": "None calendar_days",  # Consumer Insurance Contracts Act 2019, section 16
    "ie-outcome": "10 business_days",  # Consumer Protection Code
    "ca-qc-pay": "60 calendar_days",  # Civil Code of Quebec, article 2473
    **dict.fromkeys(["ca-on-pay", "ca-bc-pay", "ca-ab-pay"], "60 calendar_days"),  # statutory conditions
    "nl-decide": "None calendar_days",  # the Civil Code has no number
}


# The rules of the states as the rows cite them: acknowledge (A), decide (D), pay (P), investigate (I), status (S), in
# calendar (c), business (b) or working (w) days. A survey of 2007: Alaska to Arkansas; an article of 2008: single
# figures of acknowledging; the others were read in the text of the rule or in a guide.
STATE_LIMITS = {
    "AK": "A10w D15w S45w",
    "AZ": "A10w D15w S45c",
    "AR": "A15w D15w S45c",
    "CA": "A15c D40c S30c",
    "CO": "D60c P60c",
    "DE": "A15w D30c",
    "FL": "A7c",
    "GA": "A15c D15c D60c P10c",
    "IL": "A15w P30c",
    "KY": "A15c",
    "NE": "A15c",
    "NV": "A20w",
    "NH": "A10w",
    "NJ": "A10w",
    "NY": "A15b D15b",
    "OH": "A15c",
    "OK": "A20c D45b",
    "OR": "A30c I45c D30c S45c",
    "PA": "A10w D15w S30c",  # and then every 45
    "RI": "A10c",
    "SD": "A30c",
    "UT": "A15c D30c P30c",
    "VT": "A10w",
    "VA": "A10w",
    "WA": "D15w S45c",  # and then every 30
    "WY": "D45c P45c",
    # Promptly, or within a reasonable time: no number
    **dict.fromkeys(("CT", "DC", "ID", "SC"), "DNonec"),
}


def test_time_limits() -> None:
    found = {limit.id: f"{limit.within} {limit.counted_in}" for limit in claims().time_limits}
    assert {name: limit for name, limit in found.items() if not _is_of_a_state(name)} == TIME_LIMITS


def test_time_limits_of_the_states() -> None:
    found: dict[str, list[str]] = {}
    for limit in claims().time_limits:
        if _is_of_a_state(limit.id) and limit.jurisdiction:
            written = f"{limit.step[0].upper()}{limit.within}{limit.counted_in[0]}"
            found.setdefault(limit.jurisdiction.removeprefix("US-"), []).append(written)
    assert {code: " ".join(limits) for code, limits in found.items()} == STATE_LIMITS


def _is_of_a_state(name: str) -> bool:
    return re.match(r"us-[a-z]{2}-", name) is not None


POUND = Decimal("0.45359237")
WEIGHTS = {
    # Arithmetic of the gross weight rating, and towing practice for a ball hitch
    "overloaded": [("loaded_share_pct", ">", "100 %")],
    "no-payload-left": [("empty_share_pct", ">=", "100 %")],
    "tongue-load-10-15": [("tongue_load_share_pct", "<", "10 %"), ("tongue_load_share_pct", ">", "15 %")],
    "axle-overloaded": [("axle_load_share_pct", ">", "100 %")],
    # UN Regulation No. 13; Regulation (EU) 2018/858, Article 4: O2 from 0.75 t, O3 from 3.5 t
    "eu-brakes-o2": [("gross_weight_rating_kg", "<=", "750 kg"), ("axle_rating_kg", "<=", "750 kg")],
    "eu-overrun-limit": [("gross_weight_rating_kg", "<=", "3500 kg"), ("axle_rating_kg", "<=", "3500 kg")],
    # StVZO s. 42(2): (empty weight + 75 kg) / 2, 750 kg, one axle; s. 41(11); s. 32: 2.55 m x 4.00 m x 12.00 m
    "de-unbraked-half": [
        ("axle_count", ">", "1 axle"),
        ("loaded_weight_kg", ">", "750 kg"),
        ("loaded_share_of_unbraked_limit_pct", ">", "100 %"),
    ],
    "de-no-brakes-built": [
        ("axle_rating_kg", ">", "750 kg"),
        ("axle_count", ">", "2 axles"),
        ("axle_count", "==", "2 axles"),
        ("axle_spacing_m", ">=", "1 m"),
    ],
    "de-size": [("width_m", ">", "2.55 m"), ("height_m", ">", "4.00 m"), ("overall_length_m", ">", "12.00 m")],
    # Code de la route R312-10, R312-11, R322-1
    "fr-size": [("width_m", ">", "2.55 m"), ("body_length_m", ">", "12 m")],
    "fr-registration": [("gross_weight_rating_kg", ">", "500 kg")],
    # Guide page on Dutch trailers
    "nl-heavy": [("gross_weight_rating_kg", ">", "750 kg")],
    "nl-size": [("width_m", ">", "2.55 m"), ("height_m", ">", "4 m"), ("overall_length_m", ">", "12 m")],
    "ie-license": [("gross_weight_rating_kg", ">", "1500 kg")],  # Irish road traffic rules
    "be-registration": [("gross_weight_rating_kg", ">", "750 kg")],  # a trade page
    # Swiss VRV art. 64, 65: 2.55 m x 12.00 m; VTS art. 189: 1.50 t
    "ch-size": [("width_m", ">", "2.55 m"), ("overall_length_m", ">", "12.00 m")],
    "ch-breakaway": [("gross_weight_rating_kg", ">", "1500 kg")],
    # Road Traffic Act 729/2018 (Finland), s. 152(1): half of the car's own mass, 750 kg; s. 151: 750 to 3,500 kg
    "fi-unbraked-half": [("loaded_share_of_tow_pct", ">", "50 %"), ("loaded_weight_kg", ">", "750 kg")],
    "fi-breakaway": [("gross_weight_rating_kg", ">", "750 kg"), ("gross_weight_rating_kg", "<=", "3500 kg")],
    # Road Vehicles (Construction and Use) Regulations 1986: reg. 15 by axle design weight, reg. 87 by laden weight
    "gb-brakes": [("axle_rating_kg", ">", "750 kg")],
    "gb-unbraked-half": [("loaded_share_of_tow_pct", ">", "50 %"), ("loaded_share_pct", ">", "100 %")],
    "gb-size": [("body_length_m", ">", "7 m"), ("width_m", ">", "2.55 m")],
    "gb-registration-abroad": [("gross_weight_rating_kg", ">", "750 kg")],  # SI 2018/1203, reg. 4; INF291
    # Trade association table and road safety column (British Columbia)
    "ca-bc-brakes-half": [("loaded_weight_kg", "<=", "1400 kg"), ("loaded_share_of_tow_pct", ">", "50 %")],
    "ca-bc-brakes-1400": [("loaded_weight_kg", ">", "1400 kg")],
    "ca-ab-brakes": [("loaded_weight_kg", ">=", "909 kg"), ("loaded_share_of_tow_pct", ">", "50 %")],  # a forum
    "ca-on-brakes": [("gross_weight_rating_kg", ">=", "1360 kg")],  # Highway Traffic Act
    # Highway Safety Code (Quebec), s. 230, wording of 2021
    "ca-qc-brakes": [("loaded_weight_kg", ">", "1300 kg"), ("loaded_share_of_tow_pct", ">=", "50 %")],
    "ca-mb-brakes": [("gross_weight_rating_kg", ">=", "1360 kg")],  # Saskatchewan's figure
    "ca-sk-brakes": [("gross_weight_rating_kg", ">=", "1360 kg")],  # a forum
    # Prince Edward Island, government page of 2017-11-30: 1,500 kg; 2.6 m x 4.5 m x 14.6 m
    "ca-pe-brakes": [("gross_weight_rating_kg", ">", "1500 kg")],
    "ca-pe-size": [("width_m", ">", "2.6 m"), ("height_m", ">", "4.5 m"), ("overall_length_m", ">", "14.6 m")],
    # Vehicle Standards Bulletin 1 (Australia), guide to low ATM trailers, Tasmanian regulation 114
    "au-brakes-750": [("axle_rating_kg", ">", "750 kg")],
    "au-brakes-2000": [("axle_rating_kg", ">", "2000 kg")],
    "au-low-atm": [("gross_weight_rating_kg", ">", "4500 kg")],
    "au-tas-brakes-750": [("axle_rating_kg", ">", "750 kg")],
    # Queensland: 750 kg with a single axle (state page); South Australia: 1.5 and 1.0 times the empty tow vehicle
    "au-qld-self-assessment": [("gross_weight_rating_kg", "<=", "750 kg"), ("axle_count", "==", "1 axle")],
    "au-sa-towed-mass": [("loaded_share_of_tow_pct", ">", "150 %"), ("loaded_share_of_tow_pct", ">", "100 %")],
    # Trade pages and a motoring association's page on New Zealand
    "nz-brakes-2000": [("loaded_weight_kg", ">", "2000 kg")],
    "nz-breakaway-2500": [("loaded_weight_kg", ">", "2500 kg")],
    "nz-unbraked-three-quarters": [("loaded_share_of_tow_pct", ">", "75 %")],
    # National Road Traffic Regulations 2000 (South Africa), reg. 151, as a page of 2011 gives them
    "za-unbraked-half": [
        ("gross_weight_rating_kg", ">", "750 kg"),
        ("mass_ratio_gross_to_tow_empty", ">", "0.5 ratio"),
    ],
}


def test_limits_on_weight_and_size() -> None:
    found = _limits(lambda rule: not rule.id.startswith("us-"))
    expected = {
        name: [(fact, operator, _in_base_unit(limit)) for fact, operator, limit in limits]
        for name, limits in WEIGHTS.items()
    }
    assert {name: limits for name, limits in found.items() if limits} == expected


GROSS, EMPTY, ON_AXLES = "gross_weight_rating_kg", "empty_weight_kg", "axle_share_of_tow_gross_pct"
BRAKES = {
    # State vehicle codes as the rows cite them: from which weight in pounds a trailer needs brakes
    "AL GA HI IL IN LA ME MT NM OK PA WV WI": [(GROSS, ">", "3000 lb")],
    "AK": [(GROSS, ">", "5000 lb")],
    "DE": [(GROSS, ">", "4000 lb")],
    "TX": [(GROSS, ">", "4500 lb")],
    "AZ AR CA CO CT IA MI TN": [(GROSS, ">=", "3000 lb")],
    "RI NC": [(GROSS, ">=", "4000 lb")],
    "NV": [(GROSS, ">=", "1500 lb")],
    "ID": [(EMPTY, ">=", "1500 lb")],
    "OH": [(EMPTY, ">=", "2000 lb")],
    "MA": [(EMPTY, ">", "10000 lb")],
    "NY": [(EMPTY, ">", "1000 lb"), (GROSS, ">", "3000 lb")],
    # The forty percent rule: RCW 46.37.340, Fla. Stat. 316.261, RSA 266:30 and others
    "FL SC SD WA MD VT NJ DC": [(GROSS, ">", "3000 lb"), (ON_AXLES, ">", "40 %")],
    "NH": [(GROSS, ">=", "3000 lb"), (ON_AXLES, ">", "40 %")],
    "MN": [(GROSS, ">=", "3000 lb"), ("mass_ratio_gross_to_tow_empty", ">", "1 ratio")],
    "MS": [("carrying_capacity_kg", ">", "2000 lb")],  # Miss. Code 63-7-51: what it carries
    "VA": [("loaded_weight_kg", ">=", "3000 lb")],  # Va. Code 46.2-1070: with its load
    "KS KY MO ND NE OR UT WY": [],  # no weight in the law
}
BRAKES_OF_CAMPING_TRAILERS = {
    # Cal. Veh. Code 26303; N.C.G.S. 20-124(f); Neb. Rev. Stat. 60-6,246; RSA 266:30
    "CA": [(GROSS, ">=", "1500 lb")],
    "NC": [(GROSS, ">=", "1000 lb")],
    "NE": [(GROSS, ">=", "3000 lb")],
    "NH": [(GROSS, ">", "1500 lb")],
}


@pytest.mark.parametrize(("suffix", "table"), [("brakes", BRAKES), ("brakes-living", BRAKES_OF_CAMPING_TRAILERS)])
def test_weights_from_which_a_state_asks_for_brakes(suffix: str, table: dict[str, list[tuple[str, str, str]]]) -> None:
    found = _limits(lambda rule: re.fullmatch(rf"us-[a-z]{{2}}-{suffix}", rule.id) is not None)
    expected = {
        f"us-{place.lower()}-{suffix}": [(fact, operator, _in_base_unit(limit)) for fact, operator, limit in limits]
        for places, limits in table.items()
        for place in places.split()
    }
    assert found == expected


def test_the_weight_in_the_words_of_a_rule_is_the_one_that_is_compared() -> None:
    for each in towing_rules():
        weights = {name: Fraction(value) for name, value in each.rule.parameters.items() if name in ("weight", "gross")}
        compared = {limit for _, _, limit in _compared(each)}
        assert {Fraction(POUND) * pounds for pounds in weights.values()} <= compared, each.rule.id
        if "share" in each.rule.parameters:
            assert Fraction(each.rule.parameters["share"]) * 100 in compared


def _limits(chosen: Callable[[TowingRule], bool]) -> dict[str, list[tuple[str, str, object]]]:
    return {each.rule.id: _compared(each) for each in towing_rules() if chosen(each.rule)}


def _compared(each: ParsedTowingRule) -> list[tuple[str, str, object]]:
    """Every comparison with a number or a word in the condition of the rule."""
    found = comparisons(each.when) if each.when else ()
    return [(test.fact, test.operator, test.threshold) for test in found if isinstance(test.threshold, Fraction)]


def _in_base_unit(limit: str) -> Fraction:
    number, unit = limit.split()
    return Fraction(Decimal(number) * POUND) if unit == "lb" else Fraction(number)


# Statutes, regulations and court decisions as each row cites them
LABOR_LAWS = {
    "not_depreciated": {"US-CA"},
    "by_policy_wording": {"US-AZ", "US-IL", "US-AR", "US-KY", "US-MS", "US-TN", "US-OH"},
    "depreciated": {"US-CO", "US-FL", "US-NC", "US-NE", "US-OK", "US-TX", "US-MO", "US-PA"},
    "unsettled": {"US-AL", "US-MN", "US-SC"},
}


@pytest.mark.parametrize(("law", "jurisdictions"), LABOR_LAWS.items())
def test_laws_on_the_depreciation_of_labor(law: str, jurisdictions: set[str]) -> None:
    assert {code for code, rule in labor_depreciation_rules().items() if rule.law == law} == jurisdictions
