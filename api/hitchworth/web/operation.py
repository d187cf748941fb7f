"""An operation of the API: a plain function with an address. The route and its description are made from this record.

The rest comes from the function: its name is the id of the operation, its docstring the summary and the description,
its parameter `request` the body, its other parameters those of the path, the query and the header, and its return type
the response. A record among the parameters stands for a parameter for each of its fields. `store` and `caller` are no
parameters of the request: the pipeline adds them.
"""

import re
from collections.abc import Callable, Iterator, Mapping
from functools import cache
from inspect import Parameter as Argument
from inspect import getdoc, signature
from typing import Annotated, Any, Literal, TypeAlias, get_args, get_origin, get_type_hints

from msgspec import NODEFAULT, Meta, Struct
from msgspec.structs import fields

from hitchworth.model.caller import Scope
from hitchworth.operations.evidence import FileContent
from hitchworth.operations.renderings import AS_JSON, JSON, Rendering
from hitchworth.operations.tables import ResultTable
from hitchworth.validation import takes_document, without_null
from hitchworth.web.deprecation import Deprecation

Method: TypeAlias = Literal["GET", "POST", "PUT", "PATCH", "DELETE"]
Cache: TypeAlias = Literal["never", "private", "public"]
"""Who may keep a response, and how long.

never: nobody
private: the caller, who asks every time whether it has changed
public: anybody, for an hour: it changes only with the server
"""

REQUEST = "request"
"""The name of the parameter that takes the body."""
SERVER = "server"
"""The name of the parameter that takes the state of the server."""

SENDER = "sender"
"""The name of the parameter that takes what sends messages to webhooks."""
UPLOAD = "upload"
"""The name of the parameter that takes a file which is received apart from the rest: larger than other bodies."""

WORKSHOP = "workshop"
"""The name of the parameter that takes the workshop of the settings."""
ADDRESS = "address"
"""The name of the parameter that takes the address under which the server was asked, without a slash at its end."""
DECIMAL = "decimal"
"""The name of the parameter that says which decimal mark a spreadsheet has."""

FIRST_LINE = "first_line"
"""The name of the parameter that says which number the first line of what streams has."""

FORMAT_NAMES: Mapping[str, str] = {
    "application/json": "JSON",
    "application/pdf": "PDF",
    "application/toml": "TOML",
    "application/vnd.oasis.opendocument.spreadsheet": "ODS",
    "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet": "XLSX",
    "application/x-ndjson": "NDJSON",
    "application/yaml": "YAML",
    "image/heic": "HEIC",
    "image/jpeg": "JPEG",
    "image/png": "PNG",
    "image/webp": "WebP",
    "text/calendar": "iCalendar",
    "text/csv": "CSV",
    "text/tab-separated-values": "TSV",
}
"""What people call the formats of files."""

CONTENT_SECURITY_POLICY = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; font-src data:"
"""A page in a response loads nothing and runs nothing."""

STORE, CALLER, SHARED = "store", "caller", "shared"
"""The names of the parameters that take the store, who asks, and what a share link opens."""
LINK = "link"
"""The part of a path that is a share link."""

STREAM = ("instance", "max_bytes")
"""The names of the parameters of what streams: the request to which its lines belong, and how long they may be."""
_NOT_SENT = (REQUEST, UPLOAD, SERVER, ADDRESS, STORE, CALLER, SHARED, SENDER, WORKSHOP, *STREAM)

MERGE_PATCH = "application/merge-patch+json"

HEADERS: Mapping[str, str] = {"if_match": "If-Match", "idempotency_key": "Idempotency-Key"}
"""The parameters that are headers."""


class Parameter(Struct, frozen=True, kw_only=True):
    """A parameter of the path, the query or the header."""

    name: str
    """Its name in the request."""
    argument: str
    """The parameter of the function that takes it."""
    record: type[Struct] | None = None
    """The record of which it is a field."""
    field: str
    place: Literal["path", "query", "header"]
    kind: Any
    description: str
    example: Any = None
    default: Any = None
    required: bool = False

    @property
    def item_kind(self) -> Any:
        """The type of each value of a parameter that may be repeated; None for any other."""
        kind = get_args(self.kind)[0] if get_origin(self.kind) is Annotated else self.kind
        return get_args(kind)[0] if get_origin(kind) is tuple else None


