"""Towing rules: every state has a row on brakes and one on breakaway devices, and each row names its source."""

import string

import pytest

from hitchworth.reference.class_change_effects import ClassChangeRow, class_change_rows, class_change_rows_on
from hitchworth.reference.jurisdictions import jurisdictions
from hitchworth.reference.total_loss_thresholds import total_loss_thresholds
from hitchworth.reference.towing_rules import ParsedTowingRule, towing_rules, towing_rules_in

STATES = sorted(total_loss_thresholds().by_place)
"""The fifty states and the District of Columbia, which test_total_loss_thresholds.py holds to ISO 3166-2."""

each = pytest.mark.parametrize("parsed", towing_rules(), ids=lambda parsed: parsed.rule.id)


@pytest.mark.parametrize("state", STATES)
def test_a_state_has_a_row_on_brakes_and_one_on_breakaway_devices(state: str) -> None:
    topics = [parsed.rule.topic for parsed in towing_rules_in(frozenset({state}))]
    assert "brakes" in topics
    assert "breakaway" in topics


@each
def test_a_rule_is_complete(parsed: ParsedTowingRule) -> None:
    rule = parsed.rule
    named = {name for _, name, _, _ in string.Formatter().parse(rule.text) if name is not None}
    assert named == set(rule.parameters)
    assert rule.source
    assert rule.caution
    assert set(rule.jurisdictions) <= {"*", *jurisdictions()}
    assert not (rule.family and rule.except_family)


def test_ids_are_given_once() -> None:
    ids = [parsed.rule.id for parsed in towing_rules()]
    assert len(ids) == len(set(ids))


def test_a_rule_of_a_family_has_a_counterpart_for_the_other_classes() -> None:
    """Otherwise the other classes would have no rule, which reads as "none needed"."""
    of_family = {(parsed.rule.jurisdictions, parsed.rule.topic) for parsed in towing_rules() if parsed.family}
    others = {(parsed.rule.jurisdictions, parsed.rule.topic) for parsed in towing_rules() if not parsed.family}
    assert {place for place, topic in of_family - others if topic == "brakes"} == set()


@pytest.mark.parametrize("row", class_change_rows(), ids=lambda row: f"{row.place}-{row.topic}")
def test_what_a_change_of_class_brings_is_complete(row: ClassChangeRow) -> None:
    assert row.place in jurisdictions()
    assert row.text.endswith(".")
    assert row.source


def test_the_nearest_place_with_a_row_replaces_the_wider_one() -> None:
    # Code of Ala. 32-8-31: the plate goes by class; the wider row says that the fee was not found.
    (fees,) = class_change_rows_on("fees", ("US-AL", "US"))
    assert fees.place == "US-AL"
    assert [row.place for row in class_change_rows_on("lights", ("US-AL", "US"))] == ["US"]
    assert class_change_rows_on("inspection", ("US-AL", "US")) == ()
    # SDCL 32-3-53: rebuilt title, and an inspection before it.
    assert [row.place for row in class_change_rows_on("inspection", ("US-SD", "US"))] == ["US-SD"]
