"""Generated requests, right and wrong, against the real application: it keeps what its description promises.

A test per operation, with the key that it needs, whose cases are generated when it runs: there are thousands of them,
and to collect the tests must not generate any. Then requests in a row, along the links of the description, with keys
and without. What is wrong is made once, from every part of the schemas in turn; what is right is made at random.

All checks are on. What is left out of one, or allowed beside it, has its reason where it is said.
"""

import re
from collections.abc import Iterator
from itertools import chain
from typing import Any, get_args

import hypothesis
import msgspec
import pytest
import schemathesis
from hypothesis import strategies as st
from litestar import Litestar
from litestar.testing import TestClient
from schemathesis.checks import CheckFunction
from schemathesis.config import SchemathesisConfig
from schemathesis.core.result import Ok
from schemathesis.core.transport import Response
from schemathesis.pytest.lazy import get_all_tests
from schemathesis.specs.openapi.checks import ignored_auth, negative_data_rejection, use_after_free
from schemathesis.specs.openapi.stateful import OpenAPIStateMachine

from hitchworth.model.access import KeyRequest
from hitchworth.model.caller import LOCAL_CALLER, Scope
from hitchworth.model.numbers import NOTE
from hitchworth.operations.keys import new_key
from hitchworth.operations.renderings import AS_WORKBOOK, NDJSON
from hitchworth.operations.settings import Settings
from hitchworth.store.credentials import new_credential
from hitchworth.web.api import OPERATIONS as API
from hitchworth.web.app import create_app
from hitchworth.web.examples import ExampleSender, example_body
from hitchworth.web.examples.kept import EXAMPLE_LINK, example_store
from hitchworth.web.openapi import Document, document
from hitchworth.web.openapi_schemas import request_records
from hitchworth.web.operation import Operation
from hitchworth.webhooks.address import AddressRules

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
        # That nothing hangs. How fast answers are is measured by tests/benchmark, on a machine that does nothing else.
        "max_response_time": 60,
    }
    generation = {"max-examples": 8, "deterministic": True}
    phases = {
        "coverage": {"generation": {"mode": "all"}},
        # What is wrong at random is what the phase before made in turn, or is thrown away because it came out right.
        "fuzzing": {"generation": {"mode": "positive"}},
        "stateful": {"generation": {"mode": "positive"}, "inference": {"algorithms": []}},
    }
    return SchemathesisConfig.from_dict({"generation": generation, "phases": phases, "checks": checks})


WORKBOOKS = [rendering.media_type for rendering in AS_WORKBOOK]

CONFIG = config()
"""What a schema cannot say (a currency that exists, ids that are there) is answered with 422."""

WORKSPACE_CONFIG = config("400", "401", "409")
"""A deleted workspace has no key any more."""

CELL_CONFIG = config("400")
"""What a schema cannot say is a fault of a parameter: of cells, which have no body, of a currency, of two days."""
REFUSED_BY_PARAMETER = ("/v1/cells", "/v1/macros", "/v1/sheet-values", "/v1/portfolio")

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


PHOTO = next(example_body(operation) for operation in API if operation.example == "plate.jpg")
schemathesis.openapi.media_type("image/jpeg", st.one_of(st.just(PHOTO), st.binary(max_size=100)))


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


def where_keys_are_required(described: Document) -> Document:
    """The description as it is of a server that asks for keys: without saying that none is needed on loopback."""
    for operations in described["paths"].values():
        for operation in operations.values():
            operation["security"] = [requirement for requirement in operation["security"] if requirement]
    return described | {"security": [{"key": []}]}


DESCRIPTION = where_keys_are_required(narrowed(with_plain_statuses()))
OPERATIONS = [f"{method.upper()} {path}" for path, methods in DESCRIPTION["paths"].items() for method in methods]


def application(*, with_keys: bool) -> tuple[Litestar, dict[str, str]]:
    """An application with an example store of its own, and the headers of a caller who may do everything."""
    store = example_store()
    app = create_app(store, Settings(require_keys=with_keys, rate_limit=0))
    app.state["sender"] = ExampleSender(AddressRules(), 1)  # no network
    wanted = KeyRequest(name="Generated requests", scope="admin")
    key = new_key(store, LOCAL_CALLER.workspace, LOCAL_CALLER.actor, wanted).key
    return app, {"Authorization": f"Bearer {key}"} if with_keys else {}


