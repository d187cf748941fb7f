"""The constants that rest on common practice. They have no published source; they are pinned so that a change is
deliberate.
"""

from decimal import Decimal
from typing import Any

import pytest

from hitchworth.model.schedule import Schedule
from hitchworth.reference.category_groups import category_groups
from hitchworth.reference.circuits import circuit_rules
from hitchworth.reference.evidence_ranges import evidence_ranges
from hitchworth.reference.load import read
from hitchworth.reference.plausible_terms import plausible_terms
from hitchworth.reference.schedules import library_schedules, schedule_named

LIVES = {
    # life in years and percent left at its end, straight line
    "chassis": "25 20",
    "axle_and_brakes": "15 10",
    "suspension": "12 10",
    "tires_and_wheels": "6 5",
    "coupler": "15 10",
    "jack": "12 10",
    "road_lights": "10 0",
    "fenders": "15 5",
    "body_framing": "20 10",
    "floor": "20 10",
    "body_panels": "20 10",
    "roof": "15 5",
    "insulation": "20 10",
    "windows": "15 5",
    "doors": "15 5",
    "roof_vent": "10 0",
    "sealants": "7 0",
    "paint": "7 0",
    "fasteners": "20 5",
    "stabilizers": "12 10",
    "battery_lead_acid": "4 10",
    "battery_agm": "6 10",
    "battery_lithium": "10 10",
    "solar_panels": "20 10",
    "charging": "10 0",
    "inverter": "10 0",
    "wiring": "20 5",
    "shore_power": "15 5",
    "interior_lights": "10 0",
    "heater": "12 5",
    "water_heater": "10 5",
    "water_tanks": "15 0",
    "plumbing": "15 5",
    "water_pump": "7 0",
    "toilet": "10 0",
    "shower": "12 0",
    "gas_system": "10 0",
    "gas_cylinders": "12 10",
    "cabinets": "15 5",
    "countertop": "15 5",
    "floor_covering": "10 0",
    "mattress": "8 0",
    "upholstery": "8 0",
    "awning": "8 5",
    "roof_rack": "12 10",
    "tent": "6 0",
    "safety_devices": "7 0",
    "security": "8 0",
    "loose_equipment": "5 0",
    "labor": "20 10",
    "general": "15 5",
}


@pytest.mark.parametrize(("name", "figures"), LIVES.items())
def test_a_customary_life(name: str, figures: str) -> None:
    record = schedule_named(name)
    assert record is not None
    life, percent_left = map(Decimal, figures.split())
    assert record.schedule == Schedule(method="straight_line", life_years=life, residual=percent_left / 100)


def test_every_customary_schedule_is_in_the_table() -> None:
    found = {record.name for record in library_schedules() if record.provenance == "common_practice"}
    assert found == {*LIVES, "permits"}
    permits = schedule_named("permits")
    assert permits is not None
    assert permits.schedule == Schedule(method="none")


def test_the_parts_of_a_plain_trailer() -> None:
    assert [record.name for record in library_schedules() if record.part_of_base] == list(LIVES)[:8]


def test_the_least_fuse_for_a_load() -> None:
    assert circuit_rules().fuse_sizing.minimum_multiple == Decimal("1.25")


def test_the_range_of_a_receipt() -> None:
    receipt = evidence_ranges()["receipt"]
    assert (receipt.below, receipt.above, receipt.provenance) == (5, 5, "common_practice")


