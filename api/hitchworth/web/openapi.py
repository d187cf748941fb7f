"""The OpenAPI 3.1 description of the API, generated from the operations and the records.

    python -m hitchworth.web.openapi > openapi/hitchworth.json

Example bodies are files. Example responses are computed from them.
"""

import sys
from functools import cache
from inspect import cleandoc
from typing import Any, TypeAlias

import msgspec

from hitchworth.model.fault import Fault
from hitchworth.model.strings import Jurisdiction
from hitchworth.operations.renderings import JSON, Rendering
from hitchworth.reference.jurisdictions import jurisdictions
from hitchworth.web.api import OPERATIONS, operations_by_path
from hitchworth.web.examples import example_body, example_response
from hitchworth.web.http import MAX_BODY_BYTES
from hitchworth.web.operation import Operation, Parameter
from hitchworth.web.problems import INVALID_INPUT, PROBLEM_JSON, PROBLEM_TYPES, Problem, ProblemType
from hitchworth.web.service import CAUTION, VERSION

Document: TypeAlias = dict[str, Any]

_REF = "#/components/schemas/{name}"
_DESCRIPTION = f"""What a self-built camping trailer costs to replace, what it is worth after depreciation, how its
registered class compares with how it is used, what each policy would pay for each loss, and which questions to settle
with the insurer first, ranked by the money at stake.

Amounts are decimals: strings in responses, strings or numbers in bodies. A number is finite, has at most 21 digits and
is 0 or at least 0.000000000001. A number in a string may have spaces around it, a plus sign in front, underscores
between its digits, and the digits of any script. If a body has faults, the response is a problem document (RFC 9457)
that lists all of them, each with its JSON Pointer. A body has at most {MAX_BODY_BYTES:,} bytes.

{CAUTION} Gas, line-voltage electrical and structural work belongs to licensed people and local codes."""
_TAGS = {
    "Appraisal": "A build, policies and losses in; figures, verdicts and questions out. Nothing is stored.",
    "Reference data": "The tables and definitions behind the appraisals, with their sources.",
    "Service": "The server itself.",
}
_FORMAT = "The format of the response. Overrides the Accept header, for clients that cannot set headers."
_FAULTS = (
    "Return a problem with status 200, for clients that cannot read the body of an error, such as spreadsheet macros."
)
_LANGUAGE = "The locale of the texts: the one in the request, or the nearest available one."
_STATUS_TEXTS = {
    400: "The body cannot be read, or a parameter is invalid.",
    404: "There is no resource at this address.",
    406: "The response is not available in a format that Accept allows.",
    413: "The body is too large.",
    415: "The body is in an unsupported format.",
    422: "The body has faults. All of them are listed.",
    500: "Internal server error.",
}
_REQUEST_ID_HEADER = {
    "description": "The id of this request: the client's own if it sent one that is safe to repeat, else a new one.",
    "schema": {"type": "string"},
}


@cache
def document_json() -> bytes:
    """Return the description as indented JSON."""
    return msgspec.json.format(msgspec.json.encode(document()), indent=1) + b"\n"


def document() -> Document:
    """Return the description."""
    return {
        "openapi": "3.1.0",
        "info": {
            "title": "Hitchworth",
            "version": VERSION,
            "summary": "Replacement value, class and insurance gap of a self-built camping trailer",
            "description": _DESCRIPTION,
            "license": {"name": "Apache License 2.0", "identifier": "Apache-2.0"},
        },
        "servers": [{"url": "/"}],
        "tags": [{"name": name, "description": text} for name, text in _TAGS.items()],
        "paths": {
            path: {operation.method.lower(): _operation(operation) for operation in operations}
            for path, operations in operations_by_path().items()
        },
        "components": {
            "schemas": _schemas(),
            "responses": {str(status): _problem_response(status) for status in _STATUS_TEXTS},
            "headers": {"X-Request-Id": _REQUEST_ID_HEADER},
        },
    }


def _operation(operation: Operation) -> Document:
    described: Document = {
        "operationId": operation.operation_id,
        "tags": [operation.tag],
        "summary": operation.summary,
        "description": operation.description or operation.summary,
        "parameters": _parameters(operation),
        "responses": {
            "200": _success(operation),
            **({"304": {"description": "Not modified: the client's copy is current."}} if operation.cacheable else {}),
            **{str(status): {"$ref": f"#/components/responses/{status}"} for status in _statuses(operation)},
        },
    }
    if operation.request_type is not None:
        media = {"schema": _reference(operation.request_type), "example": msgspec.json.decode(example_body(operation))}
        described["requestBody"] = {"required": True, "content": {JSON: media}}
    return described