@pytest.mark.parametrize("name", OPERATIONS)
def test_the_application_keeps_its_description(name: str) -> None:
    settings = (
        WORKSPACE_CONFIG
        if name == "DELETE /v1/workspace"
        else CELL_CONFIG
        if any(part in name for part in REFUSED_BY_PARAMETER)
        else KEPT_CONFIG
        if any(part in name for part in KEPT)
        else CONFIG
    )
    described = schemathesis.openapi.from_dict(DESCRIPTION, config=settings)
    described.app, headers = application(with_keys=True)
    asked_for_key = False

    def check(case: schemathesis.Case[Any]) -> None:
        """One case of the operation: the application answers as it is described.

        That a key is needed is shown once, by the first request that is granted, without it and with a wrong one.
        """
        nonlocal asked_for_key
        needs_key = bool(case.operation.definition.raw["security"])
        done: list[CheckFunction] = [ignored_auth] if asked_for_key else []
        answer = case.call_and_validate(
            headers=headers if needs_key else None, excluded_checks=[*lenient_checks(case), *done]
        )
        asked_for_key = asked_for_key or (needs_key and answer.status_code < 300)

    (generated,) = get_all_tests(schema=described.include(name=name), test_func=check, settings=None, given_kwargs=None)
    assert isinstance(generated, Ok), generated
    _, every_case = generated.ok()
    every_case()


def lenient_checks(case: schemathesis.Case[Any]) -> list[CheckFunction]:
    """The checks that say nothing about this case.

    A schema refuses an empty text where the application takes it as not given, as the description says. A body that is
    a file may hold any text, JSON too; and a wrong row of a column of cells is answered in its own line.
    """
    is_file = case.media_type not in (None, "application/json") or case.path in COLUMNS
    return [negative_data_rejection] if is_file or has_empty_text({"body": case.body}) else []


def has_empty_text(body: Any) -> bool:
    """Whether a member of an object somewhere in the body is a text of nothing but spaces."""
    if isinstance(body, dict):
        return any(has_empty_text(part) or (isinstance(part, str) and not part.strip()) for part in body.values())
    return isinstance(body, list) and any(map(has_empty_text, body))


def with_example_bodies(described: Document) -> Document:
    """The description with the parameters that must be there, and with the example for a body.

    Of requests in a row, what is generated is the row: each is generated alone above.
    """
    for operation in API:
        of_one = described["paths"][operation.path][operation.method.lower()]
        of_one["parameters"] = [parameter for parameter in of_one["parameters"] if parameter["required"]]
        if "requestBody" in of_one:
            content = of_one["requestBody"]["content"]
            media_type = next(name for name in content if not name.startswith("multipart/"))
            body = content[media_type]
            if media_type in (operation.media_type, "application/json"):
                body["schema"] = {"enum": [body["example"]]}
            of_one["requestBody"]["content"] = {media_type: body}
    return described


def without_keys(described: Document) -> Document:
    """The description as it is of a server on loopback that asks for no keys."""
    paths = {
        path: {method: operation | {"security": []} for method, operation in operations.items()}
        for path, operations in described["paths"].items()
    }
    return described | {"paths": paths, "security": []}


IN_A_ROW = with_example_bodies(msgspec.json.decode(msgspec.json.encode(DESCRIPTION)))

STATES = config("400", "409", "412", "428")
"""Of requests in a row besides: what was changed in between, and what is at another stage."""

TO_TRASH = ("trash_build", "trash_kept_quote")


