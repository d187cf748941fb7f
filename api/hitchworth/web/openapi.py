"""The description of the API (OpenAPI 3.1), printed from the list of operations and from the records.

    python -m hitchworth.web.openapi > openapi/hitchworth.json

Examples of requests are files; examples of answers are what the operations answer to them. A request is refused when it
has an unknown field, but answers may get more fields: so the schemas of answers do not forbid them.
"""

import re
import sys
from collections.abc import Iterator, Mapping
from functools import cache
from typing import Any, TypeAlias

import msgspec

from hitchworth.localization.locales import SOURCE
from hitchworth.model.document import FORMAT, Locale
from hitchworth.model.fault import Fault
from hitchworth.operations.batches import FirstLine
from hitchworth.operations.renderings import AS_TABLE, DOCX, JSON, NDJSON, TSV, Rendering
from hitchworth.operations.settings import Settings
from hitchworth.reference.jurisdictions import jurisdictions
from hitchworth.validation.type_inspection import is_record
from hitchworth.web.api import OPERATIONS, operations_by_path
from hitchworth.web.examples import example_body, example_lines, example_of, example_response, example_rows
from hitchworth.web.examples.kept import EXAMPLE_LINK
from hitchworth.web.openapi_schemas import (
    described_property,
    list_lines,
    of_answers,
    of_requests,
    output_names,
    paragraph_with_list,
    reference,
    schemas,
)
from hitchworth.web.operation import FIRST_LINE, HEADERS, LINK, Operation, Parameter
from hitchworth.web.problems import INVALID_INPUT, PROBLEM_JSON, PROBLEM_TYPES, Problem, ProblemType
from hitchworth.web.service import CAUTION, VERSION
from hitchworth.web.uploads import FORM_DATA

Document: TypeAlias = dict[str, Any]

