"""The rules of sense, one by one."""

from typing import Any

import msgspec
import pytest

from hitchworth import validation
from hitchworth.model.build import Build
from hitchworth.model.request import EstimateRequest, GapRequest, SettlementRequest

Json = dict[str, Any]
LINE: Json = {
    "id": "panel",
    "description": "Solar panel",
    "category": "solar",
    "quantity": 1,
    "unit_cost": 100,
    "acquired_on": "2025-05-01",
}
HOURS: Json = {"id": "fit", "task": "Fit it", "hours": 2, "rate": 40, "performed_on": "2025-05-02"}
POLICY: Json = {"name": "one", "basis": "actual_cash_value"}
LOSS: Json = {"name": "fire", "peril": "fire", "extent": "total", "occurred_on": "2026-01-01"}
OF_LIMIT: Json = {"peril": "hail", "rate": "0.02", "applies_to": "limit"}


def named(record: Json, count: int) -> list[Json]:
    """So many of a kind, each with a name of its own."""
    return [record | {"name": f"number {number}"} for number in range(count)]


def faults(body: Json, kind: Any) -> list[tuple[str, str]]:
    """Where the faults are, and what was found there."""
    try:
        validation.read(msgspec.json.encode(body), kind)
    except validation.InvalidInputError as caught:
        return [(fault.pointer, fault.found) for fault in caught.faults]
    return []


def build(*components: Json, **more: Any) -> Json:
    return {"name": "a", "currency": "USD", "components": [LINE | part for part in components], **more}


def claim(**more: Any) -> Json:
    return {"build": build({}), "policies": [POLICY], "losses": [LOSS], **more}


def test_a_plain_build_and_claim_are_sound() -> None:
    assert faults(build({}, labor=[HOURS]), Build) == []
    assert faults(claim(), SettlementRequest) == []


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        ({"currency": "ZZZ", "exchange_rate": 2}, [("/components/0/currency", "ZZZ")]),
        ({"currency": "EUR"}, [("/components/0/exchange_rate", "nothing")]),
        ({"currency": "EUR", "exchange_rate": 0}, [("/components/0/exchange_rate", "0")]),
        ({"currency": "EUR", "exchange_rate": "1.08"}, []),
        ({"currency": "USD"}, []),
        ({"quoted_exchange_rate": 0}, [("/components/0/quoted_exchange_rate", "0")]),
        ({"low": 3, "high": 2}, [("/components/0/low", "3")]),
        ({"low": 2, "high": 2}, []),
        ({"low": 3, "likely": 2}, [("/components/0/low", "3")]),
        ({"low": 1, "likely": 3, "high": 2}, [("/components/0/likely", "3")]),
        ({"low": 3, "likely": 2, "high": 1}, [("/components/0/low", "3"), ("/components/0/likely", "2")]),
        ({"low": 1, "likely": 2, "high": 3}, []),
        ({"in_service_on": "2015-04-30"}, []),
        ({"effective_age_on": "2025-06-30"}, [("/components/0/effective_age_years", "nothing")]),
        ({"effective_age_on": "2025-06-30", "effective_age_years": 3}, []),
        ({"removed_on": "2025-04-30"}, [("/components/0/removed_on", "2025-04-30")]),
        ({"in_service_on": "2025-06-01", "removed_on": "2025-05-30"}, [("/components/0/removed_on", "2025-05-30")]),
        ({"in_service_on": "2025-05-01", "removed_on": "2025-05-01"}, []),
        ({"schedule": "solar_of_mine"}, [("/components/0/schedule", "solar_of_mine")]),
        ({"schedule": "general"}, []),
        ({"schedule": {"method": "none"}}, []),
        ({"schedule": {"method": "sum_of_years", "life_years": 0}}, [("/components/0/schedule/life_years", "0")]),
        (
            {"schedule": {"method": "present_worth", "life_years": 5}},
            [("/components/0/schedule/discount_rate", "nothing")],
        ),
        ({"schedule": {"method": "table"}}, [("/components/0/schedule/points", "none")]),
        ({"schedule": {"method": "declining_balance", "rate": "0.2"}}, []),
        (
            {"schedule": {"method": "declining_balance", "rate": "0.2", "switch_to_straight_line": True}},
            [("/components/0/schedule/life_years", "nothing")],
        ),
        (
            {"schedule": {"method": "declining_balance", "life_years": 5, "rate": "0.2", "factor": 2}},
            [("/components/0/schedule/factor", "both")],
        ),
        (
            {"schedule": {"method": "declining_balance", "life_years": 5, "factor": 0}},
            [("/components/0/schedule/factor", "0")],
        ),
        ({"schedule": {"method": "declining_balance", "rate": 0}}, [("/components/0/schedule/rate", "0")]),
        (
            {"schedule": {"method": "declining_balance", "life_years": 5, "discount_rate": "0.1"}},
            [("/components/0/schedule/discount_rate", "0.1")],
        ),
        (
            {
                "schedule": {
                    "method": "straight_line",
                    "life_years": 5,
                    "points": [{"age_years": 0, "percent_good": 1}],
                    "factor": 2,
                    "interpolation": "linear",
                }
            },
            [
                ("/components/0/schedule/factor", "2"),
                ("/components/0/schedule/points", "1 points"),
                ("/components/0/schedule/interpolation", "linear"),
            ],
        ),
        ({"schedule": {"method": "none", "life_years": 5}}, [("/components/0/schedule/life_years", "5")]),
        ({"exchange_rate": 1}, []),
        ({"exchange_rate": "1.1"}, [("/components/0/exchange_rate", "1.1")]),
        ({"exchange_rate": 0}, [("/components/0/exchange_rate", "0")]),
        ({"currency": "USD", "quoted_exchange_rate": 2}, [("/components/0/quoted_exchange_rate", "2")]),
        ({"price_index": "us_tires"}, []),
        ({"price_index": "moon_dust"}, [("/components/0/price_index", "moon_dust")]),
        ({"quantity": 1000, "unit_cost": 1000000000}, []),
        ({"quantity": 1001, "unit_cost": 1000000000}, [("/components/0/unit_cost", "1,001,000,000,000")]),
        (
            {"replacement_unit_cost": 1000000000, "quantity": 1001},
            [("/components/0/replacement_unit_cost", "1,001,000,000,000")],
        ),
        (
            {"replacement_unit_cost": 100000000, "currency": "EUR", "exchange_rate": 1, "quoted_exchange_rate": 20000},
            [("/components/0/replacement_unit_cost", "2,000,000,000,000")],
        ),
        (
            {"freight": 1000000000, "currency": "EUR", "exchange_rate": 1000000},
            [("/components/0/unit_cost", "1,000,000,100,000,000")],
        ),
        ({"quantity": "1E999999", "unit_cost": 1000000000}, [("/components/0/quantity", "1E+999999")]),
        ({"low": "NaN", "high": 3}, [("/components/0/low", "NaN")]),
        ({"description": "\u200b \u2066"}, [("/components/0/description", '"\u200b \u2066"')]),
        ({"description": "\u200b"}, [("/components/0/description", '"\u200b"')]),
        ({"id": " "}, [("/components/0/id", '" "')]),
        ({"id": "a\u202eb"}, [("/components/0/id", '"a\u202eb"')]),
        ({"note": "a\u202eb"}, [("/components/0/note", '"a\u202eb"')]),
        ({"id": "کتاب‌ها", "description": " a ", "note": " "}, []),
    ],
)
def test_a_line_makes_sense(line: Json, expected: list[tuple[str, str]]) -> None:
    assert faults(build(line), Build) == expected


