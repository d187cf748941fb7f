"""Examples for the description: bodies from files, and the real responses to them."""

from importlib.resources import files
from typing import Any

import msgspec

from hitchworth.operations.renderings import AS_JSON
from hitchworth.web.operation import REQUEST, Operation

_MAX_ITEMS = 2
"""Of a list of reference data."""


def example_body(operation: Operation) -> bytes:
    """Return the example body of an operation."""
    name = operation.example if operation.takes_file else f"{operation.example}.json"
    return files("hitchworth.web.examples").joinpath(name).read_bytes()


def example_response(operation: Operation) -> Any:
    """Return the response to the example body, as JSON values; lists of reference data are cut short."""
    arguments = {
        parameter.name: msgspec.convert(parameter.example, parameter.kind | None) for parameter in operation.parameters
    }
    if operation.takes_file:
        arguments[REQUEST] = example_body(operation)
    elif operation.request_type is not None:
        arguments[REQUEST] = msgspec.json.decode(example_body(operation), type=operation.request_type)
    response = msgspec.json.decode(AS_JSON.render(operation.function(**arguments)))
    return response if operation.request_type is not None else _shortened(response)


def _shortened(value: Any) -> Any:
    if isinstance(value, dict):
        return {name: _shortened(part) for name, part in value.items()}
    return [_shortened(item) for item in value[:_MAX_ITEMS]] if isinstance(value, list) else value