IF_MATCH = HEADERS["if_match"]
_DESCRIPTION = f"""What a self-built camping trailer costs to replace, what it is worth after depreciation, how its
registered class compares with its built use, what each policy would pay for each loss, and which questions to settle
with the insurer first, ranked by the money at stake.

**Amounts** are decimals: text in answers ("12.50"), in requests text, as described, or numbers. Amounts of answers are
in the build's currency and rounded to its minor unit (cents); an amount that may be negative says so. Shares and rates
are fractions: 0.25 is 25 percent. Text of a number may have spaces around it, a plus sign before it, underscores
between its digits, and the digits of any script. A number is finite, has at most 21 digits, and is 0 or at least
0.000000000001.

**Dates** are YYYY-MM-DD. In a request, a field left out, an empty text and **null** mean the same. For the terms of a
policy: not known. Elsewhere the description of the field says what follows.

**A document** is a build with its policies, losses, answers and settings: a person keeps it in a file and sends it to
any computation, with `as_of` beside it. Policies and losses may be left out; the answer then says what is missing. A
build alone is the shortest document, and a kept build as the server answers it is one too: what it has beside its
document only says which one it was. `format` is the version of the document format, {FORMAT} in this release; an older
document is upgraded when it is read, and one that names no format has format 1.

**Errors** are problem documents (RFC 9457) with every fault of the request at once, each with its JSON Pointer; the
same fault of many rows is told once, with the others in `also_at`. A caller that cannot read the body of an error adds
`?faults=in-body`. A body has at most {Settings().max_body_bytes:,} bytes, unless the operator of the server
sets another limit.

**Values of several types**, such as that of a fact, are described in words alone: a typed client takes any value there.
A default is told in words as well, so that a client sends only what was said.

**Fields**: a request with an unknown field is refused. Answers may get more fields in any release, so ignore what you
do not know; a record that is in requests and in answers has two schemas, that of answers named `...Output`.

{CAUTION} Gas, line-voltage electrical and structural work belongs to licensed people and local codes."""
_TAGS = {
    "Appraisal": "A build, policies and losses in; figures, verdicts and questions out. Nothing is stored.",
    "Reports": "The sheet for the talk with the insurer, the other reports, letters and claim packs.",
    "Quotes": "A build and how a workshop prices it in; quotes, change orders, variances and their reports out.",
    "Kept builds": "Builds that the server keeps, with their history. They need a server with a database.",
    "Kept quotes": "Quotes that the server keeps, with their history: accepted, changed, and what became of them.",
    "Evidence": "The photos and papers of kept builds: files in and out, and what they are evidence of.",
    "Cells": "One figure or one short text for the web function of a spreadsheet, by GET; a column of them by POST.",
    "Spreadsheets": "Macros to install in a spreadsheet program, and the values for the rows that they send.",
    "Reference data": "The tables and definitions behind the appraisals, with their sources.",
    "Webhooks": "Addresses that are told what happens in a workspace: signed messages, sent until they arrive.",
    "Access": "Who may use a workspace, the log of who did, and the workspace itself.",
    "Shared builds": "What somebody without a key reads through a share link.",
    "Service": "The server itself.",
}
_FORMAT = "Format of the answer, whatever the header Accept says. For callers that cannot set a header."
_TABLE = "Which table of the answer, where the format is one:"
_TABLE_LOCALE = (
    "The locale whose spreadsheet is to open the table. CSV has its decimal mark; with a decimal comma, semicolons "
    "between the cells; and, but for en-US, a byte order mark. TSV always has a point. XLSX and ODS know numbers from "
    "text."
)
_FIELDS: Mapping[str, Any] = {
    "name": "fields",
    "in": "query",
    "required": False,
    "description": "The parts of the answer that are wanted, where it is JSON: names of fields, with commas between "
    "them and a point before a field inside another: `totals,lines.id`. Of a list, the same of each item. Fields that "
    "are not named are left out, required ones too. Default: all of it.",
    "schema": {"type": "string"},
}
_FIRST_LINE: Mapping[str, Any] = {
    "name": FIRST_LINE,
    "in": "query",
    "required": False,
    "description": "The number of the first line of the body, for going on where an earlier answer broke off: one more "
    "than that of its last line. From 2 on, a table has no line of names, so that it can be written after that answer. "
    "Default: 1.",
    "schema": dict(msgspec.json.schema(FirstLine)),
}
_FAULTS = "How a problem is answered. Default: with the status of the error."
_IN_BODY = (
    "as a problem document with status 200, for callers that cannot read the body of an error, such as a spreadsheet "
    "macro"
)
_STATUS_TEXTS = {
    400: "The body cannot be read, or a parameter is invalid.",
    401: "A key is required, or the key is not valid. WWW-Authenticate has the challenge.",
    403: "The scope of the key does not cover this, or a page of another site asks.",
    404: "Nothing has this address.",
    406: "The answer is not available in a format that Accept allows.",
    408: "The body came too slowly.",
    409: "The build or quote is in the trash, the quote is at another stage, a request under the idempotency key is in "
    "work or has made its key or link before, a deletion is not confirmed, a key has been "
    "replaced already, the webhook is disabled, or the message is still to be sent.",
    410: "The share link has expired or was revoked.",
    412: "The build or quote has been changed.",
    413: "The body is too large.",
    415: "The body is in a format that is not supported.",
    416: "The file has no such part.",
    421: "The server does not go by the name in the header Host.",
    422: "The body was read and has faults, all of which are named; or the idempotency key belongs to another request.",
    428: "If-Match is missing.",
    429: "The key has used up its requests. Retry-After has the seconds to wait.",
    500: "The server failed.",
    501: "The server was started without a database, or installed without what this needs.",
    503: "The server is busy or about to stop, or the database cannot be used.",
    507: "No space is left.",
}
_RESPONSE_HEADERS = {
    "ETag": "The version of the answer, for If-None-Match; of a build, for If-Match too.",
    "Location": "The address of what was made.",
    "Fault-Count": "How many cells are marked as wrong; 0 where the workbook has its results.",
    "Referrer-Policy": "Always no-referrer: a page does not tell others the address that led to it.",
    "Link": "The address of the next page, with rel=next. Missing on the last page.",
    "Content-Language": "Locale of the texts: the one requested, or the nearest available.",
}
_KEY = {
    "type": "http",
    "scheme": "bearer",
    "description": "A key, made with `hitchworth keys create` or POST /v1/keys: hw_, its public part, _ and its "
    "secret. On loopback none is needed, unless the server is set to ask for one.",
}
_RATE_LIMIT_HEADERS = {
    "RateLimit-Policy": "How many requests a key may make in a window (q), and its length in seconds (w).",
    "RateLimit": "How many requests the key has left (r), and the seconds until the limit is whole again (t).",
}
_LINK = {
    "name": LINK,
    "in": "path",
    "required": True,
    "description": "The last part of the `path` of a share link: hs_, its public part, _ and its secret.",
    "schema": {"type": "string"},
    "example": EXAMPLE_LINK,
}
_REQUEST_ID_HEADER = {
    "description": "Name of this request: the caller's own X-Request-Id if it is valid, otherwise one made here.",
    "schema": {"type": "string"},
}


