"""The rules for depreciation schedules and price indexes."""

import pytest

from faulty_requests import LABOR, Json, build_with, only_fault, places
from hitchworth.model.build import Build
from hitchworth.model.request import EstimateComparisonRequest, EstimateRequest


@pytest.mark.parametrize(
    ("component", "expected"),
    [
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
            {"schedule": {"method": "declining_balance", "factor": 2}},
            [("/components/0/schedule/life_years", "nothing")],
        ),
        ({"schedule": {"method": "declining_balance", "factor": 2, "life_years": "0.01"}}, []),
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
        ({"price_index": "us_tires"}, []),
        ({"price_index": "moon_dust"}, [("/components/0/price_index", "moon_dust")]),
    ],
)
def test_schedule_and_price_index_of_a_component(component: Json, expected: list[tuple[str, str]]) -> None:
    assert places(build_with(component), Build) == expected


def test_table_is_in_order_of_age_and_never_rises() -> None:
    points = [(0, "1"), (2, "0.5"), (2, "0.4"), (3, "0.6")]
    table = {"method": "table", "points": [{"age_years": age, "percent_good": good} for age, good in points]}
    assert places(build_with({}, schedules={"mine": table}), Build) == [
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
def test_schedule_of_the_build(schedule: Json, expected: list[tuple[str, str]]) -> None:
    assert places(build_with({}, schedules={"mine": schedule}), Build) == expected


def test_price_index_of_labor() -> None:
    labor = [LABOR | {"price_index": "us_vehicle_repair"}, LABOR | {"id": "x", "price_index": "moon_wages"}]
    assert places(build_with({}, labor=labor), Build) == [("/labor/1/price_index", "moon_wages")]


@pytest.mark.parametrize(
    ("options", "expected"),
    [
        ({"whole_trailer_schedule": "washington_travel_trailer"}, []),
        ({"whole_trailer_schedule": "mine"}, []),
        ({"whole_trailer_schedule": "moon_table"}, [("/options/whole_trailer_schedule", "moon_table")]),
    ],
)
def test_schedule_of_the_whole_trailer(options: Json, expected: list[tuple[str, str]]) -> None:
    body = {"build": build_with({}, schedules={"mine": {"method": "none"}}), "options": options}
    assert places(body, EstimateRequest) == expected


def test_a_price_index_has_each_month_once_and_may_leave_months_out() -> None:
    def series(*months: str) -> Json:
        return build_with({}, price_indexes={"mine": [{"month": month, "value": 100} for month in months]})

    assert places(series("2025-11", "2025-12", "2026-01"), Build) == []
    assert places(series("2025-09", "2025-12", "2026-03"), Build) == []
    assert places(series("2021-01", "2026-01"), Build) == []
    assert places(series("2026-03", "2025-12"), Build) == []
    unreadable = [("/price_indexes/mine/0/month", '"quarter"'), ("/price_indexes/mine/1/month", '"quarter"')]
    assert places(series("quarter", "quarter"), Build) == unreadable
    assert places(series("2025-09", "2025-09"), Build) == [("/price_indexes/mine/1/month", "2025-09")]
    assert places(series(), Build) == [("/price_indexes/mine", "none")]


@pytest.mark.parametrize(
    ("value", "expected"),
    [
        ("0.001", []),
        ("0.000999999999", [("/price_indexes/mine/0/value", "0.000999999999")]),
        ("-1", [("/price_indexes/mine/0/value", "-1")]),
    ],
)
def test_smallest_value_of_a_price_index(value: str, expected: list[tuple[str, str]]) -> None:
    body = build_with(price_indexes={"mine": [{"month": "2025-09", "value": value}]})
    assert places(body, Build) == expected


@pytest.mark.parametrize(
    ("fields", "similar"),
    [
        ({"schedules": {"solar_of_mine": {"method": "none"}}, "components": "solar_of_mime"}, "solar_of_mine"),
        ({"schedules": {}, "components": "generall"}, "general"),
    ],
)
def test_similar_schedules_are_suggested(fields: Json, similar: str) -> None:
    body = build_with({"schedule": fields["components"]}, schedules=fields["schedules"])
    fault = only_fault(body, Build)
    assert fault.expected.startswith(
        f"a name from the build's schedules or from GET /v1/schedules, or a schedule; similar: {similar}"
    )


@pytest.mark.parametrize(("name", "similar"), [("us_tyres", "us_tires"), ("my_own", "my_one")])
def test_similar_price_indexes_are_suggested(name: str, similar: str) -> None:
    own = {"my_one": [{"month": "2025-01", "value": 1}]}
    fault = only_fault(build_with({"price_index": name}, price_indexes=own), Build)
    assert fault.expected.startswith(
        f"a name from the build's price_indexes or from GET /v1/price-indexes; similar: {similar}"
    )


def test_price_index_of_the_build() -> None:
    own = {"my_one": [{"month": "2025-01", "value": 1}]}
    assert places(build_with({"price_index": "my_one"}, price_indexes=own), Build) == []


@pytest.mark.parametrize(
    ("schedule", "detail", "expected"),
    [
        ({"method": "sum_of_years"}, "Method sum_of_years needs life_years", "a life in years, greater than 0"),
        (
            {"method": "sum_of_years", "life_years": 0},
            "Must be greater than 0",
            "a life in years, greater than 0",
        ),
        (
            {"method": "none", "life_years": 1},
            "Method none does not use life_years",
            "nothing; only declining_balance, present_worth, straight_line, sum_of_years uses it",
        ),
    ],
)
def test_text_of_a_fault(schedule: Json, detail: str, expected: str) -> None:
    fault = only_fault(build_with({"schedule": schedule}), Build)
    assert (fault.detail, fault.expected) == (detail, expected)


def test_table_may_stay_level() -> None:
    points = [{"age_years": age, "percent_good": "0.5"} for age in (0, "0.000000000001")]
    assert places(build_with({"schedule": {"method": "table", "points": points}}), Build) == []


OWN = {"schedules": {"mine": {"method": "none"}}}


def test_schedule_of_labor() -> None:
    labor = [LABOR | {"schedule": "no_such"}, LABOR | {"id": "b", "schedule": {"method": "straight_line"}}]
    found = [("/labor/0/schedule", "no_such"), ("/labor/1/schedule/life_years", "nothing")]
    assert places(build_with(labor=labor), Build) == found


@pytest.mark.parametrize(
    ("before", "after", "expected"),
    [
        ({}, OWN, [("/options/whole_trailer_schedule", "mine")]),
        (OWN, {}, [("/options/whole_trailer_schedule", "mine")]),
        (OWN, OWN, []),
    ],
)
def test_schedule_of_the_whole_trailer_in_a_comparison(
    before: Json, after: Json, expected: list[tuple[str, str]]
) -> None:
    sides = {"before": {"build": build_with(**before)}, "after": {"build": build_with(**after)}}
    assert places(sides | {"options": {"whole_trailer_schedule": "mine"}}, EstimateComparisonRequest) == expected
