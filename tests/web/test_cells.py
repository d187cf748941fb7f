"""Cells: one figure or one short text by GET, equal to the estimate, and every fault in a line."""

from decimal import Decimal
from typing import Any
from urllib.parse import quote

import msgspec
import pytest
from litestar import Litestar
from litestar.testing import TestClient

from hitchworth.demo import demo_body
from hitchworth.store import open_store
from hitchworth.store.database import IN_MEMORY
from kept_client import KeptBuilds
from web_server import client

Api = TestClient[Litestar]
DAY = "2026-11-01"


@pytest.fixture(scope="module")
def api() -> Any:
    with client() as served:
        yield served


def cell(api: Api, path: str) -> str:
    response = api.get(f"/v1/cells/{path}")
    assert (response.status_code, response.headers["content-type"]) == (200, "text/plain; charset=utf-8"), response.text
    return str(response.text)


@pytest.mark.parametrize(
    ("query", "share"),
    [
        # OpenFormula, SLN, DDB and SYD of 10,000 over 10 years with a residual of 500, after 3 years:
        # 1 - 3 x 0.095; 0.8^3; 1 - 0.95 x (10 + 9 + 8) / 55
        ("method=straight_line&life_years=10&residual=0.05&age_years=3", "0.715000"),
        ("method=declining_balance&life_years=10&residual=0.05&age_years=3", "0.512000"),
        ("method=sum_of_years&life_years=10&residual=0.05&age_years=3", "0.533636"),
        ("method=straight_line&life_years=10&age_years=3&condition=0.5", "0.350000"),
        ("method=straight_line&life_years=10&age_years=3&decimal=comma", "0,700000"),
        (
            "method=straight_line&life_years=4&in_service_on=2024-11-01&as_of=2026-11-01",
            "0.500342",
        ),  # 1 - 730 / 365.25 / 4
        ("method=straight_line&life_years=10&age_years=2.5&convention=full_year", "0.700000"),
    ],
)
def test_percent_good(api: Api, query: str, share: str) -> None:
    assert cell(api, f"percent-good?{query}") == share


def test_a_number_of_the_query_has_the_comma_of_the_spreadsheet(api: Api) -> None:
    """1 - 2.5 / 10; a point stays a point, and a category with a comma stays what it is."""
    query = "percent-good?method=straight_line&life_years=10&decimal=comma&age_years"
    assert cell(api, f"{query}=2,5") == cell(api, f"{query}=2.5") == "0,750000"
    refused = api.get("/v1/cells/percent-good?method=straight_line&life_years=10&age_years=2,5")
    assert refused.status_code == 400
    named = api.get("/v1/cells/percent-good?category=a,b&age_years=3&decimal=comma")
    assert "a,b" in named.text


def test_a_value_is_rounded_once_to_the_minor_unit_of_its_currency(api: Api) -> None:
    of = "method=straight_line&life_years=3&age_years=1"
    assert cell(api, f"depreciated-value?cost=100&{of}") == "66.67"
    assert cell(api, f"depreciated-value?cost=100&currency=JPY&{of}") == "67"
    assert cell(api, f"depreciated-value?cost=100&currency=KWD&{of}&decimal=comma") == "66,667"


def test_a_category_in_any_spelling_follows_its_schedule(api: Api) -> None:
    by_schedule = cell(api, "percent-good?schedule=refrigerator&age_years=4")
    assert by_schedule != cell(api, "percent-good?schedule=general&age_years=4")
    assert cell(api, "percent-good?category=refrigerator&age_years=4") == by_schedule
    assert cell(api, "percent-good?category=Refrigerators&age_years=4") == by_schedule


def test_a_price_follows_the_index_as_an_estimate_does(api: Api) -> None:
    part = {
        "id": "a",
        "description": "a",
        "category": "a",
        "quantity": 1,
        "unit_cost": "899",
        "schedule": {"method": "none"},
    }
    part |= {"acquired_on": "2024-03-09", "price_index": "us_vehicle_accessories"}
    body = {"build": {"name": "a", "currency": "USD", "components": [part]}, "as_of": DAY}
    expected = api.post("/v1/estimates", json=body).json()["totals"]["replacement_cost"]
    assert expected != "899.00"
    path = f"indexed-price?cost=899&paid_on=2024-03-09&price_index=us_vehicle_accessories&as_of={DAY}"
    assert cell(api, path) == expected


