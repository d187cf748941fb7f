"""What changed between two documents, and what does not count as a change."""

import json
from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from hitchworth.appraisal import compare_documents
from hitchworth.document_changes import document_changes
from hitchworth.model.document import Document
from hitchworth.model.document_changes import DocumentChange, DocumentComparison
from hitchworth.model.policy import DEFAULT_ORDER
from hitchworth.model.request import DocumentComparisonRequest, GapRequest
from hitchworth.operations.requests import read_as_written, read_request

Json = dict[str, Any]
BATTERY: Json = {
    "id": "battery",
    "description": "Battery",
    "category": "battery",
    "quantity": 1,
    "unit_cost": "899.00",
    "acquired_on": "2025-01-01",
    "schedule": "keeps",
}
KEEPS: Json = {"keeps": {"method": "none"}}
STOVE: Json = {**BATTERY, "id": "cooktop", "description": "Cooktop", "category": "stove", "unit_cost": 240}
LABOR: Json = {"id": "fit", "task": "Fit it", "hours": 2, "rate": 40, "performed_on": "2025-05-02"}
POLICY: Json = {
    "name": "one",
    "basis": "agreed_value",
    "deductible": "500",
    "sublimits": [],
    "excluded_perils": ["mice"],
}
LOSS: Json = {"name": "hail", "peril": "hail", "damage": [{"id": "cooktop", "fraction": "0.5"}], "extent": "partial"}
ALONE: Json = {"components": [BATTERY], "labor": []}
BEFORE: Json = {
    "build": {
        "name": "Camper",
        "currency": "USD",
        "schedules": KEEPS,
        "components": [BATTERY, STOVE],
        "labor": [{**LABOR, "component_id": "cooktop"}],
        "facts": {"wheels": 2, "overall_length_m": "4.00", "has_toilet": None},
    },
    "policies": [POLICY],
    "losses": [LOSS],
    "answers": [{"policy": "one", "term": "settles_as", "value": "built_use", "said_on": "2026-01-05"}],
}


def document(value: Json) -> GapRequest:
    return read_as_written(json.dumps(value).encode(), GapRequest)


def changed(**fields: Any) -> Json:
    """Return the document with other fields."""
    return {**BEFORE, **fields}


def with_build(**fields: Any) -> Json:
    return changed(build={**BEFORE["build"], **fields})


def changes(after: Json, before: Json = BEFORE) -> tuple[DocumentChange, ...]:
    return document_changes(document(before), document(after))


def only(after: Json, before: Json = BEFORE) -> DocumentChange:
    (found,) = changes(after, before)
    return found


def told(change: DocumentChange) -> tuple[str, str, str]:
    return change.kind, change.action, change.name


def fields_of(change: DocumentChange) -> list[tuple[str, str, str | None, str | None]]:
    return [(each.field, each.action, each.before, each.after) for each in change.fields]


@pytest.mark.parametrize(
    "same",
    [
        BEFORE,
        with_build(components=[STOVE, BATTERY]),
        with_build(components=[{**BATTERY, "quantity": "1.0", "unit_cost": 899, "condition": "1.00"}, STOVE]),
        with_build(components=[{**BATTERY, "serial_number": None, "freight": 0}, STOVE]),
        with_build(facts={"has_toilet": None, "overall_length_m": 4, "wheels": "2"}),
        with_build(facts={"wheels": 2, "overall_length_m": {"value": 400, "unit": "cm"}}),
        changed(policies=[{**POLICY, "deductible": 500.0, "limit": None}]),
        changed(format=1, locale="en-US", options={"confidence": "0.90"}),
        changed(as_of="2020-02-02"),
    ],
    ids=["itself", "order", "numbers", "defaults", "facts", "units", "terms", "settings", "date"],
)
def test_what_is_written_otherwise_is_no_change(same: Json) -> None:
    assert changes(same) == ()


def test_a_component_added_removed_and_repriced() -> None:
    both = changed(build={**BEFORE["build"], "labor": []}, losses=[])
    one = changed(build={**BEFORE["build"], **ALONE}, losses=[])
    removed = only(one, both)
    assert told(removed) == ("component", "removed", "cooktop")
    assert removed.description == "Cooktop"
    assert told(only(both, one)) == ("component", "added", "cooktop")
    repriced = only(with_build(components=[{**BATTERY, "unit_cost": 949}, STOVE]))
    assert told(repriced) == ("component", "changed", "battery")
    assert fields_of(repriced) == [("unit_cost", "repriced", "899.00", "949")]


