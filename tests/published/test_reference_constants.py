"""The constants of the reference data that come from a named source. The source is named beside each table."""

from decimal import Decimal
from fractions import Fraction

import pytest

from hitchworth.classification.answer_search import comparisons
from hitchworth.model.build import Schedule
from hitchworth.reference.circuits import circuit_rules
from hitchworth.reference.claims import claims
from hitchworth.reference.evidence_ranges import evidence_ranges
from hitchworth.reference.labor_depreciation_rules import labor_depreciation_rules
from hitchworth.reference.plausible_terms import plausible_terms
from hitchworth.reference.schedules import library_schedules, schedule_named
from hitchworth.reference.total_loss_thresholds import total_loss_threshold
from hitchworth.reference.towing_rules import towing_rules

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


# National Fire Protection Association, NFPA 70: low-voltage conductors of article 551 to 10 AWG, from 8 AWG on the
# 60 C column for copper (from memory)
AMPS = "18:6 16:8 14:15 12:20 10:30 8:40 6:55 4:70 3:85 2:95 1:110 0:125 -1:145 -2:165 -3:195"


def test_ratings_of_conductors() -> None:
    printed = {int(gauge): Decimal(amps) for gauge, amps in (row.split(":") for row in AMPS.split())}
    assert circuit_rules().conductor_ratings.amps == printed


def test_resistivity_of_copper() -> None:
    # International Annealed Copper Standard: 1/58 ohm mm2/m at 20 C
    assert abs(Fraction(circuit_rules().copper.resistivity) - Fraction(1, 58)) < Fraction(1, 10**8)


def test_voltage_drop() -> None:
    # Tables of ABYC E-11 for boats: 3 percent for critical circuits, 10 percent for others
    limit = circuit_rules().voltage_drop
    assert (limit.critical, limit.other) == (Decimal("0.03"), Decimal("0.10"))


FORMULA = "total loss formula"
THRESHOLDS = {
    # A list with citations of statutes on an adjusters' page; for Florida and Iowa other lists differ
    **dict.fromkeys(["US-AK", "US-AZ", "US-CA", "US-CT", "US-DE", "US-GA", "US-HI", "US-ID", "US-IL"], FORMULA),
    **dict.fromkeys(["US-AL", "US-DC", "US-KS", "US-KY", "US-LA"], "75"),
    **dict.fromkeys(["US-AR", "US-IN", "US-IA"], "70"),
    "US-CO": "100",
    "US-FL": "80",
    # An older list on a car buyer's page
    **dict.fromkeys(["US-MD", "US-MI", "US-NE", "US-NH", "US-NY", "US-NC", "US-ND"], "75"),
    **dict.fromkeys(["US-MN", "US-MO"], "80"),
    "US-NV": "65",
    # No rule is known
    **dict.fromkeys(["US-WA", "DE"], FORMULA),
}


@pytest.mark.parametrize(("jurisdiction", "percent"), THRESHOLDS.items())
def test_total_loss_threshold(jurisdiction: str, percent: str) -> None:
    share = total_loss_threshold(jurisdiction).share
    assert share == (None if percent == FORMULA else Decimal(percent) / 100)


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
    "us-acknowledge": "15 calendar_days",
    "us-decide": "21 calendar_days",
    "us-pay": "30 calendar_days",
    # 10 CCR 2695.5, 2695.7
    "us-ca-acknowledge": "15 calendar_days",
    "us-ca-decide": "40 calendar_days",
    "us-ca-pay": "30 calendar_days",
    # Texas Insurance Code, chapter 542
    "us-tx-acknowledge": "15 calendar_days",
    "us-tx-decide": "15 business_days",
    "us-tx-pay": "5 business_days",
    # WAC 284-30
    "us-wa-acknowledge": "10 working_days",
    "us-wa-decide": "15 working_days",
    "us-wa-investigate": "30 calendar_days",
    # Florida law since 2023
    "us-fl-acknowledge": "7 calendar_days",
    "us-fl-decide": "60 calendar_days",
    "us-ny-decide": "15 business_days",  # 11 NYCRR 216
    "us-co-decide": "60 calendar_days",  # 3 CCR 702-4
    "us-or-decide": "30 calendar_days",  # Oregon claims settlement rules
    # 31 Pa. Code 146
    "us-pa-acknowledge": "10 working_days",
    "us-pa-decide": "15 working_days",
    "de-part-payment": "1 months",  # VVG section 14
    "gb-prompt": "None calendar_days",  # ICOBS 8.1.1 has no number
    "gb-non-disclosure": "None calendar_days",  # ICOBS 8.1.2
    "gb-pay": "None calendar_days",  # Insurance Act 2015, section 13A
    # General Insurance Code of Practice (Australia)
    "au-decide": "10 business_days",
    "au-decide-latest": "4 months",
    # Fair Insurance Code (New Zealand)
    "nz-acknowledge": "5 business_days",
    "nz-decide": "10 business_days",
    # Insurance Code (France), L113-2, L113-5
    "fr-notice": "5 working_days",
    "fr-notice-theft": "2 working_days",
    "fr-pay": "None calendar_days",
    "ie-outcome": "10 business_days",  # Consumer Protection Code
    "ca-qc-pay": "60 calendar_days",  # Civil Code of Quebec, article 2473
    **dict.fromkeys(["ca-on-pay", "ca-bc-pay", "ca-ab-pay"], "60 calendar_days"),  # statutory conditions
    "nl-decide": "None calendar_days",  # the Civil Code has no number
}


def test_time_limits() -> None:
    assert {limit.id: f"{limit.within} {limit.counted_in}" for limit in claims().time_limits} == TIME_LIMITS


