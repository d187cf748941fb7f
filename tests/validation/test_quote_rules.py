"""The rules for the pricing of a quote, its change orders, its acceptance and what comes of it."""

from datetime import date
from typing import Any

import msgspec
import pytest

from faulty_requests import COMPONENT, LABOR, Json, build_with
from hitchworth import validation
from hitchworth.model.request import ProgressBillRequest, QuoteRequest, QuoteVarianceRequest
from hitchworth.validation.quote_rules import MAX_COMBINATIONS

TODAY = date(2026, 6, 1)
GROUP: Json = {"name": "heater", "alternatives": [{"name": "gas", "price": 900}]}
ORDER: Json = {"number": "1", "dated": "2026-06-02", "reason": "a", "days": 1}


def request(pricing: Json | None = None, *, changes: list[Json] | None = None, **more: Any) -> Json:
    return {
        "build": build_with({}, {"id": "door"}, labor=[LABOR]),
        "pricing": pricing or {},
        "changes": changes or [],
        **more,
    }


def faults(body: Json, kind: Any = QuoteRequest) -> list[tuple[str, str]]:
    try:
        validation.read(msgspec.json.encode(body), kind, TODAY)
    except validation.InvalidInputError as error:
        return [(place, fault.found) for fault in error.faults for place in (fault.pointer, *fault.also_at)]
    return []


@pytest.mark.parametrize(
    ("pricing", "found"),
    [
        ({}, []),
        ({"tax": {"place": "US-ID"}}, []),
        ({"tax": {"place": "US-XX"}}, [("/pricing/tax/place", "US-XX")]),
        ({"waste": [{"category": "a", "rate": 0}, {"category": "A", "rate": 0}]}, [("/pricing/waste/1/category", "a")]),
        ({"shop_rates": [{"rate": 1}, {"rate": 2}]}, [("/pricing/shop_rates/1/category", "")]),
        ({"shop_rates": [{"rate": 1}, {"rate": 2, "category": "b"}]}, []),
        ({"markups": [{"kind": "labor"}] * 2}, [("/pricing/markups/1/kind", "labor")]),
        (
            {"tax": {"treatments": [{"kind": "repair", "taxed": True}] * 2}},
            [("/pricing/tax/treatments/1/kind", "repair")],
        ),
        ({"labor_kinds": [{"id": "fit", "kind": "repair"}] * 2}, [("/pricing/labor_kinds/1/id", "fit")]),
        ({"customer_supplies": [{"id": "panel"}] * 2}, [("/pricing/customer_supplies/1/id", "panel")]),
        (
            {"allowances": [{"id": name, "description": "a", "amount": 1} for name in ("panel", "fit", "new", "new")]},
            [
                ("/pricing/allowances/0/id", "panel"),
                ("/pricing/allowances/1/id", "fit"),
                ("/pricing/allowances/3/id", "new"),
            ],
        ),
        ({"option_groups": [GROUP, GROUP]}, [("/pricing/option_groups/1/name", "heater")]),
        (
            {"option_groups": [GROUP | {"alternatives": GROUP["alternatives"] * 2}]},
            [("/pricing/option_groups/0/alternatives/1/name", "gas")],
        ),
        (
            {
                "option_groups": [
                    {
                        "name": "a",
                        "alternatives": [{"name": "x", "entries": ["panel"]}, {"name": "y", "entries": ["door"]}],
                    },
                    {"name": "b", "alternatives": [{"name": "x", "entries": ["fit", "panel"]}]},
                ]
            },
            [("/pricing/option_groups/1/alternatives/0/entries/1", "panel")],
        ),
    ],
)
def test_each_thing_is_priced_once(pricing: Json, found: list[tuple[str, str]]) -> None:
    assert faults(request(pricing)) == found


