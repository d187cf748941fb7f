"""The rules for options, value curves, sales comparisons, and comparisons of two estimates."""

import pytest

from faulty_requests import Json, only_fault, places
from hitchworth.model.request import (
    EstimateComparisonRequest,
    EstimateRequest,
    SalesComparisonRequest,
    ValueCurveRequest,
)

BUILD: Json = {"name": "a", "currency": "USD"}
SALE: Json = {"description": "like", "price": 9000, "sold_on": "2026-01-01", "source": "bill of sale"}
NO_WEIGHT: Json = {"weight": 0, "reason": "b"}
SOME_WEIGHT: Json = {"weight": "0.01", "reason": "b"}
BOTH: Json = {"amount": 1, "rate": "0.1", "reason": "c"}


@pytest.mark.parametrize(
    ("more", "expected"),
    [
        ({}, []),
        ({"comparables": []}, [("/comparables", "0 items")]),
        ({"comparables": [SALE | {"price": 0}]}, [("/comparables/0/price", "0")]),
        ({"comparables": [SALE | {"price": -5}]}, [("/comparables/0/price", "-5")]),
        ({"comparables": [SALE, SALE]}, [("/comparables/1/description", "like")]),
        ({"comparables": [SALE | {"weight": NO_WEIGHT}]}, [("/comparables", "none")]),
        ({"comparables": [SALE | {"weight": NO_WEIGHT}, SALE | {"description": "b"}]}, []),
        ({"comparables": [SALE | {"weight": NO_WEIGHT}, SALE | {"description": "b", "weight": SOME_WEIGHT}]}, []),
        ({"weights": {"cost": NO_WEIGHT, "sales_comparison": NO_WEIGHT}}, [("/weights", "none")]),
        ({"weights": {"cost": NO_WEIGHT}}, []),
        ({"adjustments": {"per_year": BOTH}}, [("/adjustments/per_year", "both")]),
        ({"adjustments": {"per_size_unit": {"reason": "c"}}}, [("/adjustments/per_size_unit", "neither")]),
        ({"adjustments": {"per_condition_step": {"rate": "0.1", "reason": "c"}}}, []),
        ({"adjustments": {"equipment": [BOTH | {"item": "awning"}]}}, [("/adjustments/equipment/0", "both")]),
        (
            {"adjustments": {"equipment": [{"item": "a", "amount": 1, "reason": "c"}] * 2}},
            [("/adjustments/equipment/1/item", "a")],
        ),
        (
            {"comparables": [SALE | {"adjustments": [BOTH | {"element": "e", "comparable_is": "inferior"}]}]},
            [("/comparables/0/adjustments/0", "both")],
        ),
        ({"subject": {"equipment": ["a", "b", "a"]}}, [("/subject/equipment/2", "a")]),
        ({"comparables": [SALE | {"equipment": ["a", "a"]}]}, [("/comparables/0/equipment/1", "a")]),
        ({"adjustments": {"price_index": "moon_dust"}}, [("/adjustments/price_index", "moon_dust")]),
        ({"adjustments": {"price_index": "us_all_items"}}, []),
        ({"build": BUILD | {"currency": "ZZZ"}}, [("/build/currency", "ZZZ")]),
        ({"options": {"confidence": 0}}, [("/options/confidence", "0")]),
    ],
)
def test_sales_comparison(more: Json, expected: list[tuple[str, str]]) -> None:
    body = {"build": BUILD, "subject": {}, "comparables": [SALE]} | more
    assert places(body, SalesComparisonRequest) == expected


@pytest.mark.parametrize(
    ("more", "expected"),
    [
        ({"dates": ["2026-01-01"]}, []),
        ({"dates": ["2026-01-01", "2026-01-02"]}, []),
        ({"dates": ["2026-01-01", "2026-01-01"]}, [("/dates/1", "2026-01-01")]),
        (
            {"dates": ["2026-01-03", "2026-01-02", "2026-01-01"]},
            [("/dates/1", "2026-01-02"), ("/dates/2", "2026-01-01")],
        ),
        ({"dates": ["2026-01-01"], "build": BUILD | {"currency": "ZZZ"}}, [("/build/currency", "ZZZ")]),
        ({"dates": ["2026-01-01"], "options": {"confidence": 0}}, [("/options/confidence", "0")]),
    ],
)
def test_dates_of_a_value_curve(more: Json, expected: list[tuple[str, str]]) -> None:
    assert places({"build": BUILD} | more, ValueCurveRequest) == expected


def test_most_dates_of_a_value_curve() -> None:
    days = [f"{2020 + place // 336}-{place // 28 % 12 + 1:02}-{place % 28 + 1:02}" for place in range(401)]
    assert places({"build": BUILD, "dates": days[:400]}, ValueCurveRequest) == []
    assert [pointer for pointer, _ in places({"build": BUILD, "dates": days}, ValueCurveRequest)] == ["/dates"]
    assert [pointer for pointer, _ in places({"build": BUILD, "dates": []}, ValueCurveRequest)] == ["/dates"]


