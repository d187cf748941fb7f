"""The rules for a build: ids, money, dates, circuits and discounts."""

import pytest

from faulty_requests import LABOR, Json, build_with, faults_of, only_fault, places
from hitchworth.model.build import Build
from hitchworth.model.request import EstimateRequest

FAN: Json = {"name": "fan", "load_amps": 4, "length_m": 3, "awg": 14, "fuse_amps": 5}


def test_a_build_without_faults() -> None:
    assert places(build_with({}, labor=[LABOR]), Build) == []


@pytest.mark.parametrize(
    ("change", "expected"),
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
        ({"removed_on": "2025-05-01"}, []),
        ({"removed_on": "2025-04-30"}, [("/components/0/removed_on", "2025-04-30")]),
        ({"in_service_on": "2025-04-01", "removed_on": "2025-04-30"}, [("/components/0/removed_on", "2025-04-30")]),
        ({"in_service_on": "2025-06-01", "removed_on": "2025-06-01"}, []),
        ({"in_service_on": "2025-06-01", "removed_on": "2025-05-30"}, [("/components/0/removed_on", "2025-05-30")]),
        ({"in_service_on": "2025-05-01", "removed_on": "2025-05-01"}, []),
        ({"exchange_rate": 1}, []),
        ({"exchange_rate": "1.1"}, [("/components/0/exchange_rate", "1.1")]),
        ({"exchange_rate": 0}, [("/components/0/exchange_rate", "0")]),
        ({"currency": "USD", "quoted_exchange_rate": 2}, [("/components/0/quoted_exchange_rate", "2")]),
        ({"quantity": 1000, "unit_cost": 1000000000}, []),
        ({"quantity": 1000, "unit_cost": 1000000000, "freight": 1}, [("/components/0/unit_cost", "1,000,000,000,001")]),
        ({"quantity": 1000, "unit_cost": 1000000000, "tax": 1}, [("/components/0/unit_cost", "1,000,000,000,001")]),
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
        ({"id": " "}, [("/components/0/id", "nothing")]),
        ({"id": "a\u202eb"}, [("/components/0/id", '"a\u202eb"')]),
        ({"note": "a\u202eb"}, [("/components/0/note", '"a\u202eb"')]),
        ({"id": "کتاب‌ها", "description": " a ", "note": " "}, []),
    ],
)
def test_component(change: Json, expected: list[tuple[str, str]]) -> None:
    assert places(build_with(change), Build) == expected


@pytest.mark.parametrize(
    ("indirect_costs", "expected"),
    [
        ({"profit_basis": "margin", "profit_rate": 1}, [("/indirect_costs/profit_rate", "1")]),
        ({"profit_basis": "margin", "profit_rate": "0.999999999999"}, []),
        (
            {"profit_basis": "margin", "profit_rate": "1.000000000001"},
            [("/indirect_costs/profit_rate", "1.000000000001")],
        ),
        ({"profit_basis": "markup", "profit_rate": 2}, []),
    ],
)
def test_margin(indirect_costs: Json, expected: list[tuple[str, str]]) -> None:
    assert places(build_with({}, indirect_costs=indirect_costs), Build) == expected


@pytest.mark.parametrize(
    ("rates", "expected"), [("given", [("/build/components/0/exchange_rate", "nothing")]), ("ecb", [])]
)
def test_exchange_rate_may_be_looked_up(rates: str, expected: list[tuple[str, str]]) -> None:
    body = {"build": build_with({"currency": "EUR"}), "options": {"exchange_rates": rates}}
    assert places(body, EstimateRequest) == expected


def test_a_range_of_labor_is_in_order_too() -> None:
    fault = only_fault(build_with({}, labor=[LABOR | {"low": 1, "likely": 3, "high": 2}]), Build)
    assert (fault.pointer, fault.found, fault.expected) == ("/labor/0/likely", "3", "at most 2")
    assert places(build_with({}, labor=[LABOR | {"low": 1, "likely": 2, "high": 2}]), Build) == []


def test_duplicate_ids_of_components_and_labor() -> None:
    body = build_with({}, {"id": "b"}, {}, labor=[LABOR, LABOR | {"id": "b"}])
    assert places(body, Build) == [("/components/2/id", "panel"), ("/labor/1/id", "b")]
    fault = only_fault(build_with({}, {}), Build)
    assert fault.detail == "Duplicate id, first used at /components/0/id"
    assert fault.expected == "each id only once"


