"""A client and a server of different versions: what the one has and the other does not know."""

import httpx2
import msgspec
import pytest

from hitchworth_sdk import (
    ApiError,
    Build,
    Component,
    EstimateRequest,
    FactDefinition,
    InvalidInput,
    ServerError,
    UnexpectedResponse,
    _types,
)
from sdk_exchanges import PlayedServer, problem

FACT = {"name": "width_m", "type": "number", "question": "How wide?", "measure": "Outside.", "unit": "m"}
RECORDS = [kind for name in _types.__all__ if isinstance(kind := getattr(_types, name), type)]


@pytest.mark.parametrize("kind", RECORDS, ids=lambda kind: kind.__name__)
def test_no_record_refuses_a_field_of_a_newer_server(kind: type[msgspec.Struct]) -> None:
    assert kind.__struct_config__.forbid_unknown_fields is False


def test_a_field_of_a_newer_server_is_let_pass() -> None:
    newer = {"items": [FACT | {"to_come": {"deep": [1]}}], "next": None}
    with PlayedServer(httpx2.Response(200, json=newer)).client() as client:
        assert client.list_facts() == (msgspec.convert(FACT, FactDefinition),)


@pytest.mark.parametrize(("status", "kind"), [(422, InvalidInput), (418, ApiError), (599, ServerError)])
def test_a_problem_of_a_newer_server_is_told_by_its_status(status: int, kind: type[ApiError]) -> None:
    fault = {"pointer": "/build", "detail": "wrong", "severity": "to come"}
    server = PlayedServer(problem(status, type="/problems/to-come", errors=[fault], advice="to come"))
    with server.client(retries=0) as client, pytest.raises(ApiError) as caught:
        client.get_health()
    assert caught.type is kind
    assert (caught.value.type, caught.value.faults[0].detail) == ("/problems/to-come", "wrong")


def test_a_value_that_a_newer_server_adds_to_an_enumeration_is_handed_on() -> None:
    server = PlayedServer(httpx2.Response(200, json={"items": [FACT, FACT | {"type": "angle"}]}))
    with server.client() as client:
        assert [fact.type for fact in client.list_facts()] == ["number", "angle"]


def test_a_field_that_an_older_server_lacks_is_named() -> None:
    older = {name: value for name, value in FACT.items() if name != "measure"}
    server = PlayedServer(httpx2.Response(200, json={"items": [older]}))
    with server.client() as client, pytest.raises(UnexpectedResponse, match="missing required field `measure`"):
        client.list_facts()


def test_a_request_says_nothing_to_an_older_server_that_is_not_used() -> None:
    """Every field that has a default is left out of a request, at every depth."""
    server = PlayedServer(problem(400))
    request = EstimateRequest(build=Build(name="Camper", currency="USD"))
    with server.client() as client, pytest.raises(ApiError):
        client.create_estimate(request)
    assert server.requests[0].content == b'{"build":{"name":"Camper","currency":"USD"}}'
    assert Component.__struct_config__.omit_defaults