@pytest.mark.parametrize(
    ("pricing", "found"),
    [
        ({"labor_kinds": [{"id": "panel", "kind": "repair"}]}, [("/pricing/labor_kinds/0/id", "panel")]),
        ({"customer_supplies": [{"id": "fit"}]}, [("/pricing/customer_supplies/0/id", "fit")]),
        (
            {"option_groups": [{"name": "a", "alternatives": [{"name": "x", "entries": ["fit", "door", "no"]}]}]},
            [("/pricing/option_groups/0/alternatives/0/entries/2", "no")],
        ),
        ({"option_groups": [GROUP | {"chosen": "wood"}]}, [("/pricing/option_groups/0/chosen", "wood")]),
        ({"option_groups": [GROUP | {"chosen": "gas"}]}, []),
    ],
)
def test_what_the_pricing_names_is_there(pricing: Json, found: list[tuple[str, str]]) -> None:
    assert faults(request(pricing)) == found


@pytest.mark.parametrize(
    ("alternative", "found"),
    [
        ({"name": "x"}, [("/pricing/option_groups/0/alternatives/0/price", "neither")]),
        ({"name": "x", "price": 0}, []),
        ({"name": "x", "entries": ["door"]}, []),
    ],
)
def test_an_option_has_a_price(alternative: Json, found: list[tuple[str, str]]) -> None:
    assert faults(request({"option_groups": [{"name": "a", "alternatives": [alternative]}]})) == found


def groups(*sizes: int, required: bool = True) -> list[Json]:
    return [
        {
            "name": f"g{place}",
            "required": required,
            "alternatives": [{"name": str(index), "price": 1} for index in range(size)],
        }
        for place, size in enumerate(sizes)
    ]


def test_combinations_are_bounded() -> None:
    assert MAX_COMBINATIONS == 200
    assert faults(request({"option_groups": groups(20, 10)})) == []
    assert faults(request({"option_groups": groups(19, 10, required=False)})) == [("/pricing/option_groups", "220")]
    assert faults(request({"option_groups": groups(20, 11)})) == [("/pricing/option_groups", "220")]


def test_a_large_build_has_fewer_combinations() -> None:
    parts = [COMPONENT | {"id": f"p{index}"} for index in range(1001)]
    body = request({"option_groups": groups(10, 10)})
    body["build"]["components"] = parts  # and one of labor: 1,002 lines, 99 combinations
    assert faults(body) == [("/pricing/option_groups", "100")]
    body["build"]["components"] = parts[:999]
    assert faults(body) == []
    body["pricing"] = {}
    assert faults(body) == []


@pytest.mark.parametrize(
    ("markup", "found"),
    [
        ({"profit_rate": 1, "profit_basis": "margin"}, [("profit_rate", "1")]),
        ({"overhead_rate": "1.5", "overhead_basis": "margin"}, [("overhead_rate", "1.5")]),
        ({"overhead_rate": 2, "profit_rate": 3}, []),
        (
            {"overhead_rate": "0.5", "overhead_basis": "margin", "profit_rate": "0.5", "profit_basis": "margin"},
            [("profit_rate", "1.0")],
        ),
        ({"overhead_rate": "0.5", "overhead_basis": "margin", "profit_rate": "0.49", "profit_basis": "margin"}, []),
        # 1.25 x 0.8 of the price is overhead, with the profit on it.
        (
            {"overhead_rate": "0.8", "overhead_basis": "margin", "profit_rate": "0.25", "compounded": True},
            [("profit_rate", "1.000")],
        ),
        ({"overhead_rate": "0.79", "overhead_basis": "margin", "profit_rate": "0.25", "compounded": True}, []),
        ({"overhead_rate": "0.99", "overhead_basis": "margin", "profit_rate": "0.25"}, []),
        ({"overhead_rate": 5, "profit_rate": "0.99", "profit_basis": "margin", "compounded": True}, []),
    ],
)
def test_margins_leave_some_of_the_price(markup: Json, found: list[tuple[str, str]]) -> None:
    assert faults(request({"markup": markup})) == [(f"/pricing/markup/{name}", rate) for name, rate in found]
    by_kind = {"markups": [{"kind": "labor"}, {"kind": "material"} | markup]}
    assert faults(request(by_kind)) == [(f"/pricing/markups/1/{name}", rate) for name, rate in found]