class Links(Struct, frozen=True, kw_only=True):
    """Operations that can follow one with what it was asked and what it answered.

    If-Match is not given: where an answer has an ETag, it is that of what the next operation changes.
    """

    given: Mapping[str, str]
    """Parameters of each, as runtime expressions (OpenAPI 3.1.0, section 4.8.20.4)."""
    to: tuple[Callable[..., Any], ...]
    """Their functions."""


class Operation(Struct, frozen=True, kw_only=True):
    """One method of one address."""

    method: Method
    path: str
    tag: str
    function: Callable[..., Any]
    renderings: tuple[Rendering, ...] = (AS_JSON,)
    """The formats of the response. The first is the default."""
    tables: tuple[ResultTable, ...] = ()
    """The tables in the result, for the formats that are tables. The first is the default."""
    status: int = 200
    """The status of a response without a problem."""
    is_repeated: Callable[[Any], bool] | None = None
    """Whether what a result tells of was there already: its status is 200 then."""
    cache: Cache = "never"
    headers: Mapping[str, Callable[[Any], str | None]] = {}
    """Headers of the response, each from the result; a header that is None is left out."""
    scope: Scope | None = None
    """What the caller must be allowed to do. None: anybody may ask."""
    body: Any = None
    """The type of the body, where the function takes its bytes."""
    media_type: str = JSON
    """The media type of the body."""
    files: tuple[str, ...] = ()
    """The media types of the files that may be the body, where it is a file."""
    rows: type[Struct] | None = None
    """What a row of the file is, where it may be an array in JSON as well."""
    content_security_policy: str = CONTENT_SECURITY_POLICY
    """What a response that is a page may load and run."""
    streams: bool = False
    """The body is lines that are answered while the next arrive; the function takes them as they come."""
    cost: Callable[[Any], float] | None = None
    """Estimates from the request what computing takes, in lines valued. None: next to nothing."""
    waits: bool = False
    """The function waits for a database, a disk or others, so it runs in a thread if not in a process of its own."""
    probe: bool = False
    """Asked by what watches the server: answered at any load, and to anybody where it has no scope."""
    further_statuses: tuple[int, ...] = ()
    """Statuses of problems that do not follow from its parameters, its body and its scope."""
    takes_rest: bool = False
    """The last parameter of the path takes the rest of it: it may have slashes in it."""
    links: tuple[Links, ...] = ()
    """What can be asked next."""
    example: str = ""
    """The name of the example body, a file in examples/."""
    deprecation: Deprecation | None = None
    """What its answers and its description say, where it is to go away."""

    @property
    def operation_id(self) -> str:
        return self.function.__name__

    @property
    def summary(self) -> str:
        return self._documentation[0].rstrip(".")

    @property
    def description(self) -> str:
        return " ".join(" ".join(self._documentation[1:]).split())

    @property
    def request_type(self) -> Any:
        """The type of the body; None for an operation without one."""
        return bytes if self.streams or self.takes_upload else self.body or _hints(self.function).get(REQUEST)

    @property
    def reads_body(self) -> bool:
        """Whether the function takes the bytes of the body."""
        return self.body is not None

    @property
    def is_kept(self) -> bool:
        """Whether it needs a store."""
        return STORE in _hints(self.function)

    @property
    def changes(self) -> bool:
        """Whether it changes what is kept."""
        return self.is_kept and self.method != "GET"

    @property
    def may_leave(self) -> bool:
        """Whether a process of its own can compute it: it needs nothing that only the process of the server has.

        What changes what is kept stays: it waits for other writers, and is not stopped in the middle.
        """
        needs_process = self.needs_server or self.needs_sender or self.takes_upload or self.streams or self.probe
        return not (needs_process or self.changes or (self.gives_file and self.cost is None))

    @property
    def takes_document(self) -> bool:
        """The body is made from a document, so it may be of an older format, or a build alone."""
        return takes_document(self.request_type)

    @property
    def takes_file(self) -> bool:
        """Whether the body is a file as it is, not JSON."""
        return self.request_type is bytes

    @property
    def takes_upload(self) -> bool:
        """Whether the body is a file that is received apart from the rest, or a form with one."""
        return UPLOAD in _hints(self.function)

    @property
    def gives_file(self) -> bool:
        """Whether the response is a file as it is kept: its media type is that of the file."""
        return self.response_type is FileContent

    @property
    def response_type(self) -> Any:
        return _hints(self.function)["return"]

    @property
    def is_shared(self) -> bool:
        """Whether a share link in the path takes the place of a key."""
        return SHARED in _hints(self.function)

    @property
    def is_open(self) -> bool:
        """Whether keys do not matter, so that a wrong one does no harm."""
        return (self.probe and self.scope is None) or self.is_shared

    @property
    def takes_caller(self) -> bool:
        """Whether the function is told who asks."""
        return CALLER in _hints(self.function)

    @property
    def takes_address(self) -> bool:
        """Whether the function is told the address under which the server was asked."""
        return ADDRESS in _hints(self.function)

    @property
    def needs_server(self) -> bool:
        """The function is told the state of the server."""
        return SERVER in _hints(self.function)

    @property
    def needs_sender(self) -> bool:
        """The function sends messages to webhooks, or asks where they may go."""
        return SENDER in _hints(self.function)

    @property
    def needs_workshop(self) -> bool:
        """The function is told who quotes, where a quote does not say it."""
        return WORKSHOP in _hints(self.function)

    @property
    def selects_fields(self) -> bool:
        """Whether its answer is large enough to ask for parts of it: it has tables in it."""
        return bool(self.tables) and any(rendering.media_type == JSON for rendering in self.renderings)

    @property
    def parameters(self) -> tuple[Parameter, ...]:
        """Those of the function. A share link in the path is none: what it opens takes its place."""
        return _parameters(self.function, self.path)

    def arguments(self, values: Mapping[Parameter, Any]) -> dict[str, Any]:
        """Return the arguments of the function for the values of its parameters, records put together."""
        arguments = {parameter.argument: value for parameter, value in values.items() if parameter.record is None}
        records: dict[str, tuple[type[Struct], dict[str, Any]]] = {}
        for parameter, value in values.items():
            if parameter.record is not None:
                records.setdefault(parameter.argument, (parameter.record, {}))[1][parameter.field] = value
        return arguments | {name: record(**fields) for name, (record, fields) in records.items()}

    @property
    def _documentation(self) -> tuple[str, ...]:
        return tuple((getdoc(self.function) or "").split("\n\n"))


