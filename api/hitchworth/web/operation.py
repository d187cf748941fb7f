"""What the API can do: an operation is a plain function with its address. Route and document come from this record.

The function says the rest: its name is the operation's id, its docstring the summary and the description, its parameter
`request` the body, its other parameters those of the address, and what it returns the answer.
"""

import re
from collections.abc import Callable
from functools import cache
from inspect import Parameter as Argument
from inspect import getdoc, signature
from typing import Annotated, Any, Literal, TypeAlias, get_args, get_origin, get_type_hints

from msgspec import Meta, Struct

from hitchworth.validation import without_null
from hitchworth.web.content_negotiation import AS_JSON, Rendering

Method: TypeAlias = Literal["GET", "POST"]
BODY = "request"


class Parameter(Struct, frozen=True, kw_only=True):
    """A part of the address that the function takes. One that is left out is at its default."""

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
    """The formats of the answer; the first is the one for callers that do not mind."""
    cacheable: bool = False
    """The answer stays the same as long as the server is not renewed, so it may be kept."""
    run_in_thread: bool = False
    """It works long enough to be worth a thread of its own."""
    example: str = ""
    """The file under examples/ that holds a body."""

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
    def body(self) -> Any:
        """The type of the body; None when there is none."""
        return _hints(self.function).get(BODY)

    @property
    def answer(self) -> Any:
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
        if argument.name != BODY
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