def test_labor_of_an_unknown_component() -> None:
    labor = [LABOR | {"component_id": "panel"}, LABOR | {"id": "x", "component_id": "panels"}]
    fault = only_fault(build_with({}, labor=labor), Build)
    assert (fault.pointer, fault.found) == ("/labor/1/component_id", "panels")
    assert fault.expected == "the id of a component of the build; similar: panel"


@pytest.mark.parametrize(
    ("change", "expected"),
    [
        ({}, []),
        ({"awg": None, "fuse_amps": None}, []),
        ({"awg": 0}, []),
        ({"awg": -3}, []),
        ({"load_amps": 0}, [("/circuits/0/load_amps", "0")]),
        ({"length_m": "0.00"}, [("/circuits/0/length_m", "0.00")]),
        ({"fuse_amps": 0}, []),  # it has none
        ({"fuse_distance_m": 0}, []),  # on the battery
        ({"start_amps": 0}, [("/circuits/0/start_amps", "0")]),
        ({"fuse_interrupt_amps": 0}, [("/circuits/0/fuse_interrupt_amps", "0")]),
        ({"battery_fault_amps": 0}, [("/circuits/0/battery_fault_amps", "0")]),
        ({"insulation": 59}, [("/circuits/0/insulation", "59")]),
        ({"insulation": 200}, []),
        ({"volts": 0}, [("/circuits/0/volts", "0")]),
        ({"awg": None, "area_mm2": 0}, [("/circuits/0/area_mm2", "0")]),
        ({"awg": 13}, [("/circuits/0/awg", "13")]),
        ({"awg": 41}, [("/circuits/0/awg", "41")]),
        ({"awg": -4}, [("/circuits/0/awg", "-4")]),
        ({"area_mm2": 2}, [("/circuits/0/area_mm2", "both")]),
        ({"length_m": -1}, [("/circuits/0/length_m", "-1")]),
        ({"volts": 230}, [("/circuits/0/volts", "230")]),
    ],
)
def test_circuit(change: Json, expected: list[tuple[str, str]]) -> None:
    assert places(build_with(circuits=[FAN | change]), Build) == expected


def test_duplicate_circuit_name() -> None:
    circuits = [FAN, FAN | {"name": "pump"}, FAN]
    assert places(build_with(circuits=circuits), Build) == [("/circuits/2/name", "fan")]


def test_discount_given_twice() -> None:
    lock = {"name": "coupler_lock", "annual_discount": 5, "premium_discount_rate": "0.1"}
    assert places(build_with(protections=[lock]), Build) == [("/protections/0/premium_discount_rate", "both")]


@pytest.mark.parametrize(
    ("change", "expected"),
    [
        ({"hours": 1000, "rate": 1000000000}, []),
        ({"hours": "1000.001", "rate": 1000000000}, [("/labor/0/rate", "1,000,001,000,000")]),
        ({"hours": 1000, "market_rate": 1000000000}, []),
        ({"hours": "1000.001", "market_rate": 1000000000}, [("/labor/0/market_rate", "1,000,001,000,000")]),
    ],
)
def test_cost_of_labor(change: Json, expected: list[tuple[str, str]]) -> None:
    assert places(build_with(labor=[LABOR | change]), Build) == expected


@pytest.mark.parametrize(
    ("change", "detail", "expected"),
    [
        ({"currency": "ZZZ", "exchange_rate": 2}, "Unknown currency", "an ISO 4217 code such as USD, EUR or GBP"),
        ({"currency": "EUR"}, "Exchange rate from EUR to USD is needed", "USD for 1 EUR, greater than 0"),
        ({"quoted_exchange_rate": 0}, "Must be greater than 0", "USD for 1 USD, greater than 0"),
        (
            {"currency": "EUR", "exchange_rate": 1, "quoted_exchange_rate": 0},
            "Must be greater than 0",
            "USD for 1 EUR, greater than 0",
        ),
        ({"low": 3, "high": 2}, "low, likely and high are out of order", "at most 2"),
        (
            {"in_service_on": "2025-06-01", "removed_on": "2025-05-31"},
            "Removed before it was acquired or in service",
            "2025-06-01 or later, the later of acquired_on and in_service_on",
        ),
    ],
)
def test_text_of_a_fault(change: Json, detail: str, expected: str) -> None:
    fault = only_fault(build_with(change), Build)
    assert (fault.detail, fault.expected) == (detail, expected)


