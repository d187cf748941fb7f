"""What the source of the model says about its types, for the API description and for the records of the client.

A shared type adds a note to the description of its fields. An enumeration is explained by the docstring below its type
alias, with a line for each value:

    Rounding: TypeAlias = Literal["half_up", "half_even"]
    \"\"\"How an amount exactly halfway between two minor units is rounded.

    half_up: away from zero, 0.125 is 0.13
    half_even: to the even minor unit, 0.125 is 0.12
    \"\"\"

A line that begins with no value continues the one before it.
"""

import ast
import inspect
import typing
from collections.abc import Iterable, Iterator, Mapping
from functools import cache
from importlib import import_module
from pkgutil import iter_modules
from types import ModuleType
from typing import NamedTuple, TypeAlias

from hitchworth import model
from hitchworth.reference import definitions, facts, price_indexes, protections, questions, schedules, wages
from hitchworth.reports import catalog, content, letters, quote_catalog
from hitchworth.web import problems, service

Explanations: TypeAlias = Mapping[object, str]
"""The meaning of each value."""


class Alias(NamedTuple):
    """A type alias that a module declares."""

    kind: object
    name: str
    text: str


def modules() -> tuple[ModuleType, ...]:
    """Return the modules that declare the types of the API: the model and the homes of the other records."""
    names = (f"{model.__name__}.{found.name}" for found in iter_modules(model.__path__))
    tables = (definitions, facts, price_indexes, protections, questions, schedules, wages)
    return (*map(import_module, names), *tables, problems, service, content, catalog, letters, quote_catalog)


def aliases(module: ModuleType) -> Iterator[Alias]:
    """Yield the type aliases of a module, each with its docstring."""
    texts = documented(ast.parse(inspect.getsource(module)).body)
    for name, kind in vars(module).get("__annotations__", {}).items():
        if kind is typing.TypeAlias:
            yield Alias(vars(module)[name], name, texts.get(name, ""))


def documented(body: Iterable[ast.stmt]) -> dict[str, str]:
    """Return the docstrings below the annotated names of a module, by name."""
    texts: dict[str, str] = {}
    name = ""
    for statement in body:
        match statement:
            case ast.AnnAssign(target=ast.Name(id=found)):
                name = found
            case ast.Expr(value=ast.Constant(value=str(text))) if name:
                texts[name], name = inspect.cleandoc(text), ""
            case _:
                name = ""
    return texts


def with_notes(description: str, notes: Iterable[str]) -> str:
    """Return the description of a field with the notes of its type, before what it says about null."""
    text, null, more = description.partition(" Null: ")
    return " ".join(filter(None, (text, *notes))) + null + more


@cache
def explanations() -> Mapping[frozenset[object], Explanations]:
    """Return the explanations of every enumeration, by the set of its values.

    Raises ValueError where two enumerations of the same values are explained differently.
    """
    found: dict[frozenset[object], Explanations] = {}
    for alias in (alias for module in modules() for alias in aliases(module)):
        if typing.get_origin(alias.kind) is typing.Literal:
            values = typing.get_args(alias.kind)
            explained = explained_values(values, alias.text)
            if found.setdefault(frozenset(values), explained) != explained:
                raise ValueError(f"the values of {alias.name} are explained in two ways")
    return found


def explained_values(values: Iterable[object], text: str) -> Explanations:
    """Return the meaning of each value that the docstring explains."""
    starts = {f"{value}: ": value for value in values}
    explained: dict[object, str] = {}
    current = None
    for line in text.splitlines():
        start = next((start for start in starts if line.startswith(start)), None)
        if start is not None:
            current = starts[start]
            explained[current] = line.removeprefix(start)
        elif current is not None:
            explained[current] = f"{explained[current]} {line.strip()}".rstrip()
    return explained
