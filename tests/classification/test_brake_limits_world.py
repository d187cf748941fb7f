"""Limits on trailers without brakes outside the United States: each weight is counted as the text counts it."""

from datetime import date

import pytest

from hitchworth.classification.assessment import assess
from hitchworth.model.build import FactValue

AS_OF = date(2026, 11, 27)
O1_UNBRAKED: dict[str, FactValue] = {"gross_weight_rating_kg": 750, "axle_rating_kg": 700, "has_brakes": False}
# StVZO s. 42(2): (1,300 + 75) / 2 = 687.5 kg loaded, one axle.
DE_UNBRAKED: dict[str, FactValue] = {**O1_UNBRAKED, "axle_count": 1, "tow_curb_weight_kg": 1300}
# Construction and Use Regulations: reg. 15 by axle design weight; reg. 87: 600 of 1,250 kg is 48 %, 650 kg is 52 %.
GB_UNBRAKED: dict[str, FactValue] = {
    "gross_weight_rating_kg": 740,
    "coupling_load_rating_kg": 40,
    "loaded_weight_kg": 600,
    "tow_curb_weight_kg": 1250,
    "has_brakes": False,
}


@pytest.mark.parametrize(
    ("home", "facts", "expected"),
    [
        ("GB", {**GB_UNBRAKED, "gross_weight_rating_kg": 790, "coupling_load_rating_kg": 50}, False),
        ("GB", {**GB_UNBRAKED, "loaded_weight_kg": 650}, True),
        ("DE", {**DE_UNBRAKED, "loaded_weight_kg": 680}, False),
        ("DE", {**DE_UNBRAKED, "loaded_weight_kg": 687.5}, False),
        ("DE", {**DE_UNBRAKED, "loaded_weight_kg": 700}, True),
        ("DE", {**DE_UNBRAKED, "loaded_weight_kg": 600, "axle_count": 2, "axle_spacing_m": 0.8}, True),
        ("DE", {**DE_UNBRAKED, "tow_curb_weight_kg": 1600, "loaded_weight_kg": 751}, True),
        ("FI", {"loaded_weight_kg": 600, "tow_curb_weight_kg": 1300, **O1_UNBRAKED}, False),
        ("FI", {"loaded_weight_kg": 700, "tow_curb_weight_kg": 1300, **O1_UNBRAKED}, True),
        ("CA-PE", {"gross_weight_rating_kg": 1501, "has_brakes": False}, True),
        (
            "AU-SA",
            {"loaded_weight_kg": 1300, "tow_curb_weight_kg": 1300, "axle_rating_kg": 700, "has_brakes": False},
            False,
        ),
        (
            "AU-SA",
            {"loaded_weight_kg": 1301, "tow_curb_weight_kg": 1300, "axle_rating_kg": 700, "has_brakes": False},
            True,
        ),
        ("NZ", {"loaded_weight_kg": 1201, "tow_curb_weight_kg": 1600, "has_brakes": False}, True),
        ("ZA", {"gross_weight_rating_kg": 700, "tow_curb_weight_kg": 1500, "has_brakes": False}, False),
        ("ZA", {"gross_weight_rating_kg": 750, "tow_curb_weight_kg": 1400, "has_brakes": False}, True),
    ],
)
def test_brakes_are_asked_for_as_the_text_counts(home: str, facts: dict[str, FactValue], expected: bool) -> None:
    rules = [rule for rule in assess(home, None, facts, AS_OF).towing_rules if rule.topic == "brakes"]
    assert any(rule.applies for rule in rules) is expected


def test_axles_are_overloaded_by_what_the_scale_shows() -> None:
    facts: dict[str, FactValue] = {"axle_load_kg": 741, "gross_weight_rating_kg": 790, "coupling_load_rating_kg": 50}
    rules = {rule.id: rule.applies for rule in assess("AT", None, facts, AS_OF).towing_rules}
    assert rules["axle-overloaded"] is True
    assert "eu-brakes-o2" not in {name for name, applies in rules.items() if applies}


@pytest.mark.parametrize(
    ("home", "rule", "facts", "applies"),
    [
        # StVZO s. 41(11): one axle, or two less than 1 m apart, and an axle load of at most 0.75 t
        ("DE", "de-no-brakes-built", {**DE_UNBRAKED, "axle_count": 2, "axle_spacing_m": 0.99}, None),
        ("DE", "de-no-brakes-built", {**DE_UNBRAKED, "axle_count": 2, "axle_spacing_m": 1}, True),
        ("DE", "de-no-brakes-built", {**DE_UNBRAKED, "axle_count": 3}, True),
        ("DE", "de-no-brakes-built", {**DE_UNBRAKED, "axle_rating_kg": 751}, True),
        # VTS art. 189: up to 1.50 t a safety connection will do
        ("CH", "ch-breakaway", {"gross_weight_rating_kg": 1501, "has_breakaway_device": False}, True),
        ("CH", "ch-breakaway", {"gross_weight_rating_kg": 1500, "has_breakaway_device": False}, None),
        # Regulation (EU) 2018/858: 3.6 t in all, 3.45 t on the axles is still O2
        ("FR", "eu-overrun-limit", {"gross_weight_rating_kg": 3600, "axle_rating_kg": 3450, "center_axle": True}, None),
        ("FR", "eu-overrun-limit", {"gross_weight_rating_kg": 3600, "axle_rating_kg": 3501, "center_axle": True}, True),
        # SI 2018/1203, reg. 4: above 750 kg
        ("GB", "gb-registration-abroad", {"gross_weight_rating_kg": 751}, True),
        ("GB", "gb-registration-abroad", {"gross_weight_rating_kg": 750}, None),
        # Form F3970: single-axle trailers up to 750 kg
        ("AU-QLD", "au-qld-self-assessment", {"gross_weight_rating_kg": 750, "axle_count": 1}, True),
        ("AU-QLD", "au-qld-self-assessment", {"gross_weight_rating_kg": 750, "axle_count": 2}, None),
        ("AU-NSW", "au-nsw-vin", {"built_by": "owner"}, True),
        ("AU-NSW", "au-nsw-vin", {"built_by": "manufacturer"}, None),
        ("CA-PE", "ca-pe-size", {"overall_length_m": 14.61}, True),
        ("NZ", "nz-breakaway-2500", {"loaded_weight_kg": 2501, "has_breakaway_device": False}, True),
        ("FI", "fi-breakaway", {"gross_weight_rating_kg": 751, "has_breakaway_device": False}, True),
    ],
)
def test_a_rule_is_shown_where_it_applies(
    home: str, rule: str, facts: dict[str, FactValue], applies: bool | None
) -> None:
    """A rule that does not apply is left out: None here."""
    rules = {result.id: result.applies for result in assess(home, None, facts, AS_OF).towing_rules}
    assert rules.get(rule) is applies