@pytest.mark.parametrize(
    ("pricing", "found"),
    [
        ({"contingency": {}}, [("/pricing/contingency", "neither")]),
        ({"contingency": {"rate": "0.1", "amount": 1}}, [("/pricing/contingency", "both")]),
        ({"discount": {"reason": "a"}}, [("/pricing/discount", "neither")]),
        ({"discount": {"reason": "a", "rate": 0, "amount": 1}}, [("/pricing/discount", "both")]),
        ({"contingency": {"amount": 1}, "discount": {"reason": "a", "rate": 0}}, []),
        (
            {"payments": [{"milestone": "a", "share": 1, "amount": 1}]},
            [("/pricing/payments/0/amount", "both")],
        ),
    ],
)
def test_an_amount_is_given_in_one_way(pricing: Json, found: list[tuple[str, str]]) -> None:
    assert faults(request(pricing)) == found


@pytest.mark.parametrize(
    ("payments", "found"),
    [
        ([{"share": "0.3"}, {"share": "0.7"}], []),
        ([{"share": "0.3"}, {"share": "0.6"}], [("/pricing/payments", "0.9")]),
        ([{"share": "0.6"}, {"share": "0.5"}, {}], [("/pricing/payments", "1.1")]),
        ([{"share": "0.6"}, {"share": "0.4"}, {}], []),
        ([{"share": "0.6"}, {"amount": 5}], []),
        (
            [{"share": "0.6"}, {}, {"amount": 5}, {}, {}],
            [("/pricing/payments/3", "neither"), ("/pricing/payments/4", "neither")],
        ),
    ],
)
def test_payments_make_up_the_whole(payments: list[Json], found: list[tuple[str, str]]) -> None:
    named = [{"milestone": f"m{index}"} | payment for index, payment in enumerate(payments)]
    assert faults(request({"payments": named})) == found


@pytest.mark.parametrize(
    ("pricing", "more", "found"),
    [
        ({"valid_until": "2026-05-31"}, {}, [("/pricing/valid_until", "2026-05-31")]),
        ({"valid_until": "2026-06-01", "completion_on": "2026-06-01"}, {}, []),
        ({"completion_on": "2026-05-31"}, {}, [("/pricing/completion_on", "2026-05-31")]),
        ({"valid_until": "2026-06-30"}, {"as_of": "2026-07-01"}, [("/pricing/valid_until", "2026-06-30")]),
        ({"valid_until": "2026-06-30", "quoted_on": "2026-06-01"}, {"as_of": "2026-07-01"}, []),
    ],
)
def test_a_quote_is_valid_on_its_day(pricing: Json, more: Json, found: list[tuple[str, str]]) -> None:
    assert faults(request(pricing, **more)) == found


@pytest.mark.parametrize(
    ("accepted_on", "found"),
    [("2026-05-31", True), ("2026-06-01", False), ("2026-06-30", False), ("2026-07-01", True)],
)
def test_a_quote_is_accepted_while_it_is_valid(accepted_on: str, found: bool) -> None:
    acceptance = {"accepted_by": "a", "accepted_on": accepted_on}
    pricing = {"valid_until": "2026-06-30", "acceptance": acceptance}
    pointer = "/pricing/acceptance/accepted_on"
    assert faults(request(pricing)) == ([(pointer, accepted_on)] if found else [])
    if accepted_on > "2026-06-01":
        assert faults(request({"acceptance": acceptance})) == []
    assert bool(faults(request({"acceptance": acceptance, "quoted_on": "2026-06-02"}))) == (accepted_on < "2026-06-02")