def test_other_fields_say_what_they_were_also_where_that_is_the_default() -> None:
    after = {**BATTERY, "quantity": 2, "condition": "0.9", "supplier": "A shop", "schedule": {"method": "none"}}
    assert fields_of(only(with_build(components=[after, STOVE]))) == [
        ("quantity", "changed", "1", "2"),
        ("schedule", "contents", None, None),
        ("condition", "changed", "1", "0.9"),
        ("supplier", "entered", None, "A shop"),
    ]
    back = only(with_build(components=[BATTERY, STOVE]), with_build(components=[{**BATTERY, "supplier": "A"}, STOVE]))
    assert fields_of(back) == [("supplier", "cleared", "A", None)]


def test_labor() -> None:
    after = with_build(labor=[{**LABOR, "component_id": "cooktop", "hours": "2.5", "rate": 45, "hired": True}])
    assert fields_of(only(after)) == [
        ("hours", "changed", "2", "2.5"),
        ("rate", "repriced", "40", "45"),
        ("hired", "entered", None, "true"),
    ]


def test_a_new_id_is_a_new_name_and_what_refers_to_it_follows() -> None:
    build = {
        **BEFORE["build"],
        "components": [BATTERY, {**STOVE, "id": "stove"}],
        "labor": [{**LABOR, "component_id": "stove"}],
    }
    losses = [{**LOSS, "damage": [{"id": "stove", "fraction": "0.5"}]}]
    found = only(changed(build=build, losses=losses))
    assert (*told(found), found.renamed_from) == ("component", "renamed", "stove", "cooktop")


def test_of_two_alike_neither_is_taken_for_renamed() -> None:
    # Two batteries alike: which of them became `c` cannot be told.
    alike = [{**BATTERY, "id": name} for name in ("a", "b")]
    found = changes(with_build(components=[{**BATTERY, "id": "c"}, STOVE]), with_build(components=[*alike, STOVE]))
    assert sorted(map(told, found)) == [
        ("component", "added", "c"),
        ("component", "removed", "a"),
        ("component", "removed", "b"),
    ]


def test_a_renamed_policy_takes_its_answers_along() -> None:
    answers = [{**BEFORE["answers"][0], "policy": "two"}]
    found = only(changed(policies=[{**POLICY, "name": "two"}], answers=answers))
    assert (*told(found), found.renamed_from) == ("policy", "renamed", "two", "one")


def test_terms_of_a_policy() -> None:
    after = {
        **POLICY,
        "deductible": 1000,
        "sublimits": [{"category": "stove", "amount": 50}],
        "excluded_perils": ["mice", "flood"],
        "covers_perils": {"hail": True},
        "without": ["lender"],
    }
    assert sorted(fields_of(only(changed(policies=[after])))) == [
        ("covers_perils.hail", "entered", None, "true"),
        ("deductible", "changed", "500", "1000"),
        ("excluded_perils", "changed", "mice", "mice, flood"),
        ("lender", "entered", None, "none"),
        ("sublimits", "contents", None, None),
    ]


def test_an_empty_list_of_a_policy_is_known_and_a_missing_one_is_not() -> None:
    without = {name: value for name, value in POLICY.items() if name != "sublimits"}
    assert fields_of(only(changed(policies=[without]))) == [("sublimits", "cleared", "", None)]


def test_the_order_of_the_steps_of_a_policy_counts() -> None:
    orders = (["deductible", "coinsurance", "limit"], ["limit", "deductible", "coinsurance"])
    before, after = (changed(policies=[{**POLICY, "order": order}]) for order in orders)
    assert fields_of(only(after, before)) == [("order", "changed", ", ".join(orders[0]), ", ".join(orders[1]))]
    assert fields_of(only(BEFORE, after)) == [("order", "changed", ", ".join(orders[1]), ", ".join(DEFAULT_ORDER))]


def test_losses() -> None:
    assert told(only(changed(losses=[]))) == ("loss", "removed", "hail")
    after = {**LOSS, "damage": [{"id": "cooktop", "fraction": "0.6"}], "replaced": False}
    assert [field for field, *_ in fields_of(only(changed(losses=[after])))] == ["damage", "replaced"]


