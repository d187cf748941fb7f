"""Reference rates of the European Central Bank, for lines without a rate of their own."""

from datetime import date
from decimal import Decimal
from typing import Any

import msgspec
import pytest

from hitchworth.model.estimate import Estimate
from hitchworth.model.request import (
    EstimateComparisonRequest,
    EstimateRequest,
    GapRequest,
    ProtectionRequest,
    SalesComparisonRequest,
    SettlementRequest,
    ValueCurveRequest,
)
from hitchworth.operations import exchange_rates
from hitchworth.operations.appraisals import create_estimate
from hitchworth.operations.exchange_rates import NoRateError, reference_rate
from hitchworth.operations.requests import Request, read_request
from hitchworth.validation import InvalidInputError

LINE = {"id": "a", "description": "a", "category": "solar", "quantity": 1, "unit_cost": "100.00", "currency": "EUR"}


def body(currency: str = "USD", rates: str = "ecb", **terms: object) -> dict[str, Any]:
    line = LINE | {"acquired_on": "2023-06-30"} | terms
    build = {"name": "a", "currency": currency, "components": [line]}
    return {"build": build, "as_of": "2026-01-01", "options": {"exchange_rates": rates}}


# European Central Bank, euro foreign exchange reference rates of 30 June 2023: USD 1.0866, JPY 157.16, GBP 0.85828
@pytest.mark.parametrize(
    ("foreign", "home", "rate"),
    [
        ("EUR", "USD", "1.0866"),
        ("EUR", "JPY", "157.16"),
        ("GBP", "EUR", "1.165120940"),
        ("GBP", "USD", "1.266020413"),
    ],
)
def test_a_rate_is_the_published_one_or_crosses_two(foreign: str, home: str, rate: str) -> None:
    found = reference_rate(foreign, home, date(2023, 6, 30))
    assert (found.rate, found.day) == (Decimal(rate), date(2023, 6, 30))


def test_on_a_weekend_the_last_rate_before_applies() -> None:
    assert reference_rate("EUR", "USD", date(2023, 7, 2)) == reference_rate("EUR", "USD", date(2023, 6, 30))


@pytest.mark.parametrize(
    ("currency", "day"), [("USD", date(1998, 12, 31)), ("USD", date(2999, 1, 1)), ("KWD", date(2023, 6, 30))]
)
def test_without_a_published_rate_none_is_invented(currency: str, day: date) -> None:
    with pytest.raises(NoRateError, match=currency):
        reference_rate("EUR", currency, day)


def test_a_missing_rate_is_reported_with_the_period_of_the_published_ones() -> None:
    with pytest.raises(NoRateError) as missing:
        reference_rate("RUB", "KWD", date(2024, 1, 2))
    assert "RUB has them from 2005-04-01 to 2022-03-01; KWD has none" in str(missing.value)
    with pytest.raises(NoRateError, match="EUR is the base of all rates; USD has them from 1999-01-04 to 20"):
        reference_rate("EUR", "USD", date(1998, 12, 31))


# The bank sets rates from Monday to Friday; the last one for the ruble is of Tuesday, March 1, 2022.
def test_a_rate_seven_days_old_is_taken_and_one_eight_days_old_is_not() -> None:
    assert reference_rate("EUR", "RUB", date(2022, 3, 8)).day == date(2022, 3, 1)
    with pytest.raises(NoRateError, match="on 2022-03-09 or in the week before"):
        reference_rate("EUR", "RUB", date(2022, 3, 9))


def test_the_first_days_of_the_calendar_have_no_rate() -> None:
    with pytest.raises(NoRateError):
        reference_rate("EUR", "USD", date(1, 1, 3))


def read(content: dict[str, Any], kind: type[Request]) -> Request:
    return read_request(msgspec.json.encode(content), kind)


def estimate(content: dict[str, Any]) -> Estimate:
    return create_estimate(read(content, EstimateRequest))


def test_the_estimate_uses_the_rate_of_the_day_and_names_its_source() -> None:
    found = estimate(body())
    assert found.totals.historical_cost == Decimal("108.66")
    (note,) = (note for note in found.notes if note.code == "exchange_rate_from")
    assert "European Central Bank" in note.text
    assert "2023-06-30" in note.text


def test_a_quote_uses_the_rate_of_its_own_day() -> None:
    totals = estimate(body(replacement_unit_cost="100.00", quoted_on="2024-07-01")).totals
    rate = reference_rate("EUR", "USD", date(2024, 7, 1)).rate
    assert (totals.historical_cost, totals.direct_cost) == (Decimal("108.66"), round(100 * rate, 2))


def test_a_quote_without_a_day_uses_the_rate_of_the_purchase() -> None:
    assert estimate(body(replacement_unit_cost="200.00")).totals.direct_cost == Decimal("217.32")  # 200 x 1.0866


