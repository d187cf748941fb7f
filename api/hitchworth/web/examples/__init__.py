"""Examples for the description: bodies from files, and the real responses to them."""

import csv
from collections.abc import Mapping
from importlib.resources import files
from io import StringIO
from typing import Any

import msgspec

from hitchworth.model.caller import LOCAL_CALLER
from hitchworth.operations.authentication import open_share
from hitchworth.operations.batches import Lines
from hitchworth.operations.renderings import AS_WORKBOOK, JSON, XLSX
from hitchworth.operations.workbooks import get_workbook_template
from hitchworth.web.examples.kept import EXAMPLE_LINK, example_store, example_tag, received
from hitchworth.web.operation import (
    CALLER,
    HEADERS,
    REQUEST,
    SENDER,
    SERVER,
    SHARED,
    STORE,
    UPLOAD,
    Operation,
    Parameter,
)
from hitchworth.web.server_state import ServerState
from hitchworth.webhooks.address import AddressRules
from hitchworth.webhooks.sender import DeliveryOutcome, Sender

EXAMPLE_REQUEST = "/requests/5f0c9f2e4a1d4e7b"
_MAX_ITEMS = 2
"""Of a list of reference data."""


class ExampleSender(Sender):
    """What sends the messages of the examples: nowhere, and they arrive."""

    def send(self, url: str, headers: Mapping[str, str], body: bytes) -> DeliveryOutcome:
        return DeliveryOutcome(status=204)


def example_body(operation: Operation) -> bytes:
    """Return the example body of an operation; of a workbook, that of the demo, made anew."""
    if XLSX in operation.files and not operation.example:
        return AS_WORKBOOK[0].render(get_workbook_template(demo=True))
    name = operation.example if operation.takes_file else f"{operation.example}.json"
    return files("hitchworth.web.examples").joinpath(name).read_bytes()


def example_of(operation: Operation, parameter: Parameter) -> Any:
    """Return the example of a parameter; None for one that the example leaves out."""
    if parameter.required and parameter.name == HEADERS["if_match"]:
        kept = next(each for each in operation.parameters if each.name in {"build", "quote"})
        return example_tag(kept.name, kept.example)
    return parameter.example


def example_response(operation: Operation) -> Any:
    """Return the response to the example body, as JSON values; lists of reference data are cut short.

    A kept build is the one of an example store, which is new for each response.
    """
    rendering = next(rendering for rendering in operation.renderings if rendering.media_type == JSON)
    response = msgspec.json.decode(rendering.render(operation.function(**_arguments(operation))))
    return _shortened(response) if operation.cache == "public" else response


def example_rows(operation: Operation) -> list[dict[str, str]]:
    """Return the rows of an example table, as JSON values."""
    rows = csv.DictReader(StringIO(example_body(operation).decode()))
    return [{name: text for name, text in row.items() if text} for row in rows]


def example_lines(operation: Operation) -> str:
    """Return the response to the example body of a batch."""
    lines = Lines(len(example_body(operation)))
    answers = operation.function([*lines.feed(example_body(operation)), *lines.end()], EXAMPLE_REQUEST, 10_000_000)
    return b"".join(answers).decode()


def _arguments(operation: Operation) -> dict[str, Any]:
    arguments = operation.arguments({parameter: _value(operation, parameter) for parameter in operation.parameters})
    if operation.is_kept:
        arguments[STORE] = example_store()
    if operation.needs_server:
        arguments[SERVER] = ServerState(store=example_store())
    if operation.needs_sender:
        arguments[SENDER] = ExampleSender(AddressRules(), 1)
    if operation.scope is not None:
        arguments[CALLER] = LOCAL_CALLER
    if operation.is_shared:
        arguments[SHARED] = open_share(arguments[STORE], EXAMPLE_LINK)
    if operation.takes_upload:
        arguments[UPLOAD] = received(example_body(operation))
    elif operation.reads_body or operation.takes_file:
        arguments[REQUEST] = example_body(operation)
    elif operation.request_type is not None:
        arguments[REQUEST] = msgspec.json.decode(example_body(operation), type=operation.request_type)
    return arguments


def _value(operation: Operation, parameter: Parameter) -> Any:
    example = example_of(operation, parameter)
    return parameter.default if example is None else msgspec.convert(example, parameter.kind)


def _shortened(value: Any) -> Any:
    if isinstance(value, dict):
        return {name: _shortened(part) for name, part in value.items()}
    return [_shortened(item) for item in value[:_MAX_ITEMS]] if isinstance(value, list) else value