def test_a_large_build_is_valued_on_fewer_dates() -> None:
    line = {"task": "Work", "hours": 1, "rate": 1, "performed_on": "2020-01-01"}
    large = BUILD | {"labor": [line | {"id": str(place)} for place in range(800)]}
    days = [f"{2020 + place // 12}-{place % 12 + 1:02}-01" for place in range(251)]
    assert places({"build": large, "dates": days[:250]}, ValueCurveRequest) == []
    assert places({"build": large, "dates": days}, ValueCurveRequest) == [("/dates", "251")]


@pytest.mark.parametrize(
    ("more", "expected"),
    [
        ({}, []),
        ({"after": {"build": BUILD | {"currency": "EUR"}}}, [("/after/build/currency", "EUR")]),
        (
            {"before": {"build": BUILD | {"registered_class": 7}}, "after": {"build": BUILD | {"vin": 7}}},
            [("/before/build/registered_class", "7"), ("/after/build/vin", "7")],
        ),
        (
            {"before": {"build": BUILD | {"currency": "ZZZ"}}, "after": {"build": BUILD | {"currency": "ZZZ"}}},
            [("/before/build/currency", "ZZZ"), ("/after/build/currency", "ZZZ")],
        ),
        ({"before": {"build": {"name": "a", "currency": 5}}}, [("/before/build/currency", "5")]),
        ({"order": ["price", "age"]}, [("/order", "price, age")]),
        ({"order": ["age", "condition", "schedule", "indirect_costs", "price", "quantity"]}, []),
        ({"options": {"confidence": 0}}, [("/options/confidence", "0")]),
    ],
)
def test_comparison_of_two_estimates(more: Json, expected: list[tuple[str, str]]) -> None:
    assert places({"before": {"build": BUILD}, "after": {"build": BUILD}} | more, EstimateComparisonRequest) == expected


def test_unreadable_month_is_the_only_fault() -> None:
    months = [{"month": month, "value": 100} for month in (7, "2025-01", "2025-02")]
    body = {"build": BUILD | {"price_indexes": {"mine": months}}, "dates": ["2026-01-01"]}
    assert places(body, ValueCurveRequest) == [("/build/price_indexes/mine/0/month", "7")]


@pytest.mark.parametrize(
    ("confidence", "expected"),
    [
        ("0.5", []),
        ("0.999", []),
        ("0.499999999999", [("/options/confidence", "0.499999999999")]),
        ("0.999000000001", [("/options/confidence", "0.999000000001")]),
        ("1.1", [("/options/confidence", "1.1")]),
    ],
)
def test_confidence(confidence: str, expected: list[tuple[str, str]]) -> None:
    body = {"build": BUILD, "options": {"confidence": confidence}}
    assert places(body, EstimateRequest) == expected


def test_components_and_labor_are_lines_of_a_value_curve() -> None:
    part = {"description": "a", "category": "b", "quantity": 1, "unit_cost": 1, "acquired_on": "2020-01-01"}
    work = {"task": "Work", "hours": 1, "rate": 1, "performed_on": "2020-01-01"}
    build = BUILD | {
        "components": [part | {"id": f"part {number}"} for number in range(500)],
        "labor": [work | {"id": f"labor {number}"} for number in range(299)],
    }
    days = [f"{2020 + number // 12}-{number % 12 + 1:02}-01" for number in range(251)]
    # 200,000 / 799 lines = 250.3 dates
    assert places({"build": build, "dates": days[:250]}, ValueCurveRequest) == []
    fault = only_fault({"build": build, "dates": days}, ValueCurveRequest)
    assert fault.expected == "at most 250 dates for 799 lines"


def test_options_of_a_comparison_have_each_fault_once() -> None:
    body = {"before": {"build": BUILD}, "after": {"build": BUILD}, "options": {"whole_trailer_schedule": "no_such"}}
    assert places(body, EstimateComparisonRequest) == [("/options/whole_trailer_schedule", "no_such")]


@pytest.mark.parametrize(("before", "after"), [("USD", "ZZZ"), ("ZZZ", "USD")])
def test_unknown_currency_is_not_compared(before: str, after: str) -> None:
    body = {"before": {"build": BUILD | {"currency": before}}, "after": {"build": BUILD | {"currency": after}}}
    assert only_fault(body, EstimateComparisonRequest).detail == "Unknown currency"


def test_price_index_of_adjustments() -> None:
    own = BUILD | {"price_indexes": {"mine": [{"month": "2025-01", "value": 1}]}}
    body = {"build": own, "subject": {}, "comparables": [SALE], "adjustments": {"price_index": "mine"}}
    assert places(body, SalesComparisonRequest) == []
    fault = only_fault(body | {"adjustments": {"price_index": "mein"}}, SalesComparisonRequest)
    assert fault.expected.partition("; similar: ")[2].split(", ")[0] == "mine"


def test_duplicate_description_of_a_comparable() -> None:
    body = {"build": BUILD, "subject": {}, "comparables": [SALE, SALE]}
    fault = only_fault(body, SalesComparisonRequest)
    assert fault.detail == "Duplicate description, first used at /comparables/0/description"
