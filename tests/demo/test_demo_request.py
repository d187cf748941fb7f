"""The demo scenario is as large as a real build, and has no fault."""

from datetime import date

from hitchworth import validation
from hitchworth.demo import demo_body, demo_request
from hitchworth.model.request import GapRequest
from hitchworth.reference.schedules import general_schedule, schedule_for, schedule_named

REQUEST = demo_request()
BUILD = REQUEST.build
AS_OF = date(2026, 11, 1)


def test_it_has_no_fault() -> None:
    assert validation.read(demo_body(), GapRequest) == REQUEST


def test_it_is_as_large_as_a_real_build() -> None:
    bought = [part for part in BUILD.components if part.acquired_on <= AS_OF]
    assert len(bought) >= 55
    assert len({part.category for part in bought}) >= 10
    months = {(part.acquired_on.year, part.acquired_on.month) for part in bought}
    assert (min(months), max(months)) == ((2025, 8), (2026, 8))
    assert len(BUILD.labor) == 25
    assert REQUEST.as_of == AS_OF


def test_it_has_what_makes_valuing_hard() -> None:
    parts = BUILD.components
    assert {part.currency for part in parts if part.currency} == {"EUR", "CAD"}
    assert len([part for part in parts if part.removed_on]) == 3
    assert len([part for part in parts if part.acquired_on > AS_OF]) == 3
    assert {part.evidence_grade for part in parts} == {"receipt", "written_quote", "own_estimate"}
    assert any(part.replacement_unit_cost for part in parts)
    assert any(part.low and part.high for part in parts)
    assert any(value is None for value in BUILD.facts.values())


def test_each_replaced_part_names_a_successor_that_is_there() -> None:
    ids = {part.id for part in BUILD.components}
    for part in BUILD.components:
        if part.removed_on:
            assert part.note.rpartition("replaced by ")[2].rstrip(".") in ids


def test_every_part_has_a_schedule_of_its_own_kind() -> None:
    for part in BUILD.components:
        named = schedule_named(part.schedule) if isinstance(part.schedule, str) else schedule_for(part.category)
        assert named not in (None, general_schedule()), part.id


def test_policies_and_losses_are_the_ones_of_the_story() -> None:
    assert [policy.basis for policy in REQUEST.policies] == ["actual_cash_value", "actual_cash_value", "agreed_value"]
    assert [(loss.peril, loss.extent) for loss in REQUEST.losses] == [
        ("theft", "total"),
        ("fire", "total"),
        ("water", "partial"),
        ("hail", "partial"),
    ]
