"""The client against the API document: a method for every operation, a record for every example."""

import inspect
import re
import typing
from collections.abc import Iterator
from pathlib import Path

import msgspec
import pytest

import hitchworth_sdk
from hitchworth_sdk import Client, Problem, _operations
from hitchworth_sdk._exchange import PROBLEM_JSON, Operation

Json = dict[str, typing.Any]
DOCUMENT: Json = msgspec.json.decode((Path(__file__).parents[2] / "openapi" / "hitchworth.json").read_bytes())
METHODS = {"get", "post", "put", "patch", "delete"}


def operations() -> Iterator[tuple[str, str, Json]]:
    for path, item in DOCUMENT["paths"].items():
        for method in sorted(METHODS & item.keys()):
            yield method.upper(), path, item[method]


def named(operation_id: str) -> str:
    """The name of the client's method: createEstimate is create_estimate."""
    return re.sub(r"(?<!^)(?=[A-Z])", "_", operation_id).lower()


def known_operations(name: str) -> list[Operation[typing.Any]]:
    """The client's description of an operation; one for each format of the answer."""
    known = getattr(_operations, name.upper())
    return list(known.values()) if isinstance(known, dict) else [known]


def resolved(part: Json) -> Json:
    """What a part of the document stands for, its reference followed."""
    for step in part.get("$ref", "#").split("/")[1:]:
        part = DOCUMENT[step] if step == "components" else part[step]
    return part


def record_of(operation: Json) -> typing.Any:
    """The record of a body: the method's `request`, or one whose fields are arguments of the method."""
    taken = typing.get_type_hints(getattr(Client, named(operation["operationId"])))
    schema: Json = {}
    for media in operation.get("requestBody", {}).get("content", {}).values():
        schema = media["schema"]
    if "request" in taken or "$ref" not in schema:
        return taken.get("request")
    record = getattr(hitchworth_sdk, schema["$ref"].rpartition("/")[2])
    assert set(record.__struct_fields__) <= taken.keys()
    return record


def examples(content: Json) -> Iterator[tuple[str, typing.Any]]:
    """The media types of a body, each with the examples that the document gives."""
    for media_type, body in content.items():
        if "example" in body:
            yield media_type, body["example"]
        for example in body.get("examples", {}).values():
            told = resolved(example)
            yield media_type, told["value"] if "value" in told else told["externalValue"]


OPERATIONS = list(operations())
ids = [f"{method} {path}" for method, path, _ in OPERATIONS]


@pytest.mark.parametrize(("method", "path", "operation"), OPERATIONS, ids=ids)
def test_every_operation_has_its_method(method: str, path: str, operation: Json) -> None:
    name = named(operation["operationId"])
    assert inspect.getdoc(getattr(Client, name))
    for known in known_operations(name):
        assert (known.method, known.path) == (method, path)
        answer = resolved(operation["responses"].get("201") or operation["responses"]["200"])
        assert known.media_type in answer["content"] or known.media_type in answer["description"]


@pytest.mark.parametrize(("method", "path", "operation"), OPERATIONS, ids=ids)
def test_every_parameter_has_its_argument(method: str, path: str, operation: Json) -> None:
    hints = typing.get_type_hints(getattr(Client, named(operation["operationId"])))
    (options,) = typing.get_args(hints["options"])
    taken = {**hints, **typing.get_type_hints(options)}
    told = {resolved(part)["name"] for part in operation.get("parameters", []) if resolved(part)["in"] != "header"}
    # A list is iterated over, so the client moves the cursor; `from` is a word of Python.
    # A record of the client has every required field, so no method leaves some out.
    of_no_method = {"format", "table", "table_locale", "faults", "fields", "cursor"}
    assert told - of_no_method <= {name.rstrip("_") for name in taken}


@pytest.mark.parametrize(("method", "path", "operation"), OPERATIONS, ids=ids)
def test_what_takes_an_idempotency_key_is_sent_with_one(method: str, path: str, operation: Json) -> None:
    takes = "Idempotency-Key" in {resolved(part)["name"] for part in operation.get("parameters", [])}
    for known in known_operations(named(operation["operationId"])):
        assert known.keyed is takes
        assert known.repeatable or not takes


@pytest.mark.parametrize(("method", "path", "operation"), OPERATIONS, ids=ids)
def test_every_example_of_a_body_is_a_request(method: str, path: str, operation: Json) -> None:
    record = record_of(operation)
    body = resolved(operation.get("requestBody", {}))
    told = [example for _, example in examples(body.get("content", {}))]
    assert bool(told or "GET /v1/" in body.get("description", "")) == (record is not None)
    for example in told if record is not bytes else ():
        if isinstance(example, str):  # a CSV, or the lines of a batch
            continue
        request: typing.Any = msgspec.convert(example, record)
        assert msgspec.convert(msgspec.json.decode(msgspec.json.encode(request)), record) == request


@pytest.mark.parametrize(("method", "path", "operation"), OPERATIONS, ids=ids)
def test_every_example_of_an_answer_can_be_read(method: str, path: str, operation: Json) -> None:
    decoders = {known.media_type: known.decode for known in known_operations(named(operation["operationId"]))}
    for response in operation["responses"].values():
        for media_type, example in examples(resolved(response).get("content", {})):
            if media_type == PROBLEM_JSON:
                read = msgspec.json.decode(msgspec.json.encode(msgspec.convert(example, Problem)))
                assert {name: read[name] for name in example} == example
            else:
                decoders[media_type](example.encode() if isinstance(example, str) else msgspec.json.encode(example))