@pytest.mark.parametrize(
    ("changes", "found"),
    [
        ([ORDER], []),
        ([ORDER, ORDER], [("/changes/1/number", "1")]),
        ([ORDER | {"days": 0}], [("/changes/0", "none of them")]),
        ([ORDER | {"days": 0, "drop": ["door"]}], []),
        ([ORDER | {"days": 0, "fixed": [{"description": "a", "amount": 1}]}], []),
        ([ORDER | {"days": 0, "components": [COMPONENT]}], []),
        ([ORDER | {"days": 0, "labor": [LABOR | {"component_id": "panel"}]}], []),
        ([ORDER | {"drop": ["no", "door", "door"]}], [("/changes/0/drop/2", "door"), ("/changes/0/drop/0", "no")]),
        ([ORDER | {"components": [COMPONENT], "drop": ["panel"]}], [("/changes/0/drop/0", "panel")]),
        ([ORDER | {"labor": [LABOR], "drop": ["fit"]}], [("/changes/0/drop/0", "fit")]),
        (
            [
                ORDER
                | {"components": [COMPONENT, COMPONENT | {"quantity": -1}, COMPONENT | {"id": "x", "schedule": "no"}]}
            ],
            [
                ("/changes/0/components/1/quantity", "-1"),
                ("/changes/0/components/1/id", "panel"),
                ("/changes/0/components/2/schedule", "no"),
            ],
        ),
        ([ORDER | {"labor_kinds": [{"id": "fit", "kind": "repair"}]}], [("/changes/0/labor_kinds/0/id", "fit")]),
        ([ORDER | {"labor": [LABOR], "labor_kinds": [{"id": "fit", "kind": "repair"}]}], []),
        ([ORDER | {"milestone": "end"}], [("/changes/0/milestone", "end")]),
        ([ORDER | {"from_contingency": True}], [("/changes/0/from_contingency", "true")]),
        ([ORDER | {"dated": "2026-05-31"}], [("/changes/0/dated", "2026-05-31")]),
        (
            [ORDER | {"dated": "2026-06-09"}, ORDER | {"number": "2"}, ORDER | {"number": "3", "dated": "2026-06-08"}],
            [("/changes/1/dated", "2026-06-02"), ("/changes/2/dated", "2026-06-02")],
        ),
        ([ORDER | {"accepted_by": "a"}], [("/changes/0/accepted_on", "nothing")]),
        ([ORDER | {"accepted_on": "2026-06-02"}], [("/changes/0/accepted_by", "nothing")]),
        ([ORDER | {"accepted_by": "a", "accepted_on": "2026-06-01"}], [("/changes/0/accepted_on", "2026-06-01")]),
        ([ORDER | {"accepted_by": "a", "accepted_on": "2026-06-02"}], []),
    ],
)
def test_change_orders(changes: list[Json], found: list[tuple[str, str]]) -> None:
    assert sorted(faults(request(changes=changes))) == sorted(found)


def test_a_contingency_and_a_payment_that_exist_may_carry_a_change() -> None:
    pricing = {"contingency": {"amount": 5}, "payments": [{"milestone": "end", "share": 1}]}
    assert faults(request(pricing, changes=[ORDER | {"from_contingency": True, "milestone": "end"}])) == []


SIGNED: Json = {"accepted_by": "a", "accepted_on": "2026-06-02"}


@pytest.mark.parametrize(
    ("changes", "found"),
    [
        (
            [ORDER | SIGNED | {"drop": ["door"]}, ORDER | {"number": "2", "drop": ["door"]}],
            [("/changes/1/drop/0", "door")],
        ),
        ([ORDER | {"drop": ["door"]}, ORDER | {"number": "2", "drop": ["door"]}], []),
        ([ORDER | SIGNED | {"components": [COMPONENT | {"id": "new"}]}, ORDER | {"number": "2", "drop": ["new"]}], []),
        ([ORDER | SIGNED | {"labor": [LABOR | {"id": "new"}]}, ORDER | {"number": "2", "drop": ["new"]}], []),
        (
            [ORDER | {"components": [COMPONENT | {"id": "new"}]}, ORDER | {"number": "2", "drop": ["new"]}],
            [("/changes/1/drop/0", "new")],
        ),
    ],
)
def test_what_is_dropped_is_in_the_contract_then(changes: list[Json], found: list[tuple[str, str]]) -> None:
    assert faults(request(changes=changes)) == found


