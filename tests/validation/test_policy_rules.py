"""The rules for policies and losses."""

from typing import get_args

import msgspec
import pytest

from faulty_requests import LABOR, LOSS, POLICY, Json, build_with, faults_of, gap_request, only_fault, places
from hitchworth.model.policy import AbsentTerm, Policy
from hitchworth.model.request import GapRequest, ProtectionRequest, SettlementRequest
from hitchworth.operations.requests import read_request
from hitchworth.validation.settling_work import settling_work

FAN: Json = {"name": "fan", "load_amps": 4, "length_m": 3, "awg": 14, "fuse_amps": 5}
KNOWN: Json = POLICY | {
    "limit": 1,
    "coinsurance_rate": 1,
    "deductible": 0,
    "order": ["deductible", "limit"],
    "settles_as": "built_use",
    "contents_limit": 1,
    "custom_equipment_limit": 1,
    "replacement_years": 1,
    "total_loss_tax_rate": 0,
}
SHARE_OF_LIMIT: Json = {"peril": "hail", "rate": "0.02", "applies_to": "limit"}


def named(record: Json, count: int) -> list[Json]:
    """Return so many copies, each with a name of its own."""
    return [record | {"name": f"number {number}"} for number in range(count)]


def work_of(**body: object) -> float:
    return settling_work(read_request(msgspec.json.encode(gap_request(**body)), SettlementRequest))


KNOWN_WORK = 45 * 0.4 + 0.25 + 0.25
"""45 steps of 0.4 lines, a quarter of a line for the one category, and as much for the loss of the one line."""


def test_fewer_settlements_where_many_terms_are_open() -> None:
    """Nine terms are open, each to a power of its plausible answers: limit 4, coinsurance 4, deductible 5, order 2,
    settles_as 2, custom equipment 3, contents 4, and the tax rate 2; the age matters to replacement cost only.
    """
    steps = 45 * 4 * 4**0.4 * 5**0.45 * 2**0.5 * 2**0.6 * 3**0.45 * 4**0.1 * 2**0.75
    assert work_of() == pytest.approx(steps * 0.4 + 0.5)
    worked = build_with({}, labor=[LABOR])  # by the owner: two more terms
    one, ten = 4 * steps * 0.4 + 0.5, named(POLICY, 10)
    most = int(900_000 / (10 * one + 0.5))
    assert places(gap_request(build=worked, policies=ten, losses=named(LOSS, most)), SettlementRequest) == []
    fault = only_fault(gap_request(build=worked, policies=ten, losses=named(LOSS, most + 1)), SettlementRequest)
    assert (fault.pointer, fault.found) == ("/losses", f"10 x {most + 1} = {10 * (most + 1)}")
    assert fault.expected.startswith(f"at most {int(900_000 / (one + 0.5 / 10))}, policies times losses, ")


def test_what_is_known_absent_answered_or_about_nothing_in_the_build_takes_no_more() -> None:
    rest = {name: value for name, value in KNOWN.items() if name not in ("limit", "deductible")}
    answer = {"policy": "one", "term": "deductible", "value": "0"}
    assert work_of(policies=[KNOWN]) == pytest.approx(KNOWN_WORK)
    assert work_of(policies=[rest | {"without": ["limit"]}], answers=[answer]) == pytest.approx(KNOWN_WORK)


def test_the_kind_of_a_policy_leaves_fewer_answers_open() -> None:
    open_rate = {name: value for name, value in KNOWN.items() if name != "coinsurance_rate"}
    assert work_of(policies=[open_rate]) == pytest.approx(45 * 4**0.4 * 0.4 + 0.5)
    assert work_of(policies=[open_rate | {"kind": "homeowners"}]) == pytest.approx(KNOWN_WORK)


@pytest.mark.parametrize(
    ("build", "factor", "lines"),
    [
        ({"labor": [LABOR]}, 2 * 2, 2),
        ({"labor": [LABOR | {"hired": True}]}, 2, 2),
        ({"obsolescence": [{"kind": "functional", "share": "0.1", "reason": "layout"}]}, 2**0.85, 1),
        ({"market_value": "900"}, 2**0.8, 1),
    ],
)
def test_terms_count_where_the_build_has_what_they_are_about(build: Json, factor: float, lines: int) -> None:
    categories = 2 if lines == 2 else 1
    work = work_of(build=build_with({}, **build), policies=[KNOWN])
    assert work == pytest.approx(45 * factor * 0.4 + categories / 4 + lines / 4)