def test_a_table_is_in_the_order_of_age_and_falls() -> None:
    points = [(0, "1"), (2, "0.5"), (2, "0.4"), (3, "0.6")]
    table = {"method": "table", "points": [{"age_years": age, "percent_good": good} for age, good in points]}
    assert faults(build({}, schedules={"mine": table}), Build) == [
        ("/schedules/mine/points/2/age_years", "2"),
        ("/schedules/mine/points/3/percent_good", "0.6"),
    ]


@pytest.mark.parametrize(
    ("schedule", "expected"),
    [
        ({"method": "straight_line", "life_years": 5, "residual": "1.01"}, [("/schedules/mine/residual", "1.01")]),
        ({"method": "straight_line", "life_years": 0}, [("/schedules/mine/life_years", "0")]),
        ({"method": "straight_line", "life_years": 5, "residual": 1}, []),
    ],
)
def test_a_schedule_can_be_reckoned_with(schedule: Json, expected: list[tuple[str, str]]) -> None:
    assert faults(build({}, schedules={"mine": schedule}), Build) == expected


@pytest.mark.parametrize(
    ("indirect_costs", "expected"),
    [
        ({"profit_basis": "margin", "profit_rate": 1}, [("/indirect_costs/profit_rate", "1")]),
        ({"profit_basis": "margin", "profit_rate": "0.99"}, []),
        ({"profit_basis": "markup", "profit_rate": 2}, []),
    ],
)
def test_a_margin_leaves_something_for_the_cost(indirect_costs: Json, expected: list[tuple[str, str]]) -> None:
    assert faults(build({}, indirect_costs=indirect_costs), Build) == expected


