"""Examples for the description: bodies from files, and the real responses to them."""

from importlib.resources import files
from typing import Any

import msgspec

from hitchworth.model.caller import LOCAL_CALLER
from hitchworth.operations.authentication import open_share
from hitchworth.operations.renderings import AS_WORKBOOK, JSON, XLSX
from hitchworth.operations.workbooks import get_workbook_template
from hitchworth.web.examples.kept import EXAMPLE_LINK, example_store, example_tag, received
from hitchworth.web.operation import CALLER, HEADERS, REQUEST, SERVER, SHARED, STORE, UPLOAD, Operation, Parameter
from hitchworth.web.server_state import ServerState

_MAX_ITEMS = 2
"""Of a list of reference data."""


def example_body(operation: Operation) -> bytes:
    """Return the example body of an operation; of a workbook, that of the demo, made anew."""
    if XLSX in operation.files and not operation.example:
        return AS_WORKBOOK[0].render(get_workbook_template(demo=True))
    name = operation.example if operation.takes_file else f"{operation.example}.json"
    return files("hitchworth.web.examples").joinpath(name).read_bytes()


def example_of(operation: Operation, parameter: Parameter) -> Any:
    """Return the example of a parameter; None for one that the example leaves out."""
    if parameter.required and parameter.name == HEADERS["if_match"]:
        return example_tag(next(each.example for each in operation.parameters if each.name == "build"))
    return parameter.example


def example_response(operation: Operation) -> Any:
    """Return the response to the example body, as JSON values; lists of reference data are cut short.

    A kept build is the one of an example store, which is new for each response.
    """
    rendering = next(rendering for rendering in operation.renderings if rendering.media_type == JSON)
    response = msgspec.json.decode(rendering.render(operation.function(**_arguments(operation))))
    return _shortened(response) if operation.cache == "public" else response


def _arguments(operation: Operation) -> dict[str, Any]:
    arguments = operation.arguments({parameter: _value(operation, parameter) for parameter in operation.parameters})
    if operation.is_kept:
        arguments[STORE] = example_store()
    if operation.needs_server:
        arguments[SERVER] = ServerState()
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