ANSWERS = {
    "covers_damage homeowners scheduled_property builders_risk": (True,),
    "basis recreational_vehicle homeowners builders_risk": ("actual_cash_value", "replacement_cost"),
    "basis recreational_vehicle homeowners builders_risk amount": ("stated_amount", "agreed_value"),
    "amount": ("plain_trailer", "actual_cash_value", "replacement_cost"),
    "settles_as": ("registered_class", "built_use"),
    "settles_as homeowners": ("built_use",),
    "limit": ("plain_trailer", "none"),
    "limit amount": ("none",),
    "custom_equipment_limit": ("1000", "3000", "none"),
    "custom_equipment_limit homeowners scheduled_property builders_risk": ("none",),
    "contents_limit": ("0", "1000", "none"),
    "contents_limit builders_risk": ("0", "none"),
    "deductible": ("2500", "1000", "500", "250"),
    "coinsurance_rate tow_vehicle_extension recreational_vehicle homeowners scheduled_property commercial": ("0",),
    "coinsurance_rate builders_risk": ("1", "0.9", "0.8", "0"),
    "order": (("sublimits", "coinsurance", "deductible", "limit"),),
    "order tow_vehicle_extension recreational_vehicle commercial": (
        ("sublimits", "coinsurance", "limit", "deductible"),
        ("sublimits", "coinsurance", "deductible", "limit"),
    ),
    "betterment_categories": (
        (
            *("tires_and_wheels", "tires", "battery", "battery_lead_acid"),
            *("battery_agm", "battery_gel", "battery_lithium"),
        ),
        (),
    ),
    "replacement_years": ("5", "none"),
    "replacement_years homeowners scheduled_property builders_risk": ("none",),
    "holdback": (True, False),
    "total_loss_threshold": ("0.75", "none"),
    "salvage_value": ("0.40", "0.10"),  # the reviewers' figure: 10 to 40 percent of the value
    "total_loss_tax_rate CA": ("0", "sales_tax_rate"),
    "total_loss_tax_rate US-DE US-MT US-NH US-OR": ("0",),
    "total_loss_tax_rate": ("0",),
    "adds_tax_to_stated_amount": (False, True),
    "covers_under_construction": (False, True),
    "covers_perils": (False, True),
    "covers_perils.fire": (True,),
    "covers_perils.collision scheduled_property": (True,),
    "covers_situations": (False, True),
    "covers_situations.stored": (True,),
    "covers_situations.towed tow_vehicle_extension recreational_vehicle commercial": (True,),
}
"""By term, kinds, places, and what has to be known."""


def test_customary_answers_to_open_terms() -> None:
    customary = [entry for entry in plausible_terms() if entry.provenance == "common_practice"]
    found = {" ".join((each.term, *each.kinds, *each.places, *each.when_known)): each.values for each in customary}
    assert found == ANSWERS
    assert len(found) == len(customary)


CURRENCIES = {
    "deductible": {
        "EUR": "2500 1000 500 150",
        "GBP": "1000 500 250 100",
        "CAD": "2500 1000 500 250",
        "AUD": "2500 1000 750 500",
        "NZD": "2500 1000 500 250",
        "CHF": "2000 1000 500 200",
        "JPY": "200000 100000 50000 30000",
        "SEK": "15000 8000 5000 3000",
        "NOK": "15000 8000 5000 3000",
        "DKK": "15000 8000 5000 3000",
    },
    "deductible scheduled_property": {"EUR": "500 0", "GBP": "250 0"},
    "custom_equipment_limit": {
        "CAD": "1000 3000 none",
        "AUD": "1000 3000 none",
        "EUR": "1000 3000 none",
        "GBP": "1000 2500 none",
    },
    "contents_limit": {"EUR": "0 1000 none", "GBP": "0 1000 none"},
}


def test_customary_amounts_in_other_currencies() -> None:
    assert {
        " ".join((entry.term, *entry.kinds)): {code: " ".join(values) for code, values in entry.by_currency.items()}
        for entry in plausible_terms()
        if entry.by_currency
    } == CURRENCIES


def test_magnitudes_of_currencies() -> None:
    magnitudes = read("plausible_terms.yaml", dict[str, Any])["magnitudes"]
    assert {factor: " ".join(codes) for factor, codes in magnitudes.items()} == {
        10: "CNY CZK DKK HKD MXN NOK SEK TRY TWD UYU ZAR",
        100: "HUF INR ISK JPY KES PHP RSD RUB THB",
        1000: "ARS CLP COP CRC KRW NGN",
        10000: "IDR VND",
    }


def test_loose_things_that_are_contents() -> None:
    assert set(category_groups()["contents"].categories) >= {
        *("hand_tools", "tools", "power_tools", "bedding", "blankets", "linen", "sheets", "towels", "tent", "annex"),
        *("kitchenware", "dishes", "cookware", "loose_equipment", "camping_gear", "computers"),
    }
