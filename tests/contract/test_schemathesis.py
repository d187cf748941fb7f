"""Generated requests, right and wrong, against the real application: it keeps what its description promises.

A test per operation, whose cases are generated when it runs: there are thousands of them, and to collect the tests
must not generate any.
"""

from itertools import chain
from typing import Any

import msgspec
import pytest
import schemathesis
from schemathesis.checks import CheckFunction
from schemathesis.config import SchemathesisConfig
from schemathesis.core.result import Ok
from schemathesis.pytest.lazy import get_all_tests
from schemathesis.specs.openapi.checks import negative_data_rejection

from hitchworth.model.numbers import NOTE
from hitchworth.operations.renderings import AS_WORKBOOK, NDJSON
from hitchworth.web.api import OPERATIONS as API
from hitchworth.web.app import create_app
from hitchworth.web.examples.kept import example_store
from hitchworth.web.openapi import Document, document
from hitchworth.web.openapi_schemas import request_records

REFUSED = ["400", "401", "403", "404", "405", "406", "409", "412", "415", "422", "428", "429"]
"""What may answer a request that does not fit the description.

412 among them: preconditions are looked at before the body is read (RFC 9110, section 13.2.1).
"""


def config(*expected: str) -> SchemathesisConfig:
    """The configuration for operations that may answer a request that fits the description with these statuses."""
    checks = {
        "positive_data_acceptance": {"expected-statuses": ["2xx", "404", "422", *expected]},
        "missing_required_header": {"expected-statuses": ["4xx"]},
        "negative_data_rejection": {"expected-statuses": REFUSED},
    }
    return SchemathesisConfig.from_dict({"generation": {"max-examples": 25, "deterministic": True}, "checks": checks})


WORKBOOKS = [rendering.media_type for rendering in AS_WORKBOOK]

CONFIG = config()
"""What a schema cannot say (a currency that exists, ids that are there) is answered with 422."""

CELL_CONFIG = config("400")
"""What a schema cannot say is a fault of a parameter: of cells, which have no body, and of a currency."""
REFUSED_BY_PARAMETER = ("/v1/cells", "/v1/macros", "/v1/sheet-values")

KEPT_CONFIG = config("400", "409", "412")
"""Of kept builds besides: the cursor is of another list, the build is in the trash, or it has been changed."""


COLUMNS = tuple(operation.path for operation in API if operation.rows is not None)
KEPT = (
    "/v1/access-log",
    "/v1/attention",
    "/v1/builds",
    "/v1/kept-quotes",
    "/v1/keys",
    "/v1/serial-numbers",
    "/v1/webhooks",
    "/v1/workspace",
)


@schemathesis.serializer(*WORKBOOKS, NDJSON)
def as_file(_context: Any, value: Any) -> bytes:
    """Send what was generated for a workbook as it is: hardly ever a workbook."""
    return value if isinstance(value, bytes) else str(value).encode()


def as_it_is_read() -> Document:
    """The description with what the server takes and answers beside what is described for typed clients.

    Numbers, values of several types, and the tables of an answer.
    """
    described = document()
    records = msgspec.json.decode(msgspec.json.encode(request_records()))
    for name, record in records.items():
        if name in described["components"]["schemas"]:
            described["components"]["schemas"][name]["properties"] = read(record["properties"])
    described["components"]["schemas"] |= {
        name: read(record) for name, record in records.items() if name not in described["components"]["schemas"]
    }
    for operation in API:
        responses = described["paths"][operation.path][operation.method.lower()]["responses"]
        for rendering in operation.renderings:
            for status in responses.keys() & {"200", "201"}:
                responses[status]["content"].setdefault(rendering.media_type, {"schema": {}})
    return described


def read(schema: Any) -> Any:
    """The schema without notes and defaults, and with numbers where a decimal may be one."""
    if isinstance(schema, list):
        return [read(part) for part in schema]
    if not isinstance(schema, dict):
        return schema
    plain = {name: read(part) for name, part in schema.items() if name not in {NOTE, "default"}}
    return plain | {"type": ["string", "number"]} if plain.get("format") == "decimal" and "maximum" in plain else plain


def with_plain_statuses() -> Document:
    """The description without two parameters, which have tests of their own.

    faults: turns every problem into a 200
    fields: leaves out fields that the description of the whole answer requires
    """
    described = as_it_is_read()
    for operations in described["paths"].values():
        for operation in operations.values():
            operation["parameters"] = [
                part for part in operation["parameters"] if part["name"] not in ("faults", "fields")
            ]
    return described


def narrowed(described: Document) -> Document:
    """The description with addresses of things that are there, or are not, instead of any text; and so for If-Match.

    Else hardly a request would meet one of the example builds as it is.
    """
    for path, operations in described["paths"].items():
        for parameter in chain.from_iterable(operation["parameters"] for operation in operations.values()):
            if parameter["name"] == "link":
                parameter["schema"] = {"type": "string", "enum": [parameter["example"], "nothing"]}
        if path.startswith(("/v1/builds/", "/v1/cells/builds/", "/v1/kept-quotes/")):
            for parameter in chain.from_iterable(operation["parameters"] for operation in operations.values()):
                if parameter["in"] == "path" and isinstance(parameter.get("example"), str):
                    parameter["schema"] = {"type": "string", "enum": [parameter["example"], "nothing"]}
                if parameter["name"] == "If-Match":
                    parameter["schema"] = {"type": "string", "enum": ["*", '"nothing"']}
    return described


DESCRIPTION = narrowed(with_plain_statuses())
OPERATIONS = [f"{method.upper()} {path}" for path, methods in DESCRIPTION["paths"].items() for method in methods]


@pytest.mark.parametrize("name", OPERATIONS)
def test_the_application_keeps_its_description(name: str) -> None:
    settings = (
        CELL_CONFIG
        if any(part in name for part in REFUSED_BY_PARAMETER)
        else KEPT_CONFIG
        if any(part in name for part in KEPT)
        else CONFIG
    )
    described = schemathesis.openapi.from_dict(DESCRIPTION, config=settings)
    described.app = create_app(example_store())
    (generated,) = get_all_tests(schema=described.include(name=name), test_func=check, settings=None, given_kwargs=None)
    assert isinstance(generated, Ok), generated
    _, every_case = generated.ok()
    every_case()


def check(case: schemathesis.Case[Any]) -> None:
    """One case of the operation: the application answers as it is described.

    A schema refuses an empty text where the application takes it as not given, as the description says. A body that is
    a file may hold any text, JSON too; and a wrong row of a column of cells is answered in its own line.
    """
    is_file = case.media_type not in (None, "application/json") or case.path in COLUMNS
    lenient: list[CheckFunction] = [negative_data_rejection] if is_file or has_empty_text({"body": case.body}) else []
    case.call_and_validate(excluded_checks=lenient)


def has_empty_text(body: Any) -> bool:
    """Whether a member of an object somewhere in the body is a text of nothing but spaces."""
    if isinstance(body, dict):
        return any(has_empty_text(part) or (isinstance(part, str) and not part.strip()) for part in body.values())
    return isinstance(body, list) and any(map(has_empty_text, body))
