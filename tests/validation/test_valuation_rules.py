"""The rules of sense for second opinions, value curves and comparisons."""

from typing import Any

import msgspec
import pytest

from hitchworth import validation
from hitchworth.model.request import EstimateComparisonRequest, SalesComparisonRequest, ValueCurveRequest

Json = dict[str, Any]
BUILD: Json = {"name": "a", "currency": "USD"}
SALE: Json = {"description": "like", "price": 9000, "sold_on": "2026-01-01", "source": "bill of sale"}
NOTHING: Json = {"weight": 0, "reason": "b"}
BOTH: Json = {"amount": 1, "rate": "0.1", "reason": "c"}


def faults(body: Json, kind: Any) -> list[tuple[str, str]]:
    """Where the faults are, and what was found there."""
    try:
        validation.read(msgspec.json.encode(body), kind)
    except validation.InvalidInputError as caught:
        return [(fault.pointer, fault.found) for fault in caught.faults]
    return []


@pytest.mark.parametrize(
    ("more", "expected"),
    [
        ({}, []),
        ({"comparables": []}, [("/comparables", "an array")]),
        ({"comparables": [SALE | {"price": 0}]}, [("/comparables/0/price", "0")]),
        ({"comparables": [SALE | {"price": -5}]}, [("/comparables/0/price", "-5")]),
        ({"comparables": [SALE, SALE]}, [("/comparables/1/description", "like")]),
        ({"comparables": [SALE | {"weight": NOTHING}]}, [("/comparables", "none")]),
        ({"comparables": [SALE | {"weight": NOTHING}, SALE | {"description": "b"}]}, []),
        ({"weights": {"cost": NOTHING, "sales_comparison": NOTHING}}, [("/weights", "none")]),
        ({"weights": {"cost": NOTHING}}, []),
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
def test_a_second_opinion_makes_sense(more: Json, expected: list[tuple[str, str]]) -> None:
    body = {"build": BUILD, "subject": {}, "comparables": [SALE]} | more
    assert faults(body, SalesComparisonRequest) == expected


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
def test_a_row_of_dates_rises(more: Json, expected: list[tuple[str, str]]) -> None:
    assert faults({"build": BUILD} | more, ValueCurveRequest) == expected


def test_a_row_of_dates_has_an_end() -> None:
    days = [f"{2020 + place // 336}-{place // 28 % 12 + 1:02}-{place % 28 + 1:02}" for place in range(401)]
    assert faults({"build": BUILD, "dates": days[:400]}, ValueCurveRequest) == []
    assert [pointer for pointer, _ in faults({"build": BUILD, "dates": days}, ValueCurveRequest)] == ["/dates"]
    assert [pointer for pointer, _ in faults({"build": BUILD, "dates": []}, ValueCurveRequest)] == ["/dates"]


def test_a_large_build_is_valued_on_fewer_dates() -> None:
    line = {"task": "Work", "hours": 1, "rate": 1, "performed_on": "2020-01-01"}
    large = BUILD | {"labor": [line | {"id": str(place)} for place in range(2_000)]}
    days = [f"{2020 + place // 12}-{place % 12 + 1:02}-01" for place in range(251)]
    assert faults({"build": large, "dates": days[:250]}, ValueCurveRequest) == []
    assert faults({"build": large, "dates": days}, ValueCurveRequest) == [("/dates", "251")]


@pytest.mark.parametrize(
    ("more", "expected"),
    [
        ({}, []),
        ({"after": {"build": BUILD | {"currency": "EUR"}}}, [("/after/build/currency", "EUR")]),
        (
            {"before": {"build": BUILD | {"registered_class": ""}}, "after": {"build": BUILD | {"vin": ""}}},
            [("/before/build/registered_class", '""'), ("/after/build/vin", '""')],
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
def test_two_estimates_can_be_compared(more: Json, expected: list[tuple[str, str]]) -> None:
    assert faults({"before": {"build": BUILD}, "after": {"build": BUILD}} | more, EstimateComparisonRequest) == expected


def test_a_month_that_cannot_be_read_is_named_and_no_more() -> None:
    months = [{"month": month, "value": 100} for month in (7, "2025-01", "2025-02")]
    body = {"build": BUILD | {"price_indexes": {"mine": months}}, "dates": ["2026-01-01"]}
    assert faults(body, ValueCurveRequest) == [("/build/price_indexes/mine/0/month", "7")]