@pytest.mark.parametrize(
    ("name", "known"),
    [
        ("panel", True),
        ("door", False),
        ("fit", False),
        ("lamp", True),
        ("sink", True),
        ("stove", False),
        ("heater: gas", True),
        ("heater: oil", False),
    ],
)
def test_the_lines_of_a_quote_are_those_that_are_priced(name: str, known: bool) -> None:
    pricing = {
        "allowances": [{"id": "lamp", "description": "a", "amount": 1}],
        "customer_supplies": [{"id": "sink", "handling": 5}, {"id": "stove"}],
        "option_groups": [
            {
                "name": "heater",
                "alternatives": [{"name": "gas", "price": 1}, {"name": "oil", "price": 1}],
                "chosen": "gas",
            },
            {"name": "roof", "alternatives": [{"name": "a", "entries": ["door", "fit"]}]},
        ],
    }
    body = request(pricing, changes=[ORDER | {"drop": [name]}])
    body["build"] = build_with({}, {"id": "door"}, {"id": "sink"}, {"id": "stove"}, labor=[LABOR])
    assert faults(body) == ([] if known else [("/changes/0/drop/0", name)])


def test_a_line_of_a_change_needs_its_exchange_rate() -> None:
    body = request(changes=[ORDER | {"components": [COMPONENT | {"currency": "EUR"}]}])
    assert faults(body) == [("/changes/0/components/0/exchange_rate", "nothing")]
    assert faults(body | {"options": {"exchange_rates": "ecb"}}) == []


def test_the_trailer_as_built_is_checked_like_any_other() -> None:
    built = build_with({}, {"category": "x"}, currency="EUR")
    found = faults(request() | {"built": built}, QuoteVarianceRequest)
    assert found == [("/built/components/1/id", "panel"), ("/built/currency", "EUR")]
    unknown = faults(request() | {"built": build_with({}, currency="XXY")}, QuoteVarianceRequest)
    assert unknown == [("/built/currency", "XXY")]
    body = request() | {"built": build_with({})}
    body["build"]["currency"] = "XXY"
    assert faults(body, QuoteVarianceRequest) == [("/build/currency", "XXY")]


@pytest.mark.parametrize(
    ("progress", "found"),
    [
        ([{"id": "panel"}, {"id": "panel"}], [("/progress/1/id", "panel")]),
        ([{"id": "panel", "this_period": 1, "completed_share": 1}], [("/progress/0/completed_share", "both")]),
        ([{"id": "panel", "this_period": 1}, {"id": "door", "completed_share": 1}], []),
    ],
)
def test_progress_is_given_once(progress: list[Json], found: list[tuple[str, str]]) -> None:
    assert faults(request() | {"progress": progress}, ProgressBillRequest) == found


def test_every_fault_is_named_at_once() -> None:
    pricing = {
        "valid_until": "2026-01-01",
        "markup": {"profit_rate": 1, "profit_basis": "margin"},
        "option_groups": [{"name": "a", "alternatives": [{"name": "x"}]}],
        "payments": [{"milestone": "a", "share": "0.5"}],
        "contingency": {"rate": 2},
    }
    assert {pointer for pointer, _ in faults(request(pricing))} == {
        "/pricing/valid_until",
        "/pricing/markup/profit_rate",
        "/pricing/option_groups/0/alternatives/0/price",
        "/pricing/payments",
        "/pricing/contingency/rate",
    }