@cache
def document_json() -> bytes:
    """Return the description as indented JSON."""
    return msgspec.json.format(msgspec.json.encode(document()), indent=1) + b"\n"


def document() -> Document:
    """Return the description."""
    paths = {
        path: {operation.method.lower(): described_operation(operation) for operation in operations}
        for path, operations in operations_by_path().items()
    }
    return {
        "openapi": "3.1.0",
        "info": {
            "title": "Hitchworth",
            "version": VERSION,
            "summary": "Replacement value, class and insurance gap of a self-built camping trailer",
            "description": _DESCRIPTION,
            "contact": {"name": "The Hitchworth developers"},
            "license": {"name": "Apache License 2.0", "identifier": "Apache-2.0"},
        },
        "servers": [{"url": "/"}],
        "security": [{"key": []}, {}],
        "tags": [{"name": name, "description": text} for name, text in _TAGS.items()],
        "paths": paths,
        "components": {
            "schemas": _referenced(schemas(), paths),
            "responses": {str(status): _problem_response(status) for status in _STATUS_TEXTS},
            "headers": {"X-Request-Id": _REQUEST_ID_HEADER},
            "securitySchemes": {"key": _KEY},
        },
    }


def _referenced(schemas: Document, paths: Document) -> Document:
    """The schemas that something refers to: of a value of several types, a record is named in words alone."""
    text = msgspec.json.encode([schemas, paths])
    named = set(re.findall(rb'"#/components/schemas/(\w+)"', text)) | {Problem.__name__.encode()}
    return {name: schema for name, schema in schemas.items() if name.encode() in named}


def described_operation(operation: Operation) -> Document:
    """Return what the description says about an operation: of its parameters, its body, its answers."""
    described: Document = {
        "operationId": operation.operation_id,
        "tags": [operation.tag],
        "summary": operation.summary,
        "description": _operation_description(operation),
        **({} if operation.deprecation is None else {"deprecated": True}),
        "security": _security(operation),
        "parameters": _parameters(operation),
        "responses": {
            **({"200": _success(operation)} if operation.is_repeated else {}),
            str(operation.status): _success(operation),
            **({"304": {"description": "Unchanged: the caller has it already."}} if operation.cache != "never" else {}),
            **{str(status): {"$ref": f"#/components/responses/{status}"} for status in _statuses(operation)},
        },
    }
    if operation.takes_file:
        file: Document = {"schema": {"type": "string", "format": "binary"}}
        form: Document = {FORM_DATA: {"schema": _form(operation)}} if operation.takes_upload else {}
        content: Document = form | dict.fromkeys(operation.files, file)  # most clients can send the first one alone
        if JSON in operation.files:  # what it makes of any file, it takes as well
            content[JSON] = {"schema": reference(operation.response_type), "example": example_response(operation)}
        for text in content.keys() & {"text/csv", "application/yaml", TSV, NDJSON}:
            pattern = {"pattern": r"\S"} if operation.streams else {}  # a batch has a line
            content[text] = {"schema": {"type": "string", **pattern}, "example": example_body(operation).decode()}
        if operation.rows is not None:
            schema = {"type": "array", "items": reference(operation.rows)}
            content[JSON] = {"schema": schema, "example": example_rows(operation)}
        body: Document = {"required": True, "content": content}
        if not operation.example:  # a workbook, which is no text; a reader would resolve an externalValue as a file
            body["description"] = "For an example: GET /v1/workbook-template?demo=true."
        described["requestBody"] = body
    elif operation.request_type is not None:
        media = {"schema": reference(operation.request_type), "example": msgspec.json.decode(example_body(operation))}
        described["requestBody"] = {"required": True, "content": {operation.media_type: media}}
    return described


def _form(operation: Operation) -> Document:
    """The schema of a form with a file: its other fields are the parameters of the query."""
    fields = {
        parameter.name: _form_field(parameter) for parameter in operation.parameters if parameter.place == "query"
    }
    file = {"type": "string", "format": "binary"}
    return {
        "type": "object",
        "properties": {"file": file, **fields},
        "required": ["file"],
        "additionalProperties": False,
    }


def _form_field(parameter: Parameter) -> Document:
    """The field; its values are listed at the parameter alone, else generated clients would declare them twice."""
    schema = _parameter_schema(parameter)
    if "enum" in schema:
        schema = {"type": "string"}
    return schema | {"description": f"As the parameter `{parameter.name}`."}