@pytest.mark.parametrize(
    ("terms", "loss", "factor"),
    [
        ({"basis": "stated_amount", "amount": 1}, {}, 2**0.7),
        ({"basis": "stated_amount", "amount": None}, {}, 3**0.15 * 2**0.7),
        ({"basis": "replacement_cost", "replacement_years": None}, {"replaced": True}, 2**0.6),
        ({"basis": "replacement_cost", "replacement_years": None}, {"replaced": False}, 1),
        ({}, {"salvage_kept": True}, 2**0.7),
        ({}, {"salvage_kept": True, "salvage_value": 1}, 1),
    ],
)
def test_terms_count_where_the_policy_and_the_loss_need_them(terms: Json, loss: Json, factor: float) -> None:
    work = work_of(policies=[KNOWN | terms], losses=[LOSS | loss])
    assert work == pytest.approx(45 * factor * 0.4 + 0.5)


def test_sublimits_and_a_cap_of_depreciation_take_more() -> None:
    limited = KNOWN | {"sublimits": [{"category": "solar", "amount": 1}]}
    assert work_of(policies=[limited]) == pytest.approx(45 * (0.4 + 1 / 200) + 0.5)
    assert work_of(policies=[KNOWN | {"depreciation_cap": "0.5"}]) == pytest.approx(KNOWN_WORK + 0.1)


def test_a_request_without_faults() -> None:
    assert places(gap_request(), SettlementRequest) == []


@pytest.mark.parametrize(
    ("more", "expected"),
    [
        ({"policies": [POLICY, POLICY]}, [("/policies/1/name", "one")]),
        ({"losses": [LOSS, LOSS]}, [("/losses/1/name", "fire")]),
        ({"policies": [POLICY | {"order": ["limit", "limit"]}]}, [("/policies/0/order/1", "limit")]),
        ({"policies": [POLICY | {"basis": "agreed_value"}]}, []),
        (
            {"policies": [POLICY | {"limit": 1, "without": ["lender", "limit"]}]},
            [("/policies/0/without/1", "limit")],
        ),
        (
            {"policies": [POLICY | {"without": ["lender", "lender"]}]},
            [("/policies/0/without/1", "lender")],
        ),
        ({"policies": [POLICY | {"basis": "stated_amount", "amount": 1}]}, []),
        ({"losses": [LOSS | {"extent": "partial"}]}, [("/losses/0/damage", "none")]),
        ({"losses": [LOSS | {"damage": [{"fraction": 1}]}]}, [("/losses/0/damage/0", "neither")]),
        ({"losses": [LOSS | {"damage": [{"fraction": 1, "id": "no"}]}]}, [("/losses/0/damage/0/id", "no")]),
        ({"losses": [LOSS | {"damage": [{"fraction": 1, "category": "no"}]}]}, [("/losses/0/damage/0/category", "no")]),
        (
            {"losses": [LOSS | {"damage": [{"fraction": 1, "id": "panel", "category": "solar"}]}]},
            [("/losses/0/damage/0", "both")],
        ),
        (
            {"losses": [LOSS | {"extent": "partial", "damage": [{"fraction": 1, "id": "panel"}] * 2}]},
            [("/losses/0/damage/1/id", "panel")],
        ),
        (
            {"losses": [LOSS | {"extent": "partial", "damage": [{"fraction": 1, "category": "solar"}] * 2}]},
            [("/losses/0/damage/1/category", "solar")],
        ),
        (
            {"policies": [POLICY | {"sublimits": [{"category": "solar", "amount": 1}] * 2}]},
            [("/policies/0/sublimits/1/category", "solar")],
        ),
        (
            {"policies": [POLICY | {"peril_deductibles": [{"peril": "hail"}, {"peril": "hail"}]}]},
            [("/policies/0/peril_deductibles/1/peril", "hail")],
        ),
        (
            {"policies": [POLICY | {"allowances": [{"kind": "towing", "limit": 1}] * 2}]},
            [("/policies/0/allowances/1/kind", "towing")],
        ),
        (
            {"policies": [POLICY | {"peril_deductibles": [SHARE_OF_LIMIT], "without": ["limit"]}]},
            [("/policies/0/peril_deductibles/0/applies_to", "limit")],
        ),
        ({"policies": [POLICY | {"peril_deductibles": [SHARE_OF_LIMIT], "limit": 1}]}, []),
        ({"policies": [POLICY | {"peril_deductibles": [SHARE_OF_LIMIT]}]}, []),
        ({"policies": [POLICY | {"peril_deductibles": [SHARE_OF_LIMIT], "without": ["limit"], "amount": 1}]}, []),
        (
            {"policies": named(POLICY, 31), "losses": named(LOSS, 13)},
            [("/losses", "31 x 13 = 403")],
        ),
        ({"policies": named(KNOWN, 40), "losses": named(LOSS, 10)}, []),
    ],
)
def test_policies_and_losses(more: Json, expected: list[tuple[str, str]]) -> None:
    assert places(gap_request(**more), SettlementRequest) == expected


