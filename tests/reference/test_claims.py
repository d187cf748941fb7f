"""What to do after a loss and the time limits of claims: every row is complete and says where it comes from."""

import string
from typing import get_args

import pytest

from hitchworth.localization.texts import texts
from hitchworth.model.after_loss import ClaimStep
from hitchworth.reference.claims import ClaimDuty, ClaimTimeLimit, claims, time_limits_for
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
    assert limit.jurisdiction is None or limit.jurisdiction in jurisdictions()
    assert (limit.jurisdiction is None) == (limit.provenance == "common_practice")
    assert limit.text or limit.within is not None, "without a number a rule needs words of its own"
    assert set(limit.perils) <= set(texts().labels["peril"])


def test_ids_are_given_once_and_every_step_is_used() -> None:
    for rows in (claims().checklist, claims().time_limits):
        assert len({row.id for row in rows}) == len(rows)
    assert {limit.step for limit in claims().time_limits} == set(get_args(ClaimStep))


def test_what_is_usual_runs_everywhere() -> None:
    usual = {"usual-proof", "usual-theft-wait"}
    for code in (*jurisdictions(), None, "XX"):
        assert usual <= {limit.id for limit in time_limits_for(code)}