def _operation_description(operation: Operation) -> str:
    """Return what it does, whether it goes away, and the scope that its key needs.

    In the requirements of security, scopes are those of OAuth.
    """
    text = operation.description or operation.summary
    if operation.scope is not None:
        text = f"{text.removesuffix('.')}. A key needs the scope `{operation.scope}`."
    return text if operation.deprecation is None else f"{operation.deprecation.sentence} {text}"


def _described_renderings(operation: Operation) -> tuple[Rendering, ...]:
    """The formats of an answer that are described as such; tables and charts of what is JSON are told in words.

    To a typed client an answer is the union of all its media types, so it could use none without asking which came.
    """
    if operation.renderings[0].media_type == JSON:
        return operation.renderings[:1]
    return tuple(each for each in operation.renderings if each not in AS_TABLE)


def _security(operation: Operation) -> list[Document]:
    """What has to be sent with the request. `{}` beside a key: on loopback none is needed."""
    if operation.scope is not None:
        return [{"key": []}, {}]
    return [{}, {"key": []}] if operation.request_type is not None else []


def _statuses(operation: Operation) -> tuple[int, ...]:
    """The statuses of its problems: what follows from its record, and those that it names itself."""
    in_path = operation.is_shared or any(parameter.place == "path" for parameter in operation.parameters)
    names = {parameter.name for parameter in operation.parameters}
    needs_condition = any(parameter.name == IF_MATCH and parameter.required for parameter in operation.parameters)
    followed = (
        400,
        *(() if operation.is_open else (401,)),
        *(() if operation.probe else (403,)),
        *((404,) if in_path else ()),
        406,
        *((409,) if names & {IF_MATCH, HEADERS["idempotency_key"]} else ()),
        *((410,) if operation.is_shared else ()),
        *((412,) if IF_MATCH in names else ()),
        *((408, 413, 415) if operation.request_type is not None else ()),
        *((416,) if operation.gives_file and operation.method == "GET" else ()),
        *((422,) if operation.request_type is not None or operation.is_kept else ()),
        *(() if operation.probe else (421,)),
        *((428,) if needs_condition else ()),
        *(() if operation.probe else (429,)),
        500,
        *((501,) if operation.is_kept or DOCX in (each.media_type for each in operation.renderings) else ()),
        503,
        *((507,) if operation.changes else ()),
    )
    return tuple(sorted({*followed, *operation.further_statuses}))


def _parameters(operation: Operation) -> list[Document]:
    formats = {rendering.name: rendering.media_type for rendering in operation.renderings}
    return [
        *([dict(_LINK)] if operation.is_shared else []),
        *(_parameter(operation, parameter) for parameter in operation.parameters),
        _query("format", f"{_FORMAT} Default: by Accept, else `{next(iter(formats))}`.", formats),
        *_table_parameters(operation),
        *([dict(_FIELDS)] if operation.selects_fields else []),
        *([dict(_FIRST_LINE)] if operation.streams else []),
        _query("faults", _FAULTS, {"in-body": _IN_BODY}),
    ]


def _table_parameters(operation: Operation) -> Iterator[Document]:
    if not operation.tables:
        return
    tables = {table.name: table.description for table in operation.tables}
    *formats, last = (rendering.name for rendering in operation.renderings if rendering in AS_TABLE)
    told = f"{', '.join(formats)} or {last}" if formats else last
    yield _query("table", f"{_TABLE} {told}. Default: `{next(iter(tables))}`.", tables)
    default = SOURCE if operation.streams else f"the locale of the answer's texts, else {SOURCE}"
    yield {
        "name": "table_locale",
        "in": "query",
        "required": False,
        "description": f"{_TABLE_LOCALE} Default: {default}.",
        "schema": dict(msgspec.json.schema(Locale)),
    }


def _query(name: str, description: str, values: Mapping[str, str]) -> Document:
    return {
        "name": name,
        "in": "query",
        "required": False,
        "description": paragraph_with_list(description, list_lines(values.items())),
        "schema": {"type": "string", "enum": list(values)},
    }


def _parameter(operation: Operation, parameter: Parameter) -> Document:
    if is_record(parameter.kind):
        return {
            "name": parameter.name,
            "in": parameter.place,
            "required": False,
            "description": parameter.description,
            "content": {JSON: {"schema": reference(parameter.kind)}},
        }
    default = {} if parameter.default is None else {"default": msgspec.to_builtins(parameter.default)}
    schema = {**_parameter_schema(parameter), **default, "description": parameter.description}
    described = of_requests(described_property(schema))
    return {
        "name": parameter.name,
        "in": parameter.place,
        "required": parameter.required,
        "description": described.pop("description"),
        "schema": described,
        **({} if (example := example_of(operation, parameter)) is None else {"example": msgspec.to_builtins(example)}),
    }