@pytest.mark.parametrize(
    ("path", "line"),
    [
        ("percent-good?method=straight_line&life_years=0&age_years=1", "life_years: Must be greater than 0"),
        ("percent-good?age_years=1", "schedule: One schedule is needed"),
        ("percent-good?category=stove&schedule=general&age_years=1", "schedule: One schedule is needed"),
        ("percent-good?schedule=general", "age_years: One age is needed"),
        ("percent-good?schedule=general&age_years=1&in_service_on=2020-01-01", "age_years: One age is needed"),
        ("percent-good?category=stoev&age_years=1", "category: No schedule is for this category"),
        ("percent-good?schedule=genral&age_years=1", "schedule: No schedule has this name"),
        ("percent-good?schedule=general&age_years=1&rate=0.2", "rate: rate belongs to a method"),
        ("percent-good?method=table&age_years=1", "method: A table has no place in a cell"),
        (
            "percent-good?schedule=general&in_service_on=2026-11-02&as_of=2026-11-01",
            "in_service_on: After the valuation",
        ),
        ("depreciated-value?schedule=general&age_years=1", "cost: Missing parameter"),
        ("depreciated-value?cost=1&schedule=general&age_years=1&currency=XXQ", "currency: Unknown currency"),
        ("indexed-price?cost=1&paid_on=1900-01-01&price_index=us_tires", "paid_on: The index begins later"),
        ("indexed-price?cost=1&paid_on=2024-01-01&price_index=tires", "price_index: No price index has this name"),
        (f"indexed-price?cost=1&paid_on=2026-11-02&price_index=us_tires&as_of={DAY}", "paid_on: After the valuation"),
    ],
)
def test_a_wrong_cell_says_in_a_line_what_is_wrong(api: Api, path: str, line: str) -> None:
    assert api.get(f"/v1/cells/{path}").status_code == 400
    told = cell(api, f"{path}&faults=in-body")
    assert told.startswith(f"Error: {line}")
    assert "\n" not in told


def test_every_fault_is_told_at_once(api: Api) -> None:
    told = cell(api, "depreciated-value?cost=x&age_years=y&method=z&faults=in-body")
    assert [part in told for part in ("cost: Not a number", "age_years: Not a number", "method: ")] == [True] * 3


def test_faults_in_the_body_of_a_table_are_a_table(api: Api) -> None:
    body = {"build": {"name": "a", "currency": "USD", "components": [{"id": "a"}]}}
    lines = api.post("/v1/estimates?format=csv&faults=in-body", json=body).text.splitlines()
    assert lines[0] == "problem,pointer,detail,expected,found"
    assert lines[1].startswith("invalid-input,/build/components/0/")
    missing = api.get("/v1/schedules?format=tsv&faults=in-body&life=1")
    assert missing.text.splitlines()[1].startswith("invalid-parameter\t\tUnknown parameter")


@pytest.fixture(scope="module")
def kept() -> Any:
    with client(open_store(IN_MEMORY)) as served:
        document = msgspec.json.decode(demo_body())
        del document["as_of"]
        yield served, KeptBuilds(served).create(msgspec.json.encode(document)).rpartition("/")[2]


@pytest.fixture(scope="module")
def statement(kept: tuple[Api, str]) -> dict[str, Any]:
    served, build = kept
    return dict(served.get(f"/v1/builds/{build}/gap-statement?as_of={DAY}").json())


def test_cells_of_a_kept_build_are_the_figures_of_its_gap_statement(
    kept: tuple[Api, str], statement: dict[str, Any]
) -> None:
    served, build = kept
    totals = statement["estimate"]["totals"]
    for name in ("replacement_cost", "actual_cash_value"):
        assert cell(served, f"builds/{build}/{name.replace('_', '-')}?as_of={DAY}") == totals[name]
    assert cell(served, f"builds/{build}/verdict?as_of={DAY}") == statement["assessment"]["verdict"]
    first = statement["questions"][0]
    assert cell(served, f"builds/{build}/money-at-stake?as_of={DAY}") == first["money_at_stake"]["high"]
    last = statement["questions"][-1]
    path = f"builds/{build}/money-at-stake?as_of={DAY}&question={quote(last['id'])}"
    assert cell(served, path) == last["money_at_stake"]["high"]


def test_what_a_policy_pays_and_the_gap_it_leaves(kept: tuple[Api, str], statement: dict[str, Any]) -> None:
    served, build = kept
    for settlement in statement["settlements"]:
        about = f"as_of={DAY}&policy={quote(settlement['policy'])}&loss={quote(settlement['loss'])}"
        assert cell(served, f"builds/{build}/payable?{about}") == settlement["payable"]
        with_comma = cell(served, f"builds/{build}/gap?{about}&decimal=comma")
        assert Decimal(with_comma.replace(",", ".")) == Decimal(settlement["gap"])


def test_a_name_that_the_build_does_not_have(kept: tuple[Api, str]) -> None:
    served, build = kept
    told = cell(served, f"builds/{build}/payable?policy=none&loss=nothing&faults=in-body")
    assert "policy: Unknown policy" in told
    assert "loss: Unknown loss" in told
    assert "question: Unknown question" in cell(served, f"builds/{build}/money-at-stake?question=none&faults=in-body")