def test_labor_names_an_index_that_exists() -> None:
    labor = [HOURS | {"price_index": "us_vehicle_repair"}, HOURS | {"id": "x", "price_index": "moon_wages"}]
    assert faults(build({}, labor=labor), Build) == [("/labor/1/price_index", "moon_wages")]


@pytest.mark.parametrize(
    ("options", "expected"),
    [
        ({"whole_trailer_schedule": "washington_travel_trailer"}, []),
        ({"whole_trailer_schedule": "mine"}, []),
        ({"whole_trailer_schedule": "moon_table"}, [("/options/whole_trailer_schedule", "moon_table")]),
    ],
)
def test_the_whole_goes_by_a_schedule_that_exists(options: Json, expected: list[tuple[str, str]]) -> None:
    body = {"build": build({}, schedules={"mine": {"method": "none"}}), "options": options}
    assert faults(body, EstimateRequest) == expected


@pytest.mark.parametrize(
    ("rates", "expected"), [("given", [("/build/components/0/exchange_rate", "nothing")]), ("ecb", [])]
)
def test_a_rate_may_be_left_to_the_central_bank(rates: str, expected: list[tuple[str, str]]) -> None:
    body = {"build": build({"currency": "EUR"}), "options": {"exchange_rates": rates}}
    assert faults(body, EstimateRequest) == expected


def test_ids_are_given_once_over_components_and_labor() -> None:
    found = faults(build({}, {"id": "b"}, {}, labor=[HOURS, HOURS | {"id": "b"}]), Build)
    assert found == [("/components/2/id", "panel"), ("/labor/1/id", "b")]


def test_labor_serves_a_component_of_the_build() -> None:
    labor = [HOURS | {"component_id": "panel"}, HOURS | {"id": "x", "component_id": "fit"}]
    assert faults(build({}, labor=labor), Build) == [("/labor/1/component_id", "fit")]


def test_a_series_goes_from_month_to_month() -> None:
    def series(*months: str) -> Json:
        return build({}, price_indexes={"mine": [{"month": month, "value": 100} for month in months]})

    assert faults(series("2025-11", "2025-12", "2026-01"), Build) == []
    assert faults(series("2025-09", "2025-11", "2025-12"), Build) == [("/price_indexes/mine/1/month", "2025-11")]
    small = build({}, price_indexes={"mine": [{"month": "2025-09", "value": "0.000999"}]})
    assert faults(small, Build) == [("/price_indexes/mine/0/value", "0.000999")]
    assert faults(series("2025-09", "2025-09"), Build) == [("/price_indexes/mine/1/month", "2025-09")]
    assert faults(series(), Build) == [("/price_indexes/mine", "none")]


@pytest.mark.parametrize(
    ("more", "expected"),
    [
        ({"policies": [POLICY, POLICY]}, [("/policies/1/name", "one")]),
        ({"losses": [LOSS, LOSS]}, [("/losses/1/name", "fire")]),
        ({"policies": [POLICY | {"order": ["limit", "limit"]}]}, [("/policies/0/order/1", "limit")]),
        ({"policies": [POLICY | {"basis": "agreed_value"}]}, [("/policies/0/amount", "nothing")]),
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
            {"policies": [POLICY | {"peril_deductibles": [OF_LIMIT]}]},
            [("/policies/0/peril_deductibles/0/applies_to", "limit")],
        ),
        ({"policies": [POLICY | {"peril_deductibles": [OF_LIMIT], "limit": 1}]}, []),
        ({"policies": [POLICY | {"peril_deductibles": [OF_LIMIT], "amount": 1}]}, []),
        (
            {"policies": named(POLICY, 41), "losses": named(LOSS, 10)},
            [("/losses", "41 x 10 = 410")],
        ),
        ({"policies": named(POLICY, 40), "losses": named(LOSS, 10)}, []),
        ({"options": {"confidence": "0.4"}}, [("/options/confidence", "0.4")]),
        ({"options": {"confidence": "0.999"}}, []),
    ],
)
def test_a_claim_makes_sense(more: Json, expected: list[tuple[str, str]]) -> None:
    assert faults(claim(**more), SettlementRequest) == expected


