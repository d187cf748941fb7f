"""A client and a server of different versions: what the one has and the other does not know."""

import typing
from collections.abc import Callable, Iterator
from typing import Any, Literal

import httpx2
import msgspec
import pytest

from hitchworth.web.api import OPERATIONS
from hitchworth_sdk import (
    ApiError,
    Build,
    Component,
    EstimateRequest,
    FactDefinition,
    InvalidInput,
    ServerError,
    UnexpectedResponse,
    _operations,
    _types,
)
from hitchworth_sdk._exchange import Operation
from keep_release import RELEASES, examples
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


ANSWERS = [(name, example) for part, name, example in examples() if part == "answer"]


def grown(value: Any) -> Any:
    """A record as a newer server may give it: a member more in every record, at every depth."""
    if isinstance(value, msgspec.Struct):
        fields = msgspec.structs.fields(value)
        return {each.encode_name: grown(getattr(value, each.name)) for each in fields} | {"to_come": {"deep": [None]}}
    if isinstance(value, dict):
        return {name: grown(member) for name, member in value.items()}
    return list(map(grown, value)) if isinstance(value, tuple) else value


@pytest.mark.parametrize(("name", "example"), ANSWERS, ids=[name for name, _ in ANSWERS])
def test_an_old_client_reads_every_answer_of_a_newer_server(name: str, example: Any) -> None:
    decode = decoder_of(name)
    read = decode(msgspec.json.encode(example))
    newer = {"items": grown(read), "to_come": 1} if isinstance(read, tuple) else grown(read)
    assert msgspec.json.encode(newer).count(b"to_come") > 0
    assert decode(msgspec.json.encode(newer)) == read


def decoder_of(name: str) -> Callable[[bytes], Any]:
    known: Any = getattr(_operations, name.upper())
    operation: Operation[Any] = known["application/json"] if isinstance(known, dict) else known
    return operation.decode


ENUMERATED = [kind for name in _types.__all__ if (kind := getattr(_types, name)) and typing.get_origin(kind) is Literal]


@pytest.mark.parametrize("kind", RECORDS, ids=lambda kind: kind.__name__)
def test_every_enumeration_of_a_record_is_open(kind: type[msgspec.Struct]) -> None:
    """As it runs; for a type checker the values are listed."""
    closed = [each.name for each in msgspec.structs.fields(kind) if "Literal" in str(each.type)]
    assert closed == []
    assert len(ENUMERATED) > 100


RELEASED = [
    (release.stem, *example)
    for release in sorted(RELEASES.glob("*.json"))
    for example in msgspec.json.decode(release.read_bytes())
]
OPERATIONS_BY_NAME = {operation.operation_id: operation for operation in OPERATIONS}


@pytest.mark.parametrize(
    ("release", "part", "name", "example"), RELEASED, ids=[" ".join(each[:3]) for each in RELEASED]
)
def test_what_an_earlier_release_said_is_understood(release: str, part: str, name: str, example: Any) -> None:
    """The client reads the answers of an older server: a field that came later has a default. The server reads the
    requests of an older client: no field has gone, and none that is required has come.
    """
    content = msgspec.json.encode(example)
    if part == "answer":
        read = decoder_of(name)(content)
        said = example["items"] if isinstance(read, tuple) else example
    else:
        operation = OPERATIONS_BY_NAME[name]
        is_file = operation.request_type is bytes  # the one whose file may be JSON answers with the document in it
        read = msgspec.json.decode(content, type=operation.response_type if is_file else operation.request_type)
        said = example
    assert list(lost(said, msgspec.to_builtins(whole(read)))) == []


def whole(value: Any) -> Any:
    """A record with every field that it has, also those that have their default."""
    if isinstance(value, msgspec.Struct):
        return {each.encode_name: whole(getattr(value, each.name)) for each in msgspec.structs.fields(value)}
    if isinstance(value, dict):
        return {name: whole(member) for name, member in value.items()}
    return list(map(whole, value)) if isinstance(value, (tuple, list)) else value


def lost(said: Any, read: Any, place: str = "") -> Iterator[str]:
    """Yield the places of what was said and is not in what was read, or is another value there."""
    if isinstance(said, dict) and isinstance(read, dict):
        for name, member in said.items():
            yield from lost(member, read.get(name), f"{place}/{name}")
    elif isinstance(said, list) and isinstance(read, list) and len(said) == len(read):
        for number, (member, other) in enumerate(zip(said, read, strict=True)):
            yield from lost(member, other, f"{place}/{number}")
    elif str(said) != str(read):
        yield f"{place}: {said!r}, {read!r}"
