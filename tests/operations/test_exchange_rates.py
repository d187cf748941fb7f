"""Reference rates of the European Central Bank, where a request asks for them and a line has no rate of its own."""

from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from litestar import Litestar
from litestar.testing import TestClient

from hitchworth.operations import exchange_rates
from hitchworth.operations.exchange_rates import NoRateError, reference_rate
from web_server import client

Api = TestClient[Litestar]
LINE = {"id": "a", "description": "a", "category": "solar", "quantity": 1, "unit_cost": "100.00", "currency": "EUR"}


@pytest.fixture(scope="module")
def api() -> Any:
    with client() as asking:
        yield asking


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


def test_on_a_weekend_the_last_rate_before_holds() -> None:
    assert reference_rate("EUR", "USD", date(2023, 7, 2)) == reference_rate("EUR", "USD", date(2023, 6, 30))


@pytest.mark.parametrize(
    ("currency", "day"), [("USD", date(1998, 12, 31)), ("USD", date(2999, 1, 1)), ("KWD", date(2023, 6, 30))]
)
def test_without_a_published_rate_none_is_invented(currency: str, day: date) -> None:
    with pytest.raises(NoRateError, match=currency):
        reference_rate("EUR", currency, day)


def test_a_rate_that_is_missing_is_told_with_the_span_of_those_that_are_there() -> None:
    with pytest.raises(NoRateError) as missing:
        reference_rate("RUB", "KWD", date(2024, 1, 2))
    assert "RUB has them from 2005-04-01 to 2022-03-01; KWD has none" in str(missing.value)
    with pytest.raises(NoRateError, match="EUR is the base of all rates; USD has them from 1999-01-04 to 20"):
        reference_rate("EUR", "USD", date(1998, 12, 31))


def test_the_estimate_takes_the_rate_of_the_day_and_says_so(api: Api) -> None:
    found = api.post("/v1/estimates", json=body()).json()
    assert found["totals"]["historic_cost"] == "108.66"
    (note,) = (note for note in found["notes"] if note["code"] == "exchange_rate_from")
    assert "European Central Bank" in note["text"]
    assert "2023-06-30" in note["text"]


def test_a_quote_takes_the_rate_of_its_own_day(api: Api) -> None:
    quoted = body(replacement_unit_cost="100.00", quoted_on="2024-07-01")
    totals = api.post("/v1/estimates", json=quoted).json()["totals"]
    rate = reference_rate("EUR", "USD", date(2024, 7, 1)).rate
    assert (totals["historic_cost"], Decimal(totals["direct_cost"])) == ("108.66", round(100 * rate, 2))


def test_a_rate_of_ones_own_goes_before(api: Api) -> None:
    found = api.post("/v1/estimates", json=body(exchange_rate="2")).json()
    assert found["totals"]["historic_cost"] == "200.00"


@pytest.mark.parametrize(
    ("request_body", "pointer"),
    [
        (body(rates="given"), "/build/components/0/exchange_rate"),
        (body(acquired_on="1990-01-01"), "/build/components/0/exchange_rate"),
        (body("KWD"), "/build/components/0/exchange_rate"),
        (
            body(replacement_unit_cost=1, quoted_on="1990-01-01"),
            "/build/components/0/quoted_exchange_rate",
        ),
    ],
)
def test_a_rate_that_is_not_to_be_had_is_a_fault_of_its_line(
    api: Api, request_body: dict[str, Any], pointer: str
) -> None:
    answer = api.post("/v1/estimates", json=request_body)
    assert answer.status_code == 422
    assert [fault["pointer"] for fault in answer.json()["errors"]] == [pointer]


def test_without_the_package_the_fault_names_it(api: Api, monkeypatch: pytest.MonkeyPatch) -> None:
    def missing(name: str) -> object:
        raise ModuleNotFoundError(name)

    monkeypatch.setattr(exchange_rates, "import_module", missing)
    exchange_rates._to_euro.cache_clear()
    exchange_rates._published.cache_clear()
    (fault,) = api.post("/v1/estimates", json=body()).json()["errors"]
    assert "hitchworth[ecb]" in fault["found"]


def test_both_builds_of_a_comparison_are_completed(api: Api) -> None:
    build = body()["build"]
    side = {"build": build, "as_of": "2025-01-01"}
    request = {"before": side, "after": side | {"as_of": "2026-01-01"}, "options": {"exchange_rates": "ecb"}}
    assert api.post("/v1/estimate-comparisons", json=request).status_code == 200