@pytest.mark.parametrize("with_keys", [True, False], ids=["with keys", "on loopback"])
def test_requests_in_a_row_along_the_links(with_keys: bool) -> None:
    described = schemathesis.openapi.from_dict(IN_A_ROW if with_keys else without_keys(IN_A_ROW), config=STATES)
    described.app, _ = application(with_keys=with_keys)
    machine: Any = described.as_state_machine()
    assert issubclass(machine, OpenAPIStateMachine)
    reached: set[str] = set()

    class Row(machine):  # type: ignore[misc]
        """Some requests to an application of their own, each with what an earlier one was answered."""

        schema = described

        def setup(self) -> None:
            self.application, self.headers = application(with_keys=with_keys)
            self.trashed: set[str] = set()

        def get_call_kwargs(self, case: schemathesis.Case[Any]) -> dict[str, Any]:
            return {"app": self.application, "headers": dict(self.headers)}

        def before_call(self, case: schemathesis.Case[Any]) -> None:
            """A part that is replaced goes by the name in its address."""
            if case.method == "PUT" and isinstance(case.body, dict):
                name = list(case.path_parameters.values())[-1]
                case.body = {key: name if key in ("id", "name", "number") else part for key, part in case.body.items()}

        def validate_response(self, response: Response, case: schemathesis.Case[Any], **kwargs: Any) -> None:
            """Check the answer, but not for what it cannot show here.

            Nothing wrong is sent, but for a name that is put into an example. And what is in the trash is still read,
            and comes out again: it is not gone.
            """
            name = case.operation.definition.raw["operationId"]
            kept = {str(value) for key, value in case.path_parameters.items() if key in ("build", "quote")}
            if name in TO_TRASH:
                self.trashed |= kept
            if response.status_code < 300:
                reached.add(name)
            needs_key = with_keys and case.operation.definition.raw["security"]
            case.validate_response(
                response,
                excluded_checks=[
                    negative_data_rejection,
                    *([use_after_free] if kept & self.trashed else []),
                    *([] if needs_key else [ignored_auth]),
                ],
                headers=kwargs["headers"],
                transport_kwargs=kwargs,
                recorder=self.recorder,
            )

    Row.run(
        settings=hypothesis.settings(
            max_examples=30,
            stateful_step_count=12,
            derandomize=True,
            database=None,
            deadline=None,
            phases=[hypothesis.Phase.generate],
            suppress_health_check=list(hypothesis.HealthCheck),
        )
    )
    assert len(reached) >= 30, sorted(reached)  # else the rows end where they begin


def open_to_all() -> set[str]:
    """The operations that need no key: what is published, what watches the server, and what a share link opens."""
    return {operation.operation_id for operation in API if operation.scope is None and operation.request_type is None}


LESS: dict[str, Scope] = {"write": "read", "admin": "write"}
"""The scope just below."""

TABLE = [pytest.param(operation, id=operation.operation_id) for operation in API]


@pytest.fixture(scope="module")
def keyed() -> Iterator[tuple[TestClient[Litestar], dict[str, str]]]:
    """A server that asks for keys, and a key of each scope."""
    store = example_store()
    keys = {
        scope: new_key(store, LOCAL_CALLER.workspace, LOCAL_CALLER.actor, KeyRequest(name=scope, scope=scope)).key
        for scope in get_args(Scope)
    }
    with TestClient(create_app(store, Settings(require_keys=True, rate_limit=0))) as api:
        yield api, keys


@pytest.mark.parametrize("operation", TABLE)
def test_what_needs_a_key_is_refused_without_the_right_one(
    keyed: tuple[TestClient[Litestar], dict[str, str]], operation: Operation
) -> None:
    """Before anything else is looked at: the requests have no body, no parameters and ids of nothing."""
    api, keys = keyed
    address = re.sub(r"{\w+}", "nothing", operation.path)

    def status(key: str | None) -> int:
        headers = {} if key is None else {"Authorization": f"Bearer {key}"}
        return api.request(operation.method, address, headers=headers).status_code

    needs_key = operation.operation_id not in open_to_all()
    assert (status(None) == 401) is needs_key
    if needs_key:
        assert status(new_credential("hw").text) == 401
        assert status(EXAMPLE_LINK) == 401  # a link is no key
        assert operation.scope not in LESS or status(keys[LESS[operation.scope]]) == 403
        assert status(keys[operation.scope or "read"]) not in (401, 403)
