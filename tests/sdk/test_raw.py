"""Answers as they come, in every format that the API has for them."""

import typing
from collections.abc import Callable, Iterator
from datetime import date
from typing import Any

import msgspec
import pytest

from hitchworth.operations.renderings import JSON
from hitchworth.store import open_store
from hitchworth.store.database import IN_MEMORY
from hitchworth.web.api import OPERATIONS
from hitchworth.web.examples import example_body, example_of
from hitchworth.web.operation import Operation
from hitchworth.web.server import running
from hitchworth_sdk import (
    AsyncClient,
    Build,
    Client,
    Component,
    ConfigurationError,
    Document,
    Estimate,
    EstimateRequest,
    InvalidInput,
    NotAcceptable,
    Response,
    ValueCurveRequest,
)

ODS = "application/vnd.oasis.opendocument.spreadsheet"
FRAME = Component(
    id="frame",
    description="Frame",
    category="chassis",
    quantity=1,
    unit_cost="1890.50",
    acquired_on=date(2026, 1, 31),
)
REQUEST = EstimateRequest(build=Build(name="Camper", currency="USD", components=(FRAME,)), as_of=date(2026, 6, 1))
COMPUTED = [
    operation
    for operation in OPERATIONS
    if not operation.is_kept and len(operation.renderings) > 1 and operation.renderings[0].media_type == JSON
]


@pytest.fixture(scope="module")
def client() -> Iterator[Client]:
    store = open_store(IN_MEMORY)
    with running(store=store) as address, Client(address) as connected:
        yield connected
    store.close()


def test_the_answer_has_status_headers_content_and_id(client: Client) -> None:
    answer = client.raw(client.create_estimate)(REQUEST, headers={"X-Request-Id": "mine"})
    assert (answer.status, answer.media_type, answer.request_id) == (200, JSON, "mine")
    assert answer.headers["x-request-id"] == "mine"
    assert msgspec.json.decode(answer.content, type=Estimate) == client.create_estimate(REQUEST)


def test_a_table_comes_as_csv(client: Client) -> None:
    answer = client.raw(client.create_estimate, "text/csv")(REQUEST)
    header, line = answer.text.splitlines()
    assert header.startswith("id,kind,description,category")
    assert line.startswith("frame,component,Frame,chassis")
    german = client.raw(client.create_estimate, "text/csv", table="categories", table_locale="de-DE")(REQUEST)
    assert "1890,50" in german.text


@pytest.mark.parametrize("operation", COMPUTED, ids=lambda operation: operation.operation_id)
def test_every_format_of_every_computation(operation: Operation, client: Client) -> None:
    method: Callable[..., object] = getattr(client, operation.operation_id)
    examples = ((each, example_of(operation, each)) for each in operation.parameters)
    asked: dict[str, Any] = {each.field: example for each, example in examples if example is not None}
    if operation.request_type is not None:
        kind, example = typing.get_type_hints(method)["request"], example_body(operation)
        asked = {"request": example if kind is bytes else msgspec.json.decode(example, type=kind)}
    for rendering in operation.renderings:
        answer: Response = client.raw(method, rendering.media_type)(**asked)
        assert answer.media_type == rendering.media_type
        assert answer.content


def test_a_chart_comes_as_svg(client: Client) -> None:
    request = ValueCurveRequest(build=REQUEST.build, dates=(date(2026, 6, 1), date(2027, 6, 1)))
    assert client.raw(client.create_value_curve, "image/svg+xml")(request).text.startswith("<svg")


def test_a_report_comes_with_its_headers(client: Client) -> None:
    kept = client.create_build(Document(build=REQUEST.build))
    answer = client.raw(client.get_report, "application/pdf")(kept, "inventory", paper="a4")
    assert answer.content.startswith(b"%PDF-")


def test_a_list_comes_page_by_page(client: Client) -> None:
    for number in range(5):
        client.create_build(Document(build=Build(name=f"Raw {number}", currency="USD")))
    pages = list(client.raw(client.list_builds, "text/csv")(name="Raw", sort="name", limit=2))
    assert [len(page.text.splitlines()) - 1 for page in pages] == [2, 2, 1]
    assert "Raw 4" in pages[-1].text
    assert [page.content[:2] for page in client.raw(client.list_builds, ODS)(name="Raw", limit=200)] == [b"PK"]


def test_a_problem_is_raised_as_from_any_call(client: Client) -> None:
    with pytest.raises(InvalidInput, match="currency"):
        client.raw(client.create_estimate, "text/csv")(EstimateRequest(build=Build(name="a", currency="")))
    with pytest.raises(NotAcceptable):
        client.raw(client.create_estimate, "image/svg+xml")(REQUEST)


def test_the_client_itself_goes_on_answering_records(client: Client) -> None:
    raw = client.raw(client.get_health)
    assert isinstance(raw(), Response)
    assert client.get_health().status == "ok"


def test_only_a_method_of_the_same_client_for_one_answer_has_a_raw_form(client: Client) -> None:
    with Client("http://other.test") as other, pytest.raises(ConfigurationError, match="of the same client"):
        client.raw(other.get_health)
    for method in (client.close, client.add_evidence_folder, print):
        with pytest.raises(ConfigurationError, match="for one answer"):
            client.raw(method)


@pytest.mark.anyio
@pytest.mark.parametrize("anyio_backend", ["asyncio"])
async def test_the_asynchronous_client_has_them_too(anyio_backend: str, client: Client) -> None:
    async with AsyncClient(str(client._route.server)) as asynchronous:
        answer = await asynchronous.raw(asynchronous.create_estimate, "text/csv")(REQUEST)
        assert answer.content == client.raw(client.create_estimate, "text/csv")(REQUEST).content
        pages = [page async for page in asynchronous.raw(asynchronous.list_builds, "text/csv")(name="Camper")]
        assert len(pages) == 1
