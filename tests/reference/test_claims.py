"""What to do after a loss and the time limits of claims: every row is complete and says where it comes from."""

import string
from typing import get_args

import pytest

from hitchworth.localization.texts import texts
from hitchworth.model.after_loss import ClaimStep
from hitchworth.reference.claims import MAIN_STEPS, ClaimDuty, ClaimTimeLimit, claims, time_limits_for
from hitchworth.reference.jurisdictions import jurisdictions

PARAMETERS = {
    "vin": "vin",
    "suggested_vin": "suggested_vin",
    "serials": "serial_numbers",
    "unproven": "unproven",
    "measures": "protections",
}
"""The parameters of a duty, and what must be on record for each."""


@pytest.mark.parametrize("duty", claims().checklist, ids=lambda duty: duty.id)
def test_a_duty_names_only_what_is_on_record(duty: ClaimDuty) -> None:
    named = {name for _, name, _, _ in string.Formatter().parse(duty.text) if name is not None}
    assert {PARAMETERS[name] for name in named} <= set(duty.if_recorded)
    assert set(duty.perils) <= set(texts().labels["peril"])
    assert set(duty.if_recorded).isdisjoint(duty.if_not_recorded)


@pytest.mark.parametrize("limit", claims().time_limits, ids=lambda limit: limit.id)
def test_a_time_limit_has_its_source_and_its_words(limit: ClaimTimeLimit) -> None:
    assert limit.source
    assert limit.jurisdiction in jurisdictions()
    assert (limit.provenance == "common_practice") == (limit.authority == "custom")
    assert limit.text or limit.within is not None, "without a number a rule needs words of its own"
    assert set(limit.perils) <= set(texts().labels["peril"])


def test_ids_are_given_once_and_every_step_is_used() -> None:
    for rows in (claims().checklist, claims().time_limits):
        assert len({row.id for row in rows}) == len(rows)
    assert {limit.step for limit in claims().time_limits} == set(get_args(ClaimStep)) - {"not_looked_up"}


def test_what_is_usual_runs_in_the_united_states_alone() -> None:
    """Its sources are about policies there; a place that is not known has no time limits."""
    usual = {"usual-proof", "usual-theft-wait"}
    for code, place in jurisdictions().items():
        found = {limit.id for limit in time_limits_for(code)}
        assert usual & found == (usual if "US" in place.chain else set()), code
    assert time_limits_for(None) == time_limits_for("XX") == ()


US_PLACES = {code for code in jurisdictions() if code.startswith("US-")}


def test_every_place_says_something_of_proof_and_the_main_steps_or_that_they_were_not_looked_up() -> None:
    for code in jurisdictions():
        found = [limit for limit in time_limits_for(code) if limit.step != "not_looked_up"]
        known = [limit for limit in found if limit.authority in ("law", "industry_code")]
        complete = {limit.step for limit in known} >= set(MAIN_STEPS) or any(limit.within is None for limit in known)
        complete = complete and any(limit.step == "proof_of_loss" for limit in found)
        assert any(limit.step == "not_looked_up" for limit in time_limits_for(code)) is not complete, code


def test_a_model_text_is_no_law_and_fills_no_gap_of_a_state_with_rules_of_its_own() -> None:
    model = {limit.id for limit in claims().time_limits if limit.authority == "model_text"}
    assert model == {"us-model-acknowledge", "us-model-decide", "us-model-pay"}
    with_model = {code for code in US_PLACES if model & {limit.id for limit in time_limits_for(code)}}
    # Of the fifty states and the District nothing at all was found for Mississippi alone.
    own_rules = {limit.jurisdiction for limit in claims().time_limits} | set(claims().not_read)
    assert "US-MS" in with_model
    assert with_model.isdisjoint(own_rules)
    assert set(claims().not_read) <= US_PLACES


def test_no_number_of_a_state_is_from_memory() -> None:
    """A number that nobody read is no duty of an insurer: it is left out, and its rule named to look up."""
    of_states = [limit for limit in claims().time_limits if limit.jurisdiction in US_PLACES]
    assert {limit.provenance for limit in of_states} == {"published"}
    texas = time_limits_for("US-TX")
    assert [(limit.step, limit.source) for limit in texas if limit.authority == "law"] == [
        ("not_looked_up", "Tex. Ins. Code 542.055 to 542.058")
    ]


def test_the_clock_of_oregon() -> None:
    # OAR 836-080-0225, -0230, -0235 [read in rule texts of 2024]: 30 days to acknowledge and 45 to investigate, both
    # from notice; 30 days after proof to decide. The model text has 15 days.
    oregon = {limit.step: (limit.within, limit.begins_with) for limit in time_limits_for("US-OR")}
    assert oregon["acknowledge"] == (30, "notice")
    assert oregon["investigate"] == (45, "notice")
    assert oregon["decide"] == (30, "proof")


def test_a_clock_that_differs_by_kind_of_policy_says_so() -> None:
    # Ga. Comp. R. & Regs. 120-2-52-.03: 15 days on motor vehicle policies, 60 on fire policies. 11 NYCRR 216.7 keeps
    # the 15 business days from motor vehicle collision and comprehensive claims.
    georgia = {limit.under: limit.within for limit in time_limits_for("US-GA") if limit.step == "decide"}
    assert georgia == {"vehicle_policy": 15, "property_policy": 60}
    assert [limit.under for limit in time_limits_for("US-NY") if limit.step == "decide"] == ["property_policy"]