POUND = Decimal("0.45359237")
WEIGHTS = {
    # Arithmetic of the gross weight rating, and towing practice for a ball hitch
    "overloaded": [("loaded_share_pct", ">", "100 %")],
    "no-payload-left": [("empty_share_pct", ">=", "100 %")],
    "tongue-load-10-15": [("tongue_load_share_pct", "<", "10 %"), ("tongue_load_share_pct", ">", "15 %")],
    # State vehicle codes, in pounds
    "us-brakes-3000": [("gross_weight_rating_kg", ">", "3000 lb")],
    "us-brakes-2000": [("gross_weight_rating_kg", ">", "2000 lb")],
    "us-brakes-1500": [("gross_weight_rating_kg", ">", "1500 lb")],
    "us-brakes-4500": [("gross_weight_rating_kg", ">", "4500 lb")],
    "us-brakes-4000": [("gross_weight_rating_kg", ">", "4000 lb")],
    "us-brakes-ny": [("empty_weight_kg", ">", "1000 lb"), ("gross_weight_rating_kg", ">", "3000 lb")],
    # UN Regulation No. 13; Regulation (EU) 2018/858, Article 4: O2 from 0.75 t, O3 from 3.5 t
    "eu-brakes-o2": [("axle_load_kg", ">", "750 kg"), ("gross_weight_rating_kg", ">", "750 kg")],
    "eu-overrun-limit": [("gross_weight_rating_kg", ">", "3500 kg")],
    # StVZO: half of the towing vehicle's weight; 2.55 m x 4.00 m x 12.00 m
    "de-unbraked-half": [("mass_ratio_gross_to_tow_empty", ">", "0.5 ratio")],
    "de-size": [("width_m", ">", "2.55 m"), ("height_m", ">", "4.00 m"), ("overall_length_m", ">", "12.00 m")],
    # Code de la route R312-10, R312-11, R322-1
    "fr-size": [("width_m", ">", "2.55 m"), ("body_length_m", ">", "12 m")],
    "fr-registration": [("gross_weight_rating_kg", ">", "500 kg")],
    # Guide page on Dutch trailers
    "nl-heavy": [("gross_weight_rating_kg", ">", "750 kg")],
    "nl-size": [("width_m", ">", "2.55 m"), ("height_m", ">", "4 m"), ("overall_length_m", ">", "12 m")],
    "ie-licence": [("gross_weight_rating_kg", ">", "1500 kg")],  # Irish road traffic rules
    # Road Vehicles (Construction and Use) Regulations 1986
    "gb-brakes": [("gross_weight_rating_kg", ">", "750 kg")],
    "gb-unbraked-half": [("mass_ratio_gross_to_tow_empty", ">", "0.5 ratio")],
    "gb-size": [("body_length_m", ">", "7 m"), ("width_m", ">", "2.55 m")],
    # Trade association table and road safety column (British Columbia)
    "ca-bc-brakes-half": [("loaded_weight_kg", "<=", "1400 kg"), ("loaded_share_of_tow_pct", ">", "50 %")],
    "ca-bc-brakes-1400": [("loaded_weight_kg", ">", "1400 kg")],
    "ca-ab-brakes": [("loaded_weight_kg", ">=", "909 kg"), ("loaded_share_of_tow_pct", ">", "50 %")],  # a forum
    "ca-on-brakes": [("gross_weight_rating_kg", ">=", "1360 kg")],  # Highway Traffic Act
    # Highway Safety Code (Quebec), s. 230, wording of 2021
    "ca-qc-brakes": [("loaded_weight_kg", ">", "1300 kg"), ("loaded_share_of_tow_pct", ">=", "50 %")],
    "ca-mb-brakes": [("gross_weight_rating_kg", ">=", "1360 kg")],  # Saskatchewan's figure
    "ca-sk-brakes": [("gross_weight_rating_kg", ">=", "1360 kg")],  # a forum
    # Vehicle Standards Bulletin 1 (Australia), guide to low ATM trailers, Tasmanian regulation 114
    "au-brakes-750": [("axle_load_kg", ">", "750 kg")],
    "au-brakes-2000": [("axle_load_kg", ">", "2000 kg")],
    "au-low-atm": [("gross_weight_rating_kg", ">", "4500 kg")],
    "au-tas-brakes-750": [("axle_load_kg", ">", "750 kg")],
    "nz-brakes-2000": [("loaded_weight_kg", ">", "2000 kg")],  # Land Transport rules
}


def test_limits_on_weight_and_size() -> None:
    found = {
        rule.id: [
            (each.fact, each.operator, each.threshold)
            for each in comparisons(condition)
            if not isinstance(each.threshold, bool)
        ]
        for rule, condition in towing_rules()
    }
    expected = {
        name: [(fact, operator, _in_base_unit(limit)) for fact, operator, limit in limits]
        for name, limits in WEIGHTS.items()
    }
    assert {name: limits for name, limits in found.items() if limits} == expected


def _in_base_unit(limit: str) -> Fraction:
    number, unit = limit.split()
    return Fraction(Decimal(number) * POUND) if unit == "lb" else Fraction(number)


# Statutes, regulations and court decisions as each row cites them
LABOR_LAWS = {
    "not_depreciated": {"US-CA"},
    "by_policy_wording": {"US-AZ", "US-IL", "US-AR", "US-KY", "US-MS", "US-TN"},
    "depreciated": {"US-CO", "US-FL", "US-NC", "US-NE", "US-MN"},
    "unsettled": {"US-AL"},
}


@pytest.mark.parametrize(("law", "jurisdictions"), LABOR_LAWS.items())
def test_laws_on_the_depreciation_of_labor(law: str, jurisdictions: set[str]) -> None:
    assert {code for code, rule in labor_depreciation_rules().items() if rule.law == law} == jurisdictions
