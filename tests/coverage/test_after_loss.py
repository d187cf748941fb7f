"""After a loss: what to do, from what is on record, and which time limits run."""

from collections.abc import Sequence
from datetime import date, timedelta
from decimal import Decimal

import pytest
from msgspec.structs import replace

from hitchworth.classification.vin import suggest_vin
from hitchworth.coverage.after_loss import after_loss
from hitchworth.model.build import Build, Protection
from hitchworth.model.entry import Component
from hitchworth.model.loss import Loss

DAY = date(2026, 11, 1)
ONE = Decimal(1)
FRIDGE = Component(
    id="fridge",
    description="Refrigerator 42 L",
    category="appliances",
    quantity=ONE,
    unit_cost=ONE,
    acquired_on=date(2026, 3, 1),
    evidence_grade="receipt",
    serial_number="R-118",
    model_number="C42",
)
BOARD = replace(FRIDGE, id="board", serial_number=None, evidence_grade="own_estimate")
SOLD = replace(FRIDGE, id="sold", removed_on=DAY)
ORDERED = replace(FRIDGE, id="ordered", acquired_on=date(2026, 11, 2))
BUILD = Build(
    name="trailer",
    currency="USD",
    jurisdiction="US-WA",
    vin="4ZZFB142XS1000231",
    completed_on=date(2026, 6, 1),
    components=(FRIDGE, BOARD, SOLD, ORDERED),
    protections=(Protection(name="gps_tracker"),),
)


def losses_by(perils: Sequence[str], day: date = DAY) -> tuple[Loss, ...]:
    return tuple(Loss(name=peril, peril=peril, extent="total", occurred_on=day) for peril in perils)


def duties(build: Build, *perils: str) -> dict[str, dict[str, str]]:
    return {item.id: item.parameters for item in after_loss(build, losses_by(perils), DAY).checklist}


def test_only_what_is_in_the_trailer_on_the_day_counts() -> None:
    found = after_loss(BUILD, losses_by(("theft",)), DAY)
    assert [(part.component, part.serial_number, part.model_number) for part in found.serial_numbers] == [
        ("fridge", "R-118", "C42")
    ]
    assert found.without_serial_number == 1
    assert found.without_receipt == ("board",)
    assert found.protections == ("gps_tracker",)


def test_a_theft_is_reported_with_the_numbers_on_record() -> None:
    told = duties(BUILD, "theft")
    assert told["number_for_the_police"] == {"vin": "4ZZFB142XS1000231"}
    assert told["serials_for_the_police"] == {"serials": "1"}
    assert told["unproven"] == {"unproven": "1"}
    assert {"police", "notice", "keep_after_theft", "tracker", "measures"} <= set(told)
    assert {"no_number", "serials_to_find", "people_first", "parts_in_the_workshop"}.isdisjoint(told)


def test_what_is_not_on_record_is_to_be_looked_for() -> None:
    minimal = Build(name="trailer", currency="USD", completed_on=date(2099, 1, 1))
    told = duties(minimal, "theft")
    assert {"no_number", "serials_to_find", "parts_in_the_workshop"} <= set(told)
    assert {"number_for_the_police", "serials_for_the_police", "unproven", "number_to_confirm"}.isdisjoint(told)


@pytest.mark.parametrize(
    ("protections", "on_record", "asked"),
    [
        (None, None, {"tracker", "measures_to_list"}),
        ((), (), set()),
        ((Protection(name="gps_tracker"),), ("gps_tracker",), {"tracker", "measures"}),
    ],
)
def test_measures_that_were_not_entered_are_asked_for_and_never_denied(
    protections: tuple[Protection, ...] | None, on_record: tuple[str, ...] | None, asked: set[str]
) -> None:
    build = replace(BUILD, protections=protections)
    assert after_loss(build, losses_by(("theft",)), DAY).protections == on_record
    assert {"tracker", "measures", "measures_to_list"} & duties(build, "theft").keys() == asked


