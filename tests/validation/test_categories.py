"""Categories are found however they are written: capitals, spaces, hyphens, plurals."""

from typing import Any

import msgspec
import pytest

from faulty_requests import LABOR, LOSS, POLICY, build_with, gap_request, places
from hitchworth import validation
from hitchworth.model.build import Build
from hitchworth.model.request import (
    EstimateComparisonRequest,
    GapRequest,
    QuoteVarianceRequest,
    SalesComparisonRequest,
    SettlementRequest,
    ValueCurveRequest,
)
from hitchworth.reference.category_groups import listed_category

COMPARABLE = {"description": "a", "price": 1, "sold_on": "2026-01-01", "source": "a"}


def read(body: Any, kind: Any) -> Any:
    return validation.read(msgspec.json.encode(body), kind)


def categories(build: Build) -> list[str]:
    return [*(part.category for part in build.components), *(entry.category for entry in build.labor)]


@pytest.mark.parametrize(
    ("written", "listed"),
    [
        ("Fridge", "fridge"),
        ("Road Lights", "road_lights"),
        ("road-lights", "road_lights"),
        ("ROAD LIGHT", "road_lights"),
        ("lights, road", "road_lights"),
        ("Battery (lithium)", "battery_lithium"),
        ("gas_cylinder", "gas_cylinder"),
        ("Gas cylinders", "gas_cylinder"),
        ("periscope", None),
        ("!", None),
        ("light", "lights"),
    ],
)
def test_a_listed_category_in_another_spelling(written: str, listed: str | None) -> None:
    assert listed_category(written) == listed
    assert categories(read(build_with({"category": written}), Build)) == [written if listed is None else listed]


def test_a_category_of_your_own_keeps_its_first_spelling() -> None:
    lines = ({"category": name, "id": name} for name in ("Sheet metal", "sheet-metal", "!", "?", "Metal sheets"))
    build = read(build_with(*lines, labor=[LABOR | {"category": "SHEET METAL"}]), Build)
    assert categories(build) == ["Sheet metal", "Sheet metal", "!", "?", "Sheet metal", "Sheet metal"]


def test_a_category_that_names_a_schedule_of_the_build_stays() -> None:
    schedules = {"Chassis": {"method": "none"}}
    assert categories(read(build_with({"category": "Chassis"}, schedules=schedules), Build)) == ["Chassis"]
    assert categories(read(build_with({"category": "Chassis"}), Build)) == ["chassis"]


def test_policies_and_losses_name_the_categories_of_the_build() -> None:
    policy = POLICY | {
        "sublimits": [{"category": "Sheet-Metal", "amount": 1}],
        "betterment_categories": ["Tires", "SHEET METAL"],
    }
    damage = [{"category": "FRIDGE", "fraction": 1}, {"id": "a", "fraction": 1}]
    losses = [LOSS | {"extent": "partial", "damage": damage}]
    build = build_with({"id": "a", "category": "Sheet metal"}, {"id": "b", "category": "fridges"})
    request = read(gap_request(build=build, policies=[policy], losses=losses), GapRequest)
    (found,), (loss,) = request.policies, request.losses
    assert found.sublimits[0].category == "Sheet metal"
    assert found.betterment_categories == ("tires", "Sheet metal")
    assert [each.category for each in loss.damage] == ["fridge", None]


def test_the_same_category_in_two_spellings_is_still_a_duplicate() -> None:
    policy = POLICY | {"sublimits": [{"category": name, "amount": 1} for name in ("solar", "Solar")]}
    assert places(gap_request(policies=[policy]), SettlementRequest) == [("/policies/0/sublimits/1/category", "solar")]


def test_every_request_with_a_build_is_read_so() -> None:
    build = build_with({"category": "Road Lights"})
    for kind, more in (
        (ValueCurveRequest, {"dates": ["2026-01-01"]}),
        (SalesComparisonRequest, {"subject": {}, "comparables": [COMPARABLE]}),
    ):
        assert categories(read({"build": build} | more, kind).build) == ["road_lights"]
    own = build_with({"category": "sheet metal"}), build_with({"category": "Sheet-metal"})
    request = read({"before": {"build": own[0]}, "after": {"build": own[1]}}, EstimateComparisonRequest)
    assert categories(request.before.build) == categories(request.after.build) == ["sheet metal"]


def test_nothing_changes_where_every_category_is_listed() -> None:
    before = msgspec.json.decode(msgspec.json.encode(build_with({}, labor=[LABOR])), type=Build)
    assert read(build_with({}, labor=[LABOR]), Build) == before


def test_the_categories_of_a_quote_are_in_the_spelling_of_its_build() -> None:
    body = {
        "build": build_with({"category": "Sheet metal"}, labor=[LABOR | {"category": "TIG work"}]),
        "pricing": {
            "waste": [{"category": "sheet-metal", "rate": "0.1"}, {"category": "Road Lights", "rate": "0.1"}],
            "shop_rates": [{"category": "tig work", "rate": 80}, {"rate": 70}],
            "allowances": [{"id": "a", "description": "a", "amount": 1, "category": "metal sheets"}],
        },
        "changes": [
            {
                "number": "1",
                "dated": "2026-06-01",
                "reason": "a",
                "components": build_with({"category": "SHEET METAL", "id": "new"})["components"],
                "labor": [LABOR | {"category": "Tig Work"}],
            }
        ],
        "built": build_with({"category": "sheet metals"}),
    }
    read_back = read(body, QuoteVarianceRequest)
    pricing, (change,) = read_back.pricing, read_back.changes
    assert [each.category for each in pricing.waste] == ["Sheet metal", "road_lights"]
    assert [each.category for each in pricing.shop_rates] == ["TIG work", None]
    assert [each.category for each in pricing.allowances] == ["Sheet metal"]
    assert [change.components[0].category, change.labor[0].category] == ["Sheet metal", "TIG work"]
    assert categories(read_back.built) == ["Sheet metal"]