def test_answers_are_known_by_what_they_settle_and_by_their_day() -> None:
    answer = BEFORE["answers"][0]
    later = {**answer, "value": "registered_class", "said_on": "2026-03-01"}
    added = only(changed(answers=[answer, later]))
    assert (*told(added), added.policy) == ("answer", "added", "settles_as", "one")
    assert fields_of(added) == [("settles_as", "entered", None, "registered_class")]
    corrected = only(changed(answers=[{**answer, "value": "registered_class"}]))
    assert fields_of(corrected) == [("settles_as", "changed", "built_use", "registered_class")]
    source = only(changed(answers=[{**answer, "said_by": "the agent"}]))
    assert (source.action, fields_of(source)) == ("changed", [("settles_as", "contents", None, None)])
    taken_back = only(changed(answers=[]))
    assert (taken_back.action, fields_of(taken_back)) == ("removed", [("settles_as", "cleared", "built_use", None)])
    fact = only(changed(answers=[answer, {"fact": "has_toilet", "value": True}]))
    assert (*told(fact), fact.policy) == ("answer", "added", "has_toilet", None)


def test_facts_and_uses() -> None:
    facts = {"wheels": 4, "has_toilet": True, "overall_length_m": None}
    found = changes(with_build(facts=facts, use={"hired_out": True}))
    assert [(*told(each), *fields_of(each)[0][1:]) for each in found] == [
        ("fact", "changed", "wheels", "changed", "2", "4"),
        ("fact", "changed", "overall_length_m", "cleared", "4.00", None),
        ("fact", "changed", "has_toilet", "entered", None, "true"),
        ("use", "changed", "hired_out", "entered", None, "true"),
    ]


def test_a_planned_fact_that_is_built_is_a_change() -> None:
    before = with_build(facts={"has_toilet": {"value": True, "planned": True}})
    assert told(only(with_build(facts={"has_toilet": True}), before)) == ("fact", "changed", "has_toilet")


def test_properties_of_the_build_and_of_the_document() -> None:
    build = {**BEFORE["build"], "vin": "X", "base": {"kind": "flatbed"}, "indirect_costs": {"overhead_rate": "0.1"}}
    found = changes(changed(build=build, travels_to=["CA"], options={"day_count": "complete_years"}))
    assert [(*told(each), *fields_of(each)) for each in found] == [
        ("build", "changed", "", ("vin", "entered", None, "X")),
        ("base", "changed", "", ("kind", "entered", None, "flatbed")),
        ("indirect_costs", "changed", "", ("overhead_rate", "changed", "0", "0.1")),
        ("options", "changed", "", ("day_count", "changed", "days_365_25", "complete_years")),
        ("document", "changed", "", ("travels_to", "entered", None, "CA")),
    ]


def test_the_owner_is_not_repeated() -> None:
    # A history is read by others than the builder, so it says that the address changed, and not to what.
    owners = ({"name": "A", "address": "Here 1"}, {"name": "A", "address": "There 2"})
    before, after = (with_build(owner=owner) for owner in owners)
    assert fields_of(only(after, before)) == [("address", "contents", None, None)]


def test_own_schedules_and_price_indexes_measures_and_circuits() -> None:
    build = {
        **BEFORE["build"],
        "schedules": {**KEEPS, "mine": {"method": "straight_line", "life_years": 8}},
        "price_indexes": {"steel": [{"month": "2026-01", "value": 100}]},
        "protections": [{"name": "coupler_lock"}, {"name": "coupler_lock", "installed_on": "2026-02-02"}],
        "circuits": [{"name": "pump", "load_amps": 5, "length_m": 3}],
    }
    assert [told(each) for each in changes(changed(build=build))] == [
        ("protection", "added", "coupler_lock"),
        ("protection", "added", "coupler_lock (+)"),
        ("circuit", "added", "pump"),
        ("schedule", "added", "mine"),
        ("price_index", "added", "steel"),
    ]
    longer = {**build, "schedules": {**KEEPS, "mine": {"method": "straight_line", "life_years": 9}}}
    assert fields_of(only(changed(build=longer), changed(build=build))) == [("life_years", "changed", "8", "9")]