def test_a_suggested_number_is_to_be_confirmed_before_it_goes_to_the_police() -> None:
    number = "1M8GDM9AXKP042788"
    frame = replace(FRIDGE, id="frame", category="chassis", serial_number=number)
    build = replace(BUILD, vin=None, components=(frame,))
    suggestion = suggest_vin(build.components, ("US-WA", "US"), DAY)
    found = after_loss(build, losses_by(("theft",)), DAY, suggestion)
    items = {item.id: item.parameters for item in found.checklist}
    assert found.vin is None
    assert items["number_to_confirm"] == {"suggested_vin": number}
    assert {"no_number", "number_for_the_police"}.isdisjoint(items)


def test_a_fire_asks_for_other_things_than_a_theft() -> None:
    told = duties(BUILD, "fire")
    assert {"people_first", "do_not_discard", "mitigate", "photos"} <= set(told)
    assert {"police", "serials_for_the_police", "authority"}.isdisjoint(told)


def test_each_item_names_the_perils_it_is_for() -> None:
    items = {item.id: item for item in after_loss(BUILD, losses_by(("theft", "fire")), DAY).checklist}
    assert items["police"].perils == ("theft",)
    assert items["mitigate"].perils == ("fire",)
    assert items["notice"].perils == ("theft", "fire")


def test_the_checklist_goes_from_at_once_to_the_first_week() -> None:
    order = ["at_once", "first_day", "first_week"]
    whens = [order.index(item.when) for item in after_loss(BUILD, losses_by(("theft", "fire", "hail")), DAY).checklist]
    assert whens == sorted(whens)
    assert set(whens) == {0, 1, 2}


@pytest.mark.parametrize(
    ("jurisdiction", "limits"),
    [
        # Sources: the rules named beside each row of claims.yaml; numbers that were not seen in print are left out.
        ("US-CA", {"us-ca-acknowledge": 15, "us-ca-decide": 40, "us-ca-status": 30, "not-looked-up": None}),
        ("US-TX", {"not-looked-up": None}),
        ("US-WA", {"us-wa-decide": 15, "us-wa-status": 45, "not-looked-up": None}),
        ("US-UT", {"us-ut-acknowledge": 15, "us-ut-decide": 30, "us-ut-pay": 30}),
        ("US-MS", {"us-model-acknowledge": 15, "us-model-decide": 21, "us-model-pay": 30, "not-looked-up": None}),
        ("DE", {"de-part-payment": 1, "not-looked-up": None}),
        ("GB-NIR", {"gb-prompt": None, "gb-misrepresentation": None, "gb-pay": None, "not-looked-up": None}),
        ("CA-QC", {"ca-qc-pay": 60, "not-looked-up": None}),
        ("FR", {"fr-notice": 5, "fr-notice-theft": 2, "fr-pay": None, "not-looked-up": None}),
        (None, {}),
    ],
)
def test_the_nearest_rule_of_each_step_runs(jurisdiction: str | None, limits: dict[str, int | None]) -> None:
    found = after_loss(replace(BUILD, jurisdiction=jurisdiction), losses_by(("theft",)), DAY).time_limits
    in_the_us = jurisdiction is not None and jurisdiction.startswith("US")
    usual = {"usual-proof": 60, "usual-theft-wait": 30} if in_the_us else {}
    assert {limit.id: limit.within for limit in found} == {**limits, **usual}


def test_a_time_limit_of_theft_runs_after_a_theft_only() -> None:
    french = replace(BUILD, jurisdiction="FR")
    ids = {limit.id for limit in after_loss(french, losses_by(("fire",)), DAY).time_limits}
    assert ids == {"fr-notice", "fr-pay", "not-looked-up"}


def test_what_was_fitted_on_the_day_of_the_loss_counts_and_not_what_is_fitted_today() -> None:
    found = after_loss(BUILD, losses_by(("theft",), date(2026, 10, 1)), DAY)
    assert [part.component for part in found.serial_numbers] == ["fridge", "sold"]


