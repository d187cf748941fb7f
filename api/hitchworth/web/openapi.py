"""The description of the API (OpenAPI 3.1), printed from the table of operations and from the records themselves.

    python -m hitchworth.web.openapi > openapi/hitchworth.json

Examples of bodies are files; examples of answers are what the operations really answer to them.
"""

import sys
from functools import cache
from inspect import cleandoc
from typing import Any, TypeAlias

import msgspec

from hitchworth.model.fault import Fault
from hitchworth.web.api import OPERATIONS, by_path
from hitchworth.web.content_negotiation import JSON, Rendering
from hitchworth.web.examples import example_answer, example_body
from hitchworth.web.http import MOST_BYTES
from hitchworth.web.operation import Operation, Parameter
from hitchworth.web.problems import INVALID_INPUT, PROBLEM_JSON, PROBLEM_TYPES, Problem, ProblemType
from hitchworth.web.service import CAUTION, VERSION

Document: TypeAlias = dict[str, Any]

_REF = "#/components/schemas/{name}"
_DESCRIPTION = f"""What a self-built camping trailer costs to replace, what it is worth after wear, how its registered
class compares with its built use, what each policy would pay for each loss, and which questions to settle with the
insurer first, ranked by the money that hangs on each.

Amounts are decimals: text in answers, text or numbers in bodies. A number is finite, has at most 21 digits and is 0 or
at least 0.000000000001; a text of a number may have spaces around it, a plus before it, underscores between its digits,
and the digits of any script. Every fault of a body is named at once, with its JSON Pointer, in a problem document of
RFC 9457. A body has at most {MOST_BYTES:,} bytes.

{CAUTION} Gas, line-voltage electrical and structural work belong to licensed people and local codes."""
_TAGS = {
    "Appraisal": "A build, policies and losses in; figures, verdicts and questions out. Nothing is stored.",
    "Reference data": "The tables and definitions on which the appraisal rests, with their sources.",
    "Service": "The server itself.",
}
_FORMAT = "The format of the answer, whatever the header Accept says: for callers that can set no header."
_FAULTS = (
    "Answer a problem with status 200: for callers that cannot read the body of an error, a spreadsheet's macro say."
)
_LANGUAGE = "The locale of the answer's texts: the one asked for, or the nearest that there is."
_STATUS_TEXTS = {
    400: "The body cannot be read, or a parameter is wrong.",
    404: "There is nothing here.",
    406: "The answer cannot be had in the format that Accept asks for.",
    413: "The body is too large.",
    415: "The body is of a format that is not read.",
    422: "The body was read, and has the faults that are named.",
    500: "The server has failed.",
}
_REQUEST_ID_HEADER = {
    "description": "The name of this request: the caller's own, if it sent one that is fit to be repeated.",
    "schema": {"type": "string"},
}


@cache
def document_json() -> bytes:
    """The description as JSON, indented."""
    return msgspec.json.format(msgspec.json.encode(document()), indent=1) + b"\n"


def document() -> Document:
    """The description."""
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
            for path, operations in by_path().items()
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
            **({"304": {"description": "The caller has it already."}} if operation.cacheable else {}),
            **{str(status): {"$ref": f"#/components/responses/{status}"} for status in _statuses(operation)},
        },
    }
    if operation.body is not None:
        media = {"schema": _reference(operation.body), "example": msgspec.json.decode(example_body(operation))}
        described["requestBody"] = {"required": True, "content": {JSON: media}}
    return described


def _statuses(operation: Operation) -> tuple[int, ...]:
    in_path = any(parameter.place == "path" for parameter in operation.parameters)
    return (400, *((404,) if in_path else ()), 406, *((413, 415, 422) if operation.body is not None else ()), 500)


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
        "schema": msgspec.json.schema(parameter.kind),
        **({} if parameter.example is None else {"example": parameter.example}),
    }


def _success(operation: Operation) -> Document:
    headers: Document = {"X-Request-Id": {"$ref": "#/components/headers/X-Request-Id"}}
    if operation.body is not None:
        headers["Content-Language"] = {"description": _LANGUAGE, "schema": {"type": "string"}}
    if operation.cacheable:
        headers["ETag"] = {"description": "For If-None-Match.", "schema": {"type": "string"}}
    content = {rendering.media_type: _media(operation, rendering) for rendering in operation.renderings}
    content[PROBLEM_JSON] = {"schema": _reference(Problem)}  # with ?faults=in-body
    return {"description": operation.summary, "headers": headers, "content": content}


def _media(operation: Operation, rendering: Rendering) -> Document:
    if rendering.media_type == JSON:
        return {"schema": _reference(operation.answer), "example": example_answer(operation)}
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
    answers = [
        operation.answer
        for operation in OPERATIONS
        if any(rendering.media_type == JSON for rendering in operation.renderings)
    ]
    bodies = [operation.body for operation in OPERATIONS if operation.body is not None]
    _, schemas = msgspec.json.schema_components([*bodies, *answers, Problem], ref_template=_REF)
    return {name: _patched_schema(schema) for name, schema in sorted(schemas.items())}


def _patched_schema(schema: Any) -> Any:
    """What msgspec's schema does not say: decimals of bodies may be numbers, texts have no indents of the source."""
    if isinstance(schema, list):
        return [_patched_schema(part) for part in schema]
    if not isinstance(schema, dict):
        return schema
    mended = {key: _patched_schema(part) for key, part in schema.items()}
    if isinstance(mended.get("description"), str):
        mended["description"] = cleandoc(mended["description"])
    if mended.get("format") == "decimal" and "maximum" in mended:
        mended["type"] = ["string", "number"]
    return mended


if __name__ == "__main__":
    sys.stdout.buffer.write(document_json())