@pytest.mark.parametrize(
    ("category", "similar"), [("solr", "; similar: solar"), ("tyres", "; similar: tires"), ("unicorns", "")]
)
def test_unknown_category(category: str, similar: str) -> None:
    policy = POLICY | {"sublimits": [{"category": category, "amount": 1}]}
    fault = only_fault(gap_request(policies=[policy]), SettlementRequest)
    assert (fault.pointer, fault.found) == ("/policies/0/sublimits/0/category", category)
    expected = "a category of the build or of GET /v1/schedules"
    assert fault.expected.startswith(f"{expected}{similar}")
    assert ("similar" in fault.expected) == bool(similar)


@pytest.mark.parametrize("group", ["contents", "custom_equipment"])
def test_a_group_has_a_term_of_its_own(group: str) -> None:
    policy = POLICY | {"sublimits": [{"category": group, "amount": 1}]}
    fault = only_fault(gap_request(policies=[policy]), SettlementRequest)
    assert (fault.pointer, fault.expected) == (
        "/policies/0/sublimits/0/category",
        f"the term {group}_limit of the policy",
    )


@pytest.mark.parametrize("category", ["solar", "hand_tools", "fitting"])
def test_known_category(category: str) -> None:
    policy = POLICY | {"sublimits": [{"category": category, "amount": 1}], "betterment_categories": [category]}
    body = gap_request(policies=[policy], build=build_with({}, labor=[LABOR | {"category": "fitting"}]))
    assert places(body, SettlementRequest) == []


def test_unknown_betterment_category() -> None:
    policy = POLICY | {"betterment_categories": ["solar", "tyres"]}
    found = [("/policies/0/betterment_categories/1", "tyres")]
    assert places(gap_request(policies=[policy]), SettlementRequest) == found


@pytest.mark.parametrize(
    ("covers", "expected"),
    [
        ({"wind": True, "windstorm": False}, [("/policies/0/covers_perils/windstorm", "windstorm")]),
        ({"Theft ": None, "burglary": True}, [("/policies/0/covers_perils/burglary", "burglary")]),
        ({"a/b": True, "A/B": True}, [("/policies/0/covers_perils/A~1B", "A/B")]),
        ({"{0}": True, "{0} ": True}, [("/policies/0/covers_perils/{0} ", "{0} ")]),
        ({"wind": True, "hail": False}, []),
    ],
)
def test_a_policy_says_one_thing_of_a_peril(covers: Json, expected: list[tuple[str, str]]) -> None:
    assert places(gap_request(policies=[POLICY | {"covers_perils": covers}]), SettlementRequest) == expected


def test_where_a_peril_was_named_first() -> None:
    policy = POLICY | {"covers_perils": {"{wind}": True, "{WIND}": True}}
    fault = only_fault(gap_request(policies=[policy]), SettlementRequest)
    assert fault.detail == "Duplicate peril, first used at /policies/0/covers_perils/{wind}"


ABSENT_VALUES: Json = {"lender": "a bank"}


@pytest.mark.parametrize("term", get_args(AbsentTerm))
def test_a_term_that_is_absent_is_not_stated(term: str) -> None:
    policy = POLICY | {term: ABSENT_VALUES.get(term, 0), "without": [term]}
    fault = only_fault(gap_request(policies=[policy]), SettlementRequest)
    assert (fault.pointer, fault.found) == ("/policies/0/without/0", term)
    assert (fault.detail, fault.expected) == ("The policy states this term", "a term that is left out, or null")
    assert places(gap_request(policies=[policy | {term: None}]), SettlementRequest) == []


NULLABLE = sorted({field.name for field in msgspec.structs.fields(Policy) if field.default is None})


def test_every_term_may_be_null() -> None:
    body = gap_request(policies=[{"name": "one"} | dict.fromkeys(NULLABLE)])
    assert places(body, SettlementRequest) == []
    assert {field.name for field in msgspec.structs.fields(Policy)} - set(NULLABLE) == {"name", "without"}