@cache
def _parameters(function: Callable[..., Any], path: str) -> tuple[Parameter, ...]:
    in_path = set(re.findall(r"{(\w+)}", path)) - {LINK}
    arguments = signature(function).parameters.values()
    taken = (argument for argument in arguments if argument.name not in _NOT_SENT)
    return tuple(
        parameter
        for argument in taken
        for parameter in _parameters_of(argument, _hints(function)[argument.name], argument.name in in_path)
    )


@cache
def _hints(function: Callable[..., Any]) -> dict[str, Any]:
    return get_type_hints(function, include_extras=True)


def _parameters_of(argument: Argument, kind: Any, in_path: bool) -> Iterator[Parameter]:
    if isinstance(kind, type) and issubclass(kind, Struct):
        for field in fields(kind):
            default = None if field.default is NODEFAULT else field.default
            yield _parameter(
                field.name, field.type, argument=argument.name, record=kind, default=default, required=field.required
            )
    else:
        default = None if argument.default is Argument.empty else argument.default
        yield _parameter(argument.name, kind, argument=argument.name, default=default, in_path=in_path)


def _parameter(name: str, kind: Any, *, in_path: bool = False, required: bool = False, **given: Any) -> Parameter:
    metas = [meta for meta in get_args(kind)[1:] if isinstance(meta, Meta)] if get_origin(kind) is Annotated else []
    header = HEADERS.get(name)
    return Parameter(
        name=header or name.rstrip("_"),  # `from` cannot be the name of a field
        field=name,
        place="path" if in_path else "header" if header else "query",
        kind=without_null(kind),
        description=next((meta.description for meta in reversed(metas) if meta.description), ""),
        example=next((meta.examples[0] for meta in reversed(metas) if meta.examples), None),
        required=in_path or required,
        **given,
    )