def _parameter_schema(parameter: Parameter) -> Document:
    """The schema of the parameter, with the list of codes for a jurisdiction: which those are is data."""
    if parameter.name == "jurisdiction":
        return {"type": "string", "enum": list(jurisdictions())}
    return dict(msgspec.to_builtins(msgspec.json.schema(parameter.kind)))  # an example may be a date


def _success(operation: Operation) -> Document:
    names = [
        *operation.headers,
        *(["ETag"] if operation.cache != "never" and "ETag" not in operation.headers else []),
        *(["Content-Language"] if operation.request_type is not None and _names_locale(operation) else []),
    ]
    headers: Document = {"X-Request-Id": {"$ref": "#/components/headers/X-Request-Id"}}
    headers |= {} if operation.probe else {name: _text_header(text) for name, text in _RATE_LIMIT_HEADERS.items()}
    headers |= {name: _text_header(_RESPONSE_HEADERS[name]) for name in names}
    content = {rendering.media_type: _media(operation, rendering) for rendering in _described_renderings(operation)}
    others = [rendering.media_type for rendering in operation.renderings if rendering.media_type not in content]
    told = f". By Accept or `format` also {', '.join(others)}." if others else ""
    described = {"description": operation.summary + told, "headers": headers, "content": content}
    return described | ({"links": links} if (links := _links(operation)) else {})


def _links(operation: Operation) -> Document:
    """Return what can be asked next, by the id of its operation."""
    described: Document = {}
    for links in operation.links:
        for function in links.to:
            (target,) = (each for each in OPERATIONS if each.function is function)
            needs_tag = any(parameter.name == IF_MATCH and parameter.required for parameter in target.parameters)
            tag = {IF_MATCH: "$response.header.ETag"} if needs_tag and "ETag" in operation.headers else {}
            described[target.operation_id] = {
                "operationId": target.operation_id,
                "description": target.summary,
                "parameters": {**links.given, **tag},
            }
    return described


def _names_locale(operation: Operation) -> bool:
    """Whether the request says in which locale its answer is."""
    if operation.takes_file:
        return any(parameter.name == "locale" for parameter in operation.parameters) and not operation.streams
    return not (operation.reads_body or operation.takes_upload) and operation.rows is None


def _text_header(description: str) -> Document:
    return {"description": description, "schema": {"type": "string"}}


def _media(operation: Operation, rendering: Rendering) -> Document:
    if rendering.media_type == JSON:
        schema = of_answers(reference(operation.response_type), output_names())
        return {"schema": schema, "example": example_response(operation)}
    if rendering.media_type == NDJSON:
        return {"schema": {"type": "string"}, "example": example_lines(operation)}
    return {"schema": {"type": "string"} | ({} if rendering.media_type.startswith("text/") else {"format": "binary"})}


def _problem_response(status: int) -> Document:
    kinds = [kind for kind in PROBLEM_TYPES if kind.status == status]
    return {
        "description": _STATUS_TEXTS[status],
        "headers": {"X-Request-Id": {"$ref": "#/components/headers/X-Request-Id"}},
        "content": {
            PROBLEM_JSON: {
                "schema": reference(Problem),
                "examples": {kind.type.rpartition("/")[2]: {"value": _example_problem(kind)} for kind in kinds},
            }
        },
    }


def _example_problem(kind: ProblemType) -> Document:
    fault = Fault(
        pointer="/build/components/0/quantity",
        detail="Number is out of range",
        expected="a number from 0 to 1,000,000; below 0 for a refund, with refund_of: what it takes back",
        found="-1",
        also_at=("/build/components/1/quantity", "/build/components/4/quantity"),
    )
    faults = (fault,) if kind is INVALID_INPUT else ()
    problem = Problem(
        type=kind.type,
        title=kind.title,
        status=kind.status,
        detail=kind.description,
        instance="/requests/5f0c9f2e4a1d4e7b",
        errors=faults,
        fault_count=sum(1 + len(each.also_at) for each in faults),
    )
    return dict(msgspec.to_builtins(problem))


if __name__ == "__main__":
    sys.stdout.buffer.write(document_json())