def test_a_peril_has_one_deductible_however_it_is_written() -> None:
    policy = POLICY | {"peril_deductibles": [{"peril": "hail", "amount": 1}, {"peril": "Hail ", "amount": 2}]}
    found = [("/policies/0/peril_deductibles/1/peril", "Hail ")]
    assert places(gap_request(policies=[policy]), SettlementRequest) == found


@pytest.mark.parametrize(
    ("damage", "expected"),
    [
        ({"id": "pannel"}, "the id of a component or labor entry; similar: panel"),
        ({"category": "solarr"}, "the category of a component or labor entry; similar: solar"),
    ],
)
def test_damage_of_an_unknown_line(damage: Json, expected: str) -> None:
    body = gap_request(losses=[LOSS | {"damage": [damage | {"fraction": 1}]}])
    assert only_fault(body, SettlementRequest).expected == expected


def test_damage_of_labor() -> None:
    build = build_with({}, labor=[LABOR | {"category": "fitting"}])
    damage = [{"fraction": 1, "id": "fit"}, {"fraction": 1, "category": "fitting"}]
    assert places(gap_request(build=build, losses=[LOSS | {"damage": damage}]), SettlementRequest) == []


def test_coordination_names_policies_once() -> None:
    body = gap_request(policies=[POLICY, POLICY | {"name": "two"}])
    body["coordination"] = {"method": "pro_rata", "policies": ["one", "two", "tow", "tow", "one"]}
    found = [
        ("/coordination/policies/2", "tow"),
        ("/coordination/policies/3", "tow"),
        ("/coordination/policies/4", "one"),
    ]
    assert places(body, SettlementRequest) == found
    unknown, duplicate = faults_of(body, SettlementRequest)
    assert unknown.expected == "the name of a policy in the request; similar: two"
    assert duplicate.detail == "Duplicate name, first used at /coordination/policies/0"
    body["coordination"] = {"method": "pro_rata", "policies": ["two", "one"]}
    assert places(body, SettlementRequest) == []


def test_discount_of_an_unknown_policy() -> None:
    lock = {"name": "coupler_lock", "policy": "oen"}
    build = build_with({}, circuits=[FAN | {"volts": 0}], protections=[lock, lock | {"name": "gps", "policy": "one"}])
    found = [("/build/circuits/0/volts", "0"), ("/build/protections/0/policy", "oen")]
    assert places({"build": build, "policies": [POLICY]}, ProtectionRequest) == found
    assert places(gap_request(build=build), GapRequest) == found
    assert places({"build": build}, ProtectionRequest) == found[:1]
    fault = faults_of(gap_request(build=build), GapRequest)[1]
    assert fault.expected == "the name of a policy in the request or null; similar: one"


def test_duplicate_policy_of_a_protection_check() -> None:
    body = {"build": build_with(), "policies": [POLICY, POLICY | {"order": ["limit", "limit"]}]}
    assert places(body, ProtectionRequest) == [("/policies/1/name", "one"), ("/policies/1/order/1", "limit")]


@pytest.mark.parametrize(
    ("deductible", "expected"),
    [
        (SHARE_OF_LIMIT, [("/policies/0/peril_deductibles/0/applies_to", "limit")]),
        (SHARE_OF_LIMIT | {"rate": 0}, []),
        (SHARE_OF_LIMIT | {"applies_to": "loss"}, []),
    ],
)
def test_deductible_as_a_share_of_no_limit(deductible: Json, expected: list[tuple[str, str]]) -> None:
    policy = POLICY | {"peril_deductibles": [deductible], "without": ["limit"]}
    assert places(gap_request(policies=[policy]), SettlementRequest) == expected
    assert places(gap_request(policies=[policy]), GapRequest) == expected


def test_a_large_build_has_losses_on_few_days() -> None:
    """100,000 lines times days: 50 lines may have 50 losses on 50 days, 2,001 lines on 49 (98,049) but not on 50."""
    days = [LOSS | {"name": f"loss {day}", "occurred_on": f"2025-01-{day + 1:02d}"} for day in range(31)]
    days += [LOSS | {"name": f"more {day}", "occurred_on": f"2025-03-{day + 1:02d}"} for day in range(19)]
    large = {"build": build_with(*({"id": f"part-{number}"} for number in range(2001))), "policies": []}
    assert places(gap_request(**large, losses=days[:49]), SettlementRequest) == []
    fault = only_fault(gap_request(**large, losses=days), SettlementRequest)
    assert (fault.pointer, fault.found) == ("/losses", "50")
    assert "at most 49 days for 2,001 lines" in fault.expected