def compared(before: Json, after: Json, day: date = date(2026, 1, 1)) -> DocumentComparison:
    request = DocumentComparisonRequest(before=document(before), after=document(after))
    old, new = (read_request(json.dumps(each).encode(), GapRequest) for each in (before, after))
    return compare_documents(request, old, new, day, day)


def test_a_changed_line_says_what_it_changes_of_the_values() -> None:
    # Nothing depreciates, so cost and value change alike: the battery by 949 - 899 = 50, the cooktop by its 240.
    build = {**BEFORE["build"], "components": [{**BATTERY, "unit_cost": 949}], "labor": [{**LABOR, "hours": 3}]}
    found = compared(with_build(labor=[LABOR]), changed(build=build, losses=[]))
    values = {(each.name, each.action): (each.replacement_cost, each.actual_cash_value) for each in found.changes}
    assert values[("battery", "changed")] == (Decimal(50), Decimal(50))
    assert values[("cooktop", "removed")] == (Decimal(-240), Decimal(-240))
    assert values[("fit", "changed")][0] == Decimal(40)  # an hour more at 40
    assert found.estimates is not None
    assert found.estimates.replacement_cost == Decimal(50 - 240 + 40)


def test_a_renamed_line_changes_no_value() -> None:
    after = changed(
        build={**BEFORE["build"], "components": [{**BATTERY, "id": "lithium"}, STOVE]},
        locale="de-DE",
        policies=[POLICY],
    )
    renamed = next(each for each in compared(BEFORE, after).changes if each.action == "renamed")
    assert (renamed.replacement_cost, renamed.actual_cash_value) == (Decimal(0), Decimal(0))


def test_what_is_no_line_has_no_value_of_its_own() -> None:
    (found,) = compared(BEFORE, changed(policies=[{**POLICY, "deductible": 1}])).changes
    assert (found.replacement_cost, found.actual_cash_value) == (None, None)


def test_in_two_currencies_the_entries_are_compared_and_not_the_values() -> None:
    found = compared(BEFORE, with_build(currency="EUR"))
    assert (found.estimates, [note.code for note in found.notes]) == (None, ["different_currencies"])
    assert [told(each) for each in found.changes] == [("build", "changed", "")]


def test_the_digests_are_those_of_the_two_documents() -> None:
    found = compared(BEFORE, with_build(name="Other"))
    assert found.before.digest != found.after.digest
    assert (found.before.name, found.after.name) == ("Camper", "Other")
    assert compared(BEFORE, BEFORE).before.digest == found.before.digest


def test_amounts_are_in_the_currency_of_their_line() -> None:
    part = {**BATTERY, "currency": "EUR", "exchange_rate": "1.1"}
    after = with_build(components=[{**part, "unit_cost": 5}, STOVE])
    assert only(after, with_build(components=[part, STOVE])).currency == "EUR"


def test_a_document_of_any_kind_can_be_compared() -> None:
    bare = Document(build=document(BEFORE).build)
    assert document_changes(bare, bare) == ()


def test_a_refunded_line_says_what_the_refund_changes() -> None:
    # Two batteries for 899 each, one given back on February 1: 899 less on March 1.
    two = {**BATTERY, "quantity": 2}
    refund = {**BATTERY, "id": "back", "quantity": -1, "acquired_on": "2026-02-01", "refund_of": "battery"}
    before = changed(build={**BEFORE["build"], "components": [two, STOVE]})
    after = changed(build={**BEFORE["build"], "components": [two, STOVE, refund]})
    found = compared(before, after, date(2026, 3, 1))
    (entered,) = found.changes
    assert (*told(entered), entered.refund_of) == ("refund", "added", "back", "battery")
    assert entered.replacement_cost == Decimal(-899)
    assert found.estimates is not None
    assert found.estimates.replacement_cost == Decimal(-899)
    # Where the component itself changed too, its own entry says it for both: 949 is left of 2 x 899.
    dearer = changed(build={**BEFORE["build"], "components": [{**two, "unit_cost": 949}, STOVE, refund]})
    values = {each.name: each.replacement_cost for each in compared(before, dearer, date(2026, 3, 1)).changes}
    assert values == {"battery": Decimal(949 - 2 * 899), "back": None}
