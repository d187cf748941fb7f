"""An operation of the API: a plain function with an address. The route and its description are made from this record.

The rest comes from the function: its name is the id of the operation, its docstring the summary and the description,
its parameter `request` the body, its other parameters those of the path and the query, and its return type the
response.
"""

import re
from collections.abc import Callable
from functools import cache
from inspect import Parameter as Argument
from inspect import getdoc, signature
from typing import Annotated, Any, Literal, TypeAlias, get_args, get_origin, get_type_hints

from msgspec import Meta, Struct

from hitchworth.model.document import Document
from hitchworth.operations.renderings import AS_JSON, Rendering
from hitchworth.validation import without_null

Method: TypeAlias = Literal["GET", "POST"]
REQUEST = "request"
"""The name of the parameter that takes the body."""


class Parameter(Struct, frozen=True, kw_only=True):
    """A parameter of the path or the query."""

    name: str
    place: Literal["path", "query"]
    kind: Any
    description: str
    example: Any = None
    default: Any = None


class Operation(Struct, frozen=True, kw_only=True):
    """One method of one address."""

    method: Method
    path: str
    tag: str
    function: Callable[..., Any]
    renderings: tuple[Rendering, ...] = (AS_JSON,)
    """The formats of the response. The first is the default."""
    cacheable: bool = False
    """The response is the same until the server is updated, so clients may cache it."""
    run_in_thread: bool = False
    """The function takes long enough to hold up other requests, so it runs in a thread."""
    example: str = ""
    """The name of the example body, a file in examples/."""

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
        return _hints(self.function).get(REQUEST)

    @property
    def takes_document(self) -> bool:
        """The body is made from a document, so it may be of an older format, or a build alone."""
        kind = self.request_type
        return isinstance(kind, type) and issubclass(kind, Document)

    @property
    def takes_file(self) -> bool:
        """Whether the body is a file as it is, not JSON."""
        return self.request_type is bytes

    @property
    def response_type(self) -> Any:
        return _hints(self.function)["return"]

    @property
    def parameters(self) -> tuple[Parameter, ...]:
        return _parameters(self.function, self.path)

    @property
    def _documentation(self) -> tuple[str, ...]:
        return tuple((getdoc(self.function) or "").split("\n\n"))


@cache
def _parameters(function: Callable[..., Any], path: str) -> tuple[Parameter, ...]:
    in_path = set(re.findall(r"{(\w+)}", path))
    hints = _hints(function)
    return tuple(
        _parameter(argument, hints[argument.name], argument.name in in_path)
        for argument in signature(function).parameters.values()
        if argument.name != REQUEST
    )


@cache
def _hints(function: Callable[..., Any]) -> dict[str, Any]:
    return get_type_hints(function, include_extras=True)


def _parameter(argument: Argument, kind: Any, in_path: bool) -> Parameter:
    metas = [meta for meta in get_args(kind)[1:] if isinstance(meta, Meta)] if get_origin(kind) is Annotated else []
    return Parameter(
        name=argument.name,
        place="path" if in_path else "query",
        kind=without_null(kind),
        description=next((meta.description for meta in metas if meta.description), ""),
        example=next((meta.examples[0] for meta in metas if meta.examples), None),
        default=None if argument.default is Argument.empty else argument.default,
    )
