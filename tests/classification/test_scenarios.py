"""The scenarios beside this file: made-up trailers, judged by hand under the published definitions."""

from datetime import date
from pathlib import Path

import msgspec
import pytest
from msgspec import Struct

from hitchworth.classification.assessment import assess
from hitchworth.model.assessment import Verdict


class Expected(Struct, frozen=True, forbid_unknown_fields=True):
    """The outcome by hand. `built` are the definitions of role class that hold, all of them."""

    verdict: Verdict
    built: tuple[str, ...]
    registered_holds: bool | None
    missing_facts: tuple[str, ...]
    also_holds: tuple[str, ...] = ()
    not_hold: tuple[str, ...] = ()


class Scenario(Struct, frozen=True, forbid_unknown_fields=True):
    """One trailer. A fact that is not listed is unknown."""

    id: str
    jurisdiction: str
    registered_class: str | None
    facts: dict[str, bool | int | float | str | None]
    expect: Expected
    why: str = ""


SCENARIOS = [
    scenario
    for part in ("us", "world")
    for scenario in msgspec.yaml.decode(
        Path(__file__).with_name(f"scenarios_{part}.yaml").read_bytes(), type=list[Scenario]
    )
]


@pytest.mark.parametrize("scenario", SCENARIOS, ids=lambda scenario: scenario.id)
def test_scenario_comes_out_as_judged_by_hand(scenario: Scenario) -> None:
    found = assess(scenario.jurisdiction, scenario.registered_class, scenario.facts, date(2026, 11, 25))
    holding = {built.id: built.role for built in found.built if built.holds}
    assert found.verdict == scenario.expect.verdict
    assert sorted(name for name, role in holding.items() if role == "class") == sorted(scenario.expect.built)
    assert found.registered.holds is scenario.expect.registered_holds
    assert {missing.fact for missing in found.missing_facts} == set(scenario.expect.missing_facts)
    assert set(scenario.expect.also_holds) <= set(holding)
    assert not set(scenario.expect.not_hold) & set(holding)
