"""The links of the description: followed from each example, the next operation finds what the last one answered."""

import re
from collections.abc import Iterator
from typing import Any
from urllib.parse import quote

import msgspec
import pytest
from httpx import Response
from litestar import Litestar
from litestar.testing import TestClient

from hitchworth.web.api import OPERATIONS
from hitchworth.web.examples import ExampleSender, example_body
from hitchworth.web.examples.kept import example_store
from hitchworth.web.openapi import document_json
from hitchworth.webhooks.address import AddressRules
from web_server import client

DESCRIBED = msgspec.json.decode(document_json())
BY_ID = {
    operation["operationId"]: (method, path, operation)
    for path, methods in DESCRIBED["paths"].items()
    for method, operation in methods.items()
}
RECORDS = {operation.operation_id: operation for operation in OPERATIONS}
Operation = dict[str, Any]

REFUSED = {
    # change order 2 of the examples is neither accepted nor withdrawn
    ("add_change_order", "accept_change_order"): "quote-stage",
}
"""What cannot follow at once, and the type of the problem."""


def links() -> Iterator[Any]:
    for source, (_, _, operation) in BY_ID.items():
        for status in ("200", "201"):
            for name, link in operation["responses"].get(status, {}).get("links", {}).items():
                yield pytest.param(source, status, link, id=f"{source} {status} {name}")


@pytest.mark.parametrize(("source", "status", "link"), list(links()))
def test_a_link_leads_to_what_was_answered(source: str, status: str, link: Operation) -> None:
    _, path, target = BY_ID[link["operationId"]]
    parameters = {parameter["name"]: parameter for parameter in target["parameters"]}
    assert link["parameters"].keys() <= parameters.keys()
    assert all(name in link["parameters"] for name in ("build", "quote", "webhook", "key") if f"{{{name}}}" in path)
    with client(example_store()) as api:
        api.app.state["sender"] = ExampleSender(AddressRules(), 1)  # no network
        asked, answered = ask(api, source, {}, status)
        given = {name: resolved(expression, asked, answered) for name, expression in link["parameters"].items()}
        assert all(isinstance(value, str | int) and value != "" for value in given.values()), given
        _, followed = ask(api, link["operationId"], given, "")
    expected = REFUSED.get((source, link["operationId"]))
    if expected:
        assert followed.json()["type"].endswith(expected), followed.text
    else:
        assert followed.is_success, followed.text


def ask(api: TestClient[Litestar], name: str, given: dict[str, Any], status: str) -> tuple[Operation, Response]:
    """Send the example of the operation, with these parameters in place of its own; what was sent, and the answer.

    status: of a file, 200 is answered to one that is there already, so it is sent twice.
    """
    method, path, operation = BY_ID[name]
    parameters = {part["name"]: part for part in operation["parameters"]}
    values = {name: part["example"] for name, part in parameters.items() if "example" in part} | given
    values.pop("Idempotency-Key", None)  # that of the examples is always the same
    placed: Operation = {"path": {}, "query": {}, "header": {}}
    for name_, value in values.items():
        placed[parameters[name_]["in"]][name_] = value if isinstance(value, list) else str(value)
    body = None
    if "requestBody" in operation:
        placed["header"]["Content-Type"] = next(
            media_type for media_type in operation["requestBody"]["content"] if not media_type.startswith("multipart/")
        )
        body = as_of(example_body(RECORDS[name]), parameters, given)
    address = path.format(**{name: quote(value, safe="/") for name, value in placed["path"].items()})
    for _ in range(2 if status == "200" and "201" in operation["responses"] else 1):
        answer = api.request(method.upper(), address, params=placed["query"], headers=placed["header"], content=body)
    if status:
        assert str(answer.status_code) == status, answer.text
    return {**placed, "body": body}, answer


def as_of(body: bytes, parameters: Operation, given: dict[str, Any]) -> bytes:
    """The example body about what the link leads to: where it names the example, it names that."""
    for name, value in given.items():
        if parameters[name]["in"] == "path" and "example" in parameters[name]:
            example = msgspec.json.encode(parameters[name]["example"])
            body = body.replace(b'": ' + example, b'": ' + msgspec.json.encode(value))
    return body


def resolved(expression: str, asked: Operation, answered: Response) -> Any:
    """The value of a runtime expression (OpenAPI 3.1.0, section 4.8.20.4)."""
    if header := re.fullmatch(r"\$response\.header\.(.+)", expression):
        return answered.headers[header[1]]
    if path := re.fullmatch(r"\$request\.path\.(\w+)", expression):
        return asked["path"][path[1]]
    place = re.fullmatch(r"\$(request|response)\.body#/(\w+)", expression)
    assert place, expression
    return msgspec.json.decode(asked["body"] if place[1] == "request" else answered.content)[place[2]]


def test_everything_that_is_made_leads_on() -> None:
    made = {name for name, (_, _, operation) in BY_ID.items() if "201" in operation["responses"]}
    assert {name for name in made if "links" not in BY_ID[name][2]["responses"]["201"]} == set()
