"""The numbers of a request: in three ways, kept in one; as a type checker sees it, and as it runs."""

import subprocess
import sys
from datetime import date
from decimal import Decimal
from pathlib import Path

import httpx2
import msgspec
import pytest

from hitchworth_sdk import (
    Build,
    Component,
    EstimateRequest,
    InvalidInput,
    Labor,
    PercentGoodPoint,
    Policy,
    _types,
)
from hitchworth_sdk.client import Client
from sdk_exchanges import PlayedServer, problem

CHECKED = """
from datetime import date
from decimal import Decimal
from hitchworth_sdk import AsyncClient, Build, Client, Component, EstimateRequest, Policy

frame = Component(
    id="frame", description="Frame", category="chassis", quantity={quantity}, unit_cost="1890.50",
    acquired_on=date(2026, 1, 31), freight=12, tax=Decimal("1.5"),
)
cost: Decimal = frame.unit_cost
policy = Policy(name="auto", basis="{basis}", deductible=500, limit=None)
request = EstimateRequest(build=Build(name="Camper", currency="USD", components=(frame,)))
with Client("http://server.test") as client:
    total: Decimal = client.create_estimate(request, deadline=5).totals.replacement_cost
    text: str = client.raw(client.create_estimate, "text/csv")(request).text
async def ask(client: AsyncClient) -> Decimal:
    async for entry in client.list_builds():
        print(entry.name)
    return (await client.create_estimate(request)).totals.replacement_cost
"""
"""What a caller writes, with what is asked of a type checker left open."""


def checked(tmp_path: Path, quantity: str, basis: str = "actual_cash_value") -> str:
    """What mypy says of it, at its strictest, without the settings of this project."""
    source = tmp_path / "caller.py"
    source.write_text(CHECKED.format(quantity=quantity, basis=basis))
    line = [sys.executable, "-m", "mypy", "--strict", "--config-file", "", "--cache-dir", ".mypy_cache/caller"]
    return subprocess.run([*line, str(source)], capture_output=True, text=True, check=False).stdout


@pytest.mark.parametrize("quantity", ["1", '"1"', "Decimal(1)"])
def test_a_type_checker_takes_a_number_in_three_ways(quantity: str, tmp_path: Path) -> None:
    assert checked(tmp_path, quantity).startswith("Success")


def test_a_type_checker_refuses_a_float_and_a_word_that_is_not_listed(tmp_path: Path) -> None:
    told = checked(tmp_path, "1.5", "actual_cash_valu").splitlines()
    assert len(told) == 3
    assert 'Argument "quantity" to "Component" has incompatible type "float"' in told[0]
    assert 'Argument "basis" to "Policy" has incompatible type' in told[1]


def test_a_number_is_kept_as_a_decimal() -> None:
    frame = Component(
        id="frame",
        description="Frame",
        category="chassis",
        quantity=2,
        unit_cost="1890.50",
        acquired_on=date(2026, 1, 31),
        tax=Decimal("1.50"),
    )
    assert (frame.quantity, frame.unit_cost, frame.tax) == (Decimal(2), Decimal("1890.50"), Decimal("1.50"))
    assert {type(frame.quantity), type(frame.unit_cost), type(frame.tax)} == {Decimal}
    assert str(frame.unit_cost) == "1890.50"
    assert msgspec.structs.replace(frame, quantity=3).quantity == Decimal(3)
    assert Policy(name="a", limit="-0").limit == 0
    assert Policy(name="a").limit is None


@pytest.mark.parametrize("text", ["1,5", "one", "NaN", ""])
def test_a_text_that_is_no_number_is_left_to_the_server(text: str) -> None:
    """It names every fault at once, by its pointer; an exception here would name the first alone."""
    labor = Labor(id="a", task="Weld", hours=text, rate=1, performed_on=date(2026, 1, 31))
    with Client.local() as client, pytest.raises(InvalidInput) as caught:
        client.create_estimate(EstimateRequest(build=Build(name="", currency="USD", labor=(labor,))))
    assert [fault.pointer for fault in caught.value.faults] == ["/build/name", "/build/labor/0/hours"]


@pytest.mark.parametrize("text", ["1,5", "1_000", "\u0661", "1e3", " 1", "+1", "1.", ".5", "--1"])
def test_only_digits_are_taken_for_a_number(text: str) -> None:
    assert msgspec.to_builtins(Policy(name="a", limit=text)) == {"name": "a", "limit": text}


def test_a_truth_is_no_number() -> None:
    assert PercentGoodPoint(age_years=True, percent_good=1).age_years is True  # type: ignore[comparison-overlap]


def test_what_is_read_is_exact_too() -> None:
    read = msgspec.json.decode(b'{"age_years": 1.10, "percent_good": "0.90"}', type=PercentGoodPoint)
    assert (str(read.age_years), str(read.percent_good)) == ("1.10", "0.90")


def test_every_record_of_a_request_takes_its_numbers_so() -> None:
    """A record that leaves out its defaults is one of a request; where it has an amount, it makes it exact."""
    records: list[type[msgspec.Struct]] = [
        kind for name in _types.__all__ if isinstance(kind := getattr(_types, name), type)
    ]
    asking = [kind for kind in records if kind.__struct_config__.omit_defaults]
    with_amounts = [
        kind for kind in asking if any("Decimal" in str(each.type) for each in msgspec.structs.fields(kind))
    ]
    assert len(with_amounts) > 30
    assert [kind for kind in with_amounts if "__post_init__" not in vars(kind)] == []


def test_a_number_goes_out_as_text() -> None:
    server = PlayedServer(problem(400))
    build = Build(
        name="Camper",
        currency="USD",
        labor=(Labor(id="a", task="b", hours=1, rate="60", performed_on=date(2026, 1, 31)),),
    )
    with server.client() as client, pytest.raises(Exception, match="400"):
        client.create_estimate(EstimateRequest(build=build))
    assert b'"hours":"1","rate":"60"' in server.requests[0].content
    assert isinstance(server.requests[0], httpx2.Request)