def test_exchange_rate_of_a_quote_counts_for_the_quote_only() -> None:
    quoted = {"currency": "EUR", "exchange_rate": 1, "quoted_exchange_rate": 1000, "unit_cost": 1000000000}
    assert places(build_with(quoted | {"replacement_unit_cost": 1000000000}), Build) == []
    beyond = quoted | {"replacement_unit_cost": "1000000000", "freight": 1}
    assert places(build_with(beyond), Build) == [("/components/0/replacement_unit_cost", "1,000,000,001,000")]


def test_cost_of_a_line_with_a_number_out_of_range_is_not_a_second_fault() -> None:
    line = {"quantity": 1000001, "unit_cost": 1000000000}
    assert places(build_with(line), Build) == [("/components/0/quantity", "1000001")]


REFUND = {"id": "slip", "refund_of": "panel", "quantity": -1, "unit_cost": "-100", "acquired_on": "2025-06-01"}


@pytest.mark.parametrize(
    ("changes", "expected"),
    [
        ({}, []),
        ({"quantity": 1, "unit_cost": 100, "tax": "-8.50"}, []),
        ({"quantity": "-1.5"}, [("quantity", "More is taken back than was bought", "-1.5")]),
        ({"quantity": 0}, [("quantity", "Nothing is taken back", "0")]),
        ({"acquired_on": "2025-04-30"}, [("acquired_on", "Taken back before it was bought", "2025-04-30")]),
        ({"refund_of": "panels"}, [("refund_of", "No component that could be taken back has this id", "panels")]),
        ({"refund_of": "slip"}, [("refund_of", "No component that could be taken back has this id", "slip")]),
        (
            {"refund_of": None, "tax": "-1"},
            [
                ("quantity", "Number is out of range", "-1"),
                ("unit_cost", "Number is out of range", "-100"),
                ("tax", "Number is out of range", "-1"),
            ],
        ),
    ],
)
def test_a_refund_names_what_it_takes_back(changes: Json, expected: list[tuple[str, str, str]]) -> None:
    found = [(fault.pointer, fault.detail, fault.found) for fault in faults_of(build_with({}, REFUND | changes), Build)]
    assert found == [(f"/components/1/{field}", detail, given) for field, detail, given in expected]


def test_a_number_below_0_says_how_a_refund_is_entered() -> None:
    fault = only_fault(build_with({"quantity": -1}), Build)
    assert fault.expected == "a number from 0 to 1,000,000; below 0 for a refund, with refund_of: what it takes back"
    fault = only_fault(build_with({}, REFUND | {"unit_cost": "-1000000001"}), Build)
    assert fault.expected == "a number from -1,000,000,000 to 1,000,000,000"


def test_refunds_together_take_back_no_more_than_was_bought() -> None:
    lines = ({"quantity": 3}, REFUND | {"quantity": 2}, REFUND | {"id": "again", "quantity": -2})
    fault = only_fault(build_with(*lines), Build)
    assert fault.pointer == "/components/2/quantity"
    assert fault.expected == "more than 0 and at most 1, what is left of panel"


def test_a_name_like_that_of_a_component_is_offered_for_a_refund() -> None:
    fault = only_fault(build_with({}, REFUND | {"refund_of": "panels"}), Build)
    assert fault.expected == "the id of a component that was bought; similar: panel"


def test_a_refund_in_another_currency_needs_no_rate() -> None:
    bought = {"currency": "EUR", "exchange_rate": "1.1"}
    assert places(build_with(bought, REFUND | {"currency": "EUR"}), Build) == []


@pytest.mark.parametrize(
    ("category", "found"),
    [(None, []), ("Tires", []), ("labour", [("/obsolescence/0/category", "labour")]), ("labor", [])],
)
def test_obsolescence_of_a_category_that_no_entry_has(category: str | None, found: list[tuple[str, str]]) -> None:
    terms = {"kind": "functional", "share": "0.1", "reason": "sales", "category": category}
    body = build_with({"category": "tires"}, labor=[{**LABOR, "category": "labor"}], obsolescence=[terms])
    assert places(body, Build) == found


def test_near_categories_of_obsolescence_are_offered() -> None:
    terms = {"kind": "functional", "share": "0.1", "reason": "sales", "category": "chasis"}
    fault = only_fault(build_with({"category": "chassis"}, obsolescence=[terms]), Build)
    assert fault.expected == "a category of the build's entries, or none for all; similar: chassis"