@pytest.mark.parametrize(
    ("answer", "expected"),
    [
        ({"policy": "one", "term": "deductible", "value": "250.00"}, []),
        ({"policy": "one", "term": "deductible", "value": 250.5}, []),
        ({"policy": "one", "term": "settles_as", "value": "built_use"}, []),
        ({"fact": "wheels", "value": 2}, []),
        ({"fact": "wheels", "value": "two"}, [("/answers/0/value", "two")]),
        ({"fact": "wings", "value": 2}, [("/answers/0/fact", "wings")]),
        ({"policy": "two", "term": "deductible", "value": 1}, [("/answers/0/policy", "two")]),
        ({"policy": "one", "term": "charm", "value": 1}, [("/answers/0/term", "charm")]),
        ({"policy": "one", "term": "name", "value": "x"}, [("/answers/0/term", "name")]),
        ({"policy": "one", "term": "excluded_perils", "value": "x"}, [("/answers/0/term", "excluded_perils")]),
        ({"policy": "one", "term": "basis", "value": "agreed_value"}, [("/answers/0/value", "nothing")]),
        ({"policy": "one", "term": "basis", "value": "market_value"}, []),
        ({"policy": "one", "term": "deductible", "value": "-1"}, [("/answers/0/value", "-1")]),
        ({"policy": "one", "term": "deductible", "value": "1E999999"}, [("/answers/0/value", "1E+999999")]),
        ({"policy": "one", "term": "holdback", "value": "yes"}, [("/answers/0/value", '"yes"')]),
        ({"value": 1}, [("/answers/0", "nothing")]),
        ({"policy": "one", "value": 1}, [("/answers/0", "policy")]),
        ({"policy": "one", "term": "holdback", "fact": "wheels", "value": 1}, [("/answers/0", "fact, policy, term")]),
    ],
)
def test_an_answer_settles_what_is_there(answer: Json, expected: list[tuple[str, str]]) -> None:
    assert faults(claim(answers=[answer]), GapRequest) == expected


AGREED: Json = {"name": "one", "basis": "agreed_value", "amount": 5000}


@pytest.mark.parametrize(
    ("policy", "answers", "expected"),
    [
        (AGREED, [("amount", None)], [("/answers/0/value", "nothing")]),
        (AGREED, [("amount", None), ("amount", 4000)], []),
        (AGREED, [("amount", 4000), ("deductible", 0), ("amount", None)], [("/answers/2/value", "nothing")]),
        (AGREED | {"amount": None}, [("amount", 4000)], []),
        (AGREED | {"amount": None}, [("limit", 4000)], [("/policies/0/amount", "nothing")]),
        (POLICY, [("amount", 9), ("basis", "stated_amount")], []),
        (POLICY | {"limit": 9, "peril_deductibles": [OF_LIMIT]}, [("limit", None)], [("/answers/0/value", "limit")]),
    ],
)
def test_policies_make_sense_as_answered(
    policy: Json, answers: list[tuple[str, object]], expected: list[tuple[str, str]]
) -> None:
    said = [{"policy": "one", "term": term, "value": value} for term, value in answers]
    assert faults(claim(policies=[policy], answers=said), GapRequest) == expected


def test_terms_that_are_offered_are_those_that_one_value_settles() -> None:
    answer = {"policy": "one", "term": "charm", "value": 1}
    with pytest.raises(validation.InvalidInputError) as caught:
        validation.read(msgspec.json.encode(claim(answers=[answer])), GapRequest)
    offered = set(caught.value.faults[0].expected.removeprefix("one of ").split(", "))
    assert offered >= {"basis", "amount", "limit", "deductible", "holdback", "annual_premium"}
    assert not offered & {"name", "order", "sublimits", "peril_deductibles", "allowances", "excluded_perils"}


def test_a_border_is_named_once() -> None:
    assert faults(claim(travels_to=["GB", "DE", "GB"]), GapRequest) == [("/travels_to/2", "GB")]


@pytest.mark.parametrize(
    ("category", "near"),
    [("solr", "near it: solar"), ("Contents", "near it: contents"), ("unicorns", None)],
)
def test_a_sublimit_is_of_a_category_that_there_is(category: str, near: str | None) -> None:
    policy = POLICY | {"sublimits": [{"category": category, "amount": 1}]}
    with pytest.raises(validation.InvalidInputError) as caught:
        validation.read(msgspec.json.encode(claim(policies=[policy])), GapRequest)
    (fault,) = caught.value.faults
    assert (fault.pointer, fault.found) == ("/policies/0/sublimits/0/category", category)
    assert fault.expected.partition("; ")[2].startswith(near or "") if near else "near" not in fault.expected


@pytest.mark.parametrize("category", ["solar", "contents", "custom_equipment", "hand_tools"])
def test_a_sublimit_may_be_of_the_library_or_of_a_group(category: str) -> None:
    policy = POLICY | {"sublimits": [{"category": category, "amount": 1}]}
    assert faults(claim(policies=[policy]), GapRequest) == []


def test_a_peril_has_one_deductible_however_it_is_written() -> None:
    policy = POLICY | {"peril_deductibles": [{"peril": "hail", "amount": 1}, {"peril": "Hail ", "amount": 2}]}
    assert faults(claim(policies=[policy]), GapRequest) == [("/policies/0/peril_deductibles/1/peril", "Hail ")]