def test_what_was_fitted_at_one_of_several_losses_counts() -> None:
    losses = (*losses_by(("theft",), date(2026, 10, 1)), *losses_by(("fire",), date(2026, 11, 2)))
    found = after_loss(BUILD, losses, DAY)
    assert [part.component for part in found.serial_numbers] == ["fridge", "sold", "ordered"]


@pytest.mark.parametrize(
    ("completed", "unfinished"), [(DAY + timedelta(days=1), True), (DAY, False), (date(2026, 10, 31), False)]
)
def test_parts_in_the_workshop_are_listed_before_the_day_of_completion(completed: date, *, unfinished: bool) -> None:
    assert ("parts_in_the_workshop" in duties(replace(BUILD, completed_on=completed), "fire")) is unfinished
    later = after_loss(replace(BUILD, completed_on=completed), losses_by(("fire",), date(2026, 11, 3)), DAY)
    assert "parts_in_the_workshop" not in {item.id for item in later.checklist}


def test_a_peril_is_the_same_however_it_is_written() -> None:
    assert duties(BUILD, " Theft").keys() == duties(BUILD, "theft").keys()
    assert duties(BUILD, "burglary").keys() == duties(BUILD, "theft").keys()
    assert after_loss(BUILD, losses_by(("burglary", "theft")), DAY).perils == ("burglary",)
    assert after_loss(BUILD, losses_by(("theft", "THEFT")), DAY).perils == ("theft",)


@pytest.mark.parametrize(
    ("jurisdiction", "limit", "lost_on", "last"),
    [
        ("US", "usual-proof", date(2026, 11, 1), date(2026, 12, 31)),
        ("US", "usual-proof", date(9999, 12, 1), None),
        ("FR", "fr-notice", date(2026, 11, 1), None),  # working days: holidays differ
        ("GB", "gb-pay", date(2026, 11, 1), None),
        # The insurer's time begins with notice, proof or acceptance, and none of them has happened yet.
        ("US-OR", "us-or-acknowledge", date(2026, 11, 1), None),
        ("US-CO", "us-co-pay", date(2026, 11, 1), None),
        ("DE", "de-part-payment", date(2026, 11, 1), None),
        ("US", "usual-theft-wait", date(2026, 11, 1), None),
    ],
)
def test_only_what_the_insured_has_to_do_has_a_last_day(
    jurisdiction: str | None, limit: str, lost_on: date, last: date | None
) -> None:
    found = after_loss(replace(BUILD, jurisdiction=jurisdiction), losses_by(("theft",), lost_on), DAY).time_limits
    (days,) = (each.deadlines for each in found if each.id == limit)
    assert [(each.loss, each.day) for each in days] == ([("theft", last)] if last else [])


def test_a_time_limit_says_whose_duty_it_is_and_what_it_begins_with() -> None:
    found = after_loss(replace(BUILD, jurisdiction="US-OR"), losses_by(("theft",)), DAY).time_limits
    assert {(limit.step, limit.duty_of, limit.runs_from) for limit in found} == {
        ("acknowledge", "insurer", "notice"),
        ("investigate", "insurer", "notice"),
        ("decide", "insurer", "proof"),
        ("status", "insurer", "report"),
        ("proof_of_loss", "insured", "request"),
        ("theft_wait", "insurer", "notice"),
        ("not_looked_up", "insurer", "notice"),
    }


@pytest.mark.parametrize(
    ("lost_on", "last"),
    [(DAY, DAY + timedelta(days=60)), (None, None), (DAY + timedelta(days=1), None)],
    ids=["happened", "supposed", "in the future"],
)
def test_only_a_loss_that_has_happened_has_a_last_day(lost_on: date | None, last: date | None) -> None:
    # Proof of loss within 60 days is usual (common practice).
    theft = Loss(name="theft", peril="theft", extent="total", occurred_on=lost_on)
    found = after_loss(replace(BUILD, jurisdiction="US"), (theft,), DAY).time_limits
    (days,) = (each.deadlines for each in found if each.id == "usual-proof")
    assert [each.day for each in days] == ([last] if last else [])