def test_the_rates_of_a_line_go_before_the_published_ones() -> None:
    assert estimate(body(exchange_rate="2")).totals.historical_cost == 200
    own = body(replacement_unit_cost="100.00", quoted_on="2024-07-01", quoted_exchange_rate="3")
    assert (estimate(own).totals.historical_cost, estimate(own).totals.direct_cost) == (Decimal("108.66"), Decimal(300))


@pytest.mark.parametrize("currency", [None, "EUR"])
def test_a_line_in_the_currency_of_the_build_needs_no_rate(currency: str | None) -> None:
    """Its day has none: the euro came in 1999."""
    content = body("EUR", acquired_on="1990-01-01")
    content["build"]["components"][0]["currency"] = currency
    (component,) = read(content, EstimateRequest).build.components
    assert (component.exchange_rate, component.exchange_rate_source) == (None, None)


@pytest.mark.parametrize(
    ("request_body", "pointer"),
    [
        (body(rates="given"), "/build/components/0/exchange_rate"),
        (body(exchange_rate="0"), "/build/components/0/exchange_rate"),
        (body(acquired_on="1990-01-01"), "/build/components/0/exchange_rate"),
        (body("KWD"), "/build/components/0/exchange_rate"),
        (body(replacement_unit_cost=1, quoted_on="1990-01-01"), "/build/components/0/quoted_exchange_rate"),
    ],
)
def test_a_rate_that_is_not_available_is_a_fault_of_its_line(request_body: dict[str, Any], pointer: str) -> None:
    with pytest.raises(InvalidInputError) as caught:
        read(request_body, EstimateRequest)
    assert [fault.pointer for fault in caught.value.faults] == [pointer]


def test_every_line_without_a_rate_is_a_fault() -> None:
    content = body(acquired_on="1990-01-01")
    content["build"]["components"].append(content["build"]["components"][0] | {"id": "b"})
    with pytest.raises(InvalidInputError) as caught:
        read(content, EstimateRequest)
    places = [(fault.pointer, fault.also_at) for fault in caught.value.faults]
    assert places == [("/build/components/0/exchange_rate", ("/build/components/1/exchange_rate",))]


def test_without_the_package_the_fault_names_it(monkeypatch: pytest.MonkeyPatch) -> None:
    def missing(name: str) -> object:
        raise ModuleNotFoundError(name)

    monkeypatch.setattr(exchange_rates, "import_module", missing)
    exchange_rates._to_euro.cache_clear()
    exchange_rates._published.cache_clear()
    with pytest.raises(InvalidInputError) as caught:
        read(body(), EstimateRequest)
    assert "hitchworth[ecb]" in caught.value.faults[0].found


LOSS = {"name": "fire", "peril": "fire", "extent": "total", "occurred_on": "2025-01-01"}
TERMS = {"policies": [{"name": "a", "basis": "actual_cash_value"}], "losses": [LOSS]}
SALE = {"description": "a", "price": 1, "sold_on": "2025-01-01", "source": "a"}


@pytest.mark.parametrize(
    ("kind", "more"),
    [
        (EstimateRequest, {}),
        (SettlementRequest, TERMS),
        (GapRequest, TERMS),
        (SalesComparisonRequest, {"subject": {}, "comparables": [SALE]}),
        (ValueCurveRequest, {"dates": ["2025-01-01"], "as_of": None}),
    ],
)
def test_the_build_of_every_request_is_completed(kind: type[Any], more: dict[str, Any]) -> None:
    content = {name: value for name, value in (body() | more).items() if value is not None}
    (component,) = read(content, kind).build.components
    assert (component.exchange_rate, component.exchange_rate_source[-10:]) == (Decimal("1.0866"), "2023-06-30")


def test_both_builds_of_a_comparison_are_completed() -> None:
    side = {"build": body()["build"], "as_of": "2025-01-01"}
    content = {"before": side, "after": side | {"as_of": "2026-01-01"}, "options": {"exchange_rates": "ecb"}}
    request = read(content, EstimateComparisonRequest)
    for completed in (request.before, request.after):
        assert completed.build.components[0].exchange_rate == Decimal("1.0866")


@pytest.mark.parametrize("place", ["before", "after"])
def test_a_missing_rate_of_a_comparison_is_a_fault_of_its_side(place: str) -> None:
    sides = {"before": {"build": body()["build"]}, "after": {"build": body()["build"]}}
    sides[place] = {"build": body(acquired_on="1990-01-01")["build"]}
    with pytest.raises(InvalidInputError) as caught:
        read(sides | {"options": {"exchange_rates": "ecb"}}, EstimateComparisonRequest)
    assert [fault.pointer for fault in caught.value.faults] == [f"/{place}/build/components/0/exchange_rate"]


def test_a_protection_check_takes_no_rates() -> None:
    content = {"build": body()["build"] | {"components": [LINE | {"acquired_on": "2023-06-30", "exchange_rate": 2}]}}
    assert read(content, ProtectionRequest).build.components[0].exchange_rate == 2
