"""The service itself: its addresses, its health, and its problem types."""

from importlib.metadata import version
from logging import getLogger
from typing import Annotated

from msgspec import Meta, Struct

from hitchworth.evidence.text_reading import reads_text
from hitchworth.operations.readiness import Readiness, load_reference_data
from hitchworth.operations.renderings import AS_JSON, Rendering
from hitchworth.store import Store
from hitchworth.store.errors import StoreError
from hitchworth.web import problems
from hitchworth.web.operation import Operation
from hitchworth.web.page import CONTENT_SECURITY_POLICY, page_html
from hitchworth.web.problem_pages import AS_PAGE
from hitchworth.web.problem_pages import CONTENT_SECURITY_POLICY as PROBLEM_PAGE_POLICY
from hitchworth.web.problems import PROBLEM_TYPES, ProblemType, RequestError
from hitchworth.web.server_state import ServerState

_log = getLogger("hitchworth.web")

VERSION = version("hitchworth")
CAUTION = (
    "Definitions and policy terms vary; the registering authority and the insurer decide. "
    "This is not legal or insurance advice."
)


class Health(Struct, frozen=True, kw_only=True):
    """The state of the server."""

    status: Annotated[str, Meta(description="Always ok; a server that is not running does not answer.")]
    version: Annotated[str, Meta(description="Version of the server.")]


class Service(Struct, frozen=True, kw_only=True):
    """The addresses of the service."""

    name: Annotated[str, Meta(description="Name of the service.")]
    version: Annotated[str, Meta(description="Version of the server.")]
    purpose: Annotated[str, Meta(description="What it is for, in a sentence.")]
    documentation_path: Annotated[str, Meta(description="Path of the page to read and try the API.")]
    openapi_path: Annotated[str, Meta(description="Path of the API description (OpenAPI).")]
    health_path: Annotated[str, Meta(description="Path that says whether the server is running.")]
    readiness_path: Annotated[str, Meta(description="Path that says whether the server should be sent requests.")]
    keeps_builds: Annotated[bool, Meta(description="Whether the server has a database, so that it keeps builds.")]
    reads_plates: Annotated[
        bool, Meta(description="Whether the server reads the numbers in photos: whether it has the extra `ocr`.")
    ]
    caution: Annotated[str, Meta(description="What to keep in mind before relying on its answers.")]


def get_service(server: ServerState) -> Service:
    """Get the addresses of the service.

    A browser, which prefers HTML, gets the page for people.
    """
    return Service(
        name="Hitchworth",
        version=VERSION,
        purpose="Replacement value, class and insurance gap of a self-built camping trailer.",
        documentation_path="/docs",
        openapi_path="/openapi.json",
        health_path="/health",
        readiness_path="/ready",
        keeps_builds=server.store is not None,
        reads_plates=reads_text(),
        caution=CAUTION,
    )


def get_health() -> Health:
    """Check that the server is running."""
    return Health(status="ok", version=VERSION)


def get_readiness(server: ServerState) -> Readiness:
    """Check that the server should be sent requests.

    Its reference data is loaded, its processes are started, its database can be read and has the tables of this
    release, and it was not asked to stop. Otherwise the answer is a problem with status 503, whose detail says what is
    missing. A server that is alive but not ready needs no restart.
    """
    if server.draining:
        raise RequestError(problems.NOT_READY, "The server is about to stop.", headers={"retry-after": "5"})
    load_reference_data()
    if server.workers is not None and not server.workers.is_started:
        raise RequestError(problems.NOT_READY, "The server is starting its processes.", headers={"retry-after": "1"})
    if server.store is not None:
        _require_usable(server.store)
    return Readiness(status="ready")


def _require_usable(store: Store) -> None:
    try:
        store.check()
    except StoreError as error:
        _log.error("not ready: %s", type(error).__name__)
        detail = "The database cannot be read, or its tables are not those of this release."
        raise RequestError(problems.NOT_READY, detail, headers={"retry-after": "5"}) from None


def get_problem_type(
    name: Annotated[str, Meta(description="The last part of the `type` of a problem.", examples=["invalid-input"])],
) -> ProblemType:
    """Explain a problem type.

    A browser, which prefers HTML, gets a page. The `type` of a problem is its address on this server. The header Link
    of the problem has it as a relative address (rel=help), which leads there behind a proxy with a prefix, too.
    """
    kind = next((kind for kind in PROBLEM_TYPES if kind.type == f"/problems/{name}"), None)
    if kind is None:
        raise RequestError(problems.NOT_FOUND, "There is no problem type with this name.")
    return kind


OPERATIONS = (
    Operation(
        method="GET",
        path="/",
        tag="Service",
        function=get_service,
        renderings=(AS_JSON, Rendering("html", "text/html", lambda _: page_html())),
        content_security_policy=CONTENT_SECURITY_POLICY,
        cache="public",
    ),
    Operation(method="GET", path="/health", tag="Service", function=get_health, probe=True),
    Operation(method="GET", path="/ready", tag="Service", function=get_readiness, probe=True, waits=True),
    Operation(
        method="GET",
        path="/problems/{name}",
        tag="Service",
        function=get_problem_type,
        renderings=(AS_JSON, *AS_PAGE),
        content_security_policy=PROBLEM_PAGE_POLICY,
        cache="public",
    ),
)
