"""Examples for the documents: bodies as files, and what is really answered to them."""

from importlib.resources import files
from typing import Any

import msgspec

from hitchworth.web.content_negotiation import AS_JSON
from hitchworth.web.operation import BODY, Operation

_LONGEST = 2
"""A list of reference data is shown by its first items."""


def example_body(operation: Operation) -> bytes:
    """The example of an operation's body, as it is sent."""
    return files("hitchworth.web.examples").joinpath(f"{operation.example}.json").read_bytes()


def example_answer(operation: Operation) -> Any:
    """What the operation answers to its example, as JSON values; lists of reference data are cut short."""
    arguments = {
        parameter.name: msgspec.convert(parameter.example, parameter.kind | None) for parameter in operation.parameters
    }
    if operation.body is not None:
        arguments[BODY] = msgspec.json.decode(example_body(operation), type=operation.body)
    answer = msgspec.json.decode(AS_JSON.render(operation.function(**arguments)))
    return answer if operation.body is not None else _shortened(answer)


def _shortened(value: Any) -> Any:
    if isinstance(value, dict):
        return {name: _shortened(part) for name, part in value.items()}
    return [_shortened(item) for item in value[:_LONGEST]] if isinstance(value, list) else value