def _statuses(operation: Operation) -> tuple[int, ...]:
    in_path = any(parameter.place == "path" for parameter in operation.parameters)
    return (
        400,
        *((404,) if in_path else ()),
        406,
        *((413, 415, 422) if operation.request_type is not None else ()),
        500,
    )


def _parameters(operation: Operation) -> list[Document]:
    formats = [rendering.name for rendering in operation.renderings]
    return [
        *map(_parameter, operation.parameters),
        _query("format", _FORMAT, {"type": "string", "enum": formats}),
        _query("faults", _FAULTS, {"type": "string", "enum": ["in-body"]}),
    ]


def _query(name: str, description: str, schema: Document) -> Document:
    return {"name": name, "in": "query", "required": False, "description": description, "schema": schema}


def _parameter(parameter: Parameter) -> Document:
    return {
        "name": parameter.name,
        "in": parameter.place,
        "required": parameter.place == "path",
        "description": parameter.description,
        "schema": _parameter_schema(parameter.kind),
        **({} if parameter.example is None else {"example": parameter.example}),
    }


def _parameter_schema(kind: Any) -> Document:
    schema = dict(msgspec.json.schema(kind))
    return schema | {"enum": list(jurisdictions())} if kind == Jurisdiction else schema


def _success(operation: Operation) -> Document:
    headers: Document = {"X-Request-Id": {"$ref": "#/components/headers/X-Request-Id"}}
    if operation.request_type is not None:
        headers["Content-Language"] = {"description": _LANGUAGE, "schema": {"type": "string"}}
    if operation.cacheable:
        headers["ETag"] = {"description": "For If-None-Match.", "schema": {"type": "string"}}
    content = {rendering.media_type: _media(operation, rendering) for rendering in operation.renderings}
    content[PROBLEM_JSON] = {"schema": _reference(Problem)}  # with ?faults=in-body
    return {"description": operation.summary, "headers": headers, "content": content}


def _media(operation: Operation, rendering: Rendering) -> Document:
    if rendering.media_type == JSON:
        return {"schema": _reference(operation.response_type), "example": example_response(operation)}
    return {"schema": {"type": "string"} | ({} if rendering.media_type.startswith("text/") else {"format": "binary"})}


def _problem_response(status: int) -> Document:
    kinds = [kind for kind in PROBLEM_TYPES if kind.status == status]
    return {
        "description": _STATUS_TEXTS[status],
        "headers": {"X-Request-Id": {"$ref": "#/components/headers/X-Request-Id"}},
        "content": {
            PROBLEM_JSON: {
                "schema": _reference(Problem),
                "examples": {kind.type.rpartition("/")[2]: {"value": _example_problem(kind)} for kind in kinds},
            }
        },
    }


def _example_problem(kind: ProblemType) -> Document:
    fault = Fault(
        pointer="/build/components/0/quantity",
        detail="Number out of bounds",
        expected="a number from 0 to 1,000,000",
        found="-1",
    )
    problem = Problem(
        type=kind.type,
        title=kind.title,
        status=kind.status,
        detail=kind.description,
        instance="/requests/5f0c9f2e4a1d4e7b",
        errors=(fault,) if kind is INVALID_INPUT else (),
    )
    return dict(msgspec.to_builtins(problem))


def _reference(kind: Any) -> Document:
    (schema,), _ = msgspec.json.schema_components([kind], ref_template=_REF)
    return dict(schema)


def _schemas() -> Document:
    responses = [
        operation.response_type
        for operation in OPERATIONS
        if any(rendering.media_type == JSON for rendering in operation.renderings)
    ]
    requests = [operation.request_type for operation in OPERATIONS if operation.request_type is not None]
    _, schemas = msgspec.json.schema_components([*requests, *responses, Problem], ref_template=_REF)
    return {name: _patched_schema(schema) for name, schema in sorted(schemas.items())}


def _patched_schema(schema: Any) -> Any:
    """Add what the schema of msgspec lacks: decimals in bodies may be numbers. Remove the indents of docstrings."""
    if isinstance(schema, list):
        return [_patched_schema(part) for part in schema]
    if not isinstance(schema, dict):
        return schema
    patched = {key: _patched_schema(part) for key, part in schema.items()}
    if isinstance(patched.get("description"), str):
        patched["description"] = cleandoc(patched["description"])
    if patched.get("format") == "decimal" and "maximum" in patched:
        patched["type"] = ["string", "number"]
    return patched


if __name__ == "__main__":
    sys.stdout.buffer.write(document_json())
