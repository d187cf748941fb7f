"""The types of the model, taken apart: the members of a union, and what a reader is told to write there."""

from datetime import date
from decimal import Decimal
from functools import cache
from types import NoneType, UnionType
from typing import Annotated, Any, Literal, TypeAlias, Union, get_args, get_origin

from msgspec import Struct, structs

from hitchworth.model.numbers import Bounds

Kind: TypeAlias = Any
"""A type or an annotation, as msgspec takes it."""

_WORDS: dict[Kind, str] = {
    bool: "true or false",
    int: "a whole number",
    float: "a number",
    str: "text",
    Decimal: 'a decimal number, best as text: "12.50"',
    date: "a date: YYYY-MM-DD",
    dict: "an object",
    tuple: "an array",
    NoneType: "null",
}

fields = cache(structs.fields)
"""The fields of a record; msgspec works them out anew at each call."""


def origin(kind: Kind) -> Kind:
    """What a parametrised kind is built on: tuple of tuple[str, ...]; None when it is not parametrised."""
    return get_origin(kind)


def bare(kind: Kind) -> Kind:
    """The kind without its annotations."""
    return bare(get_args(kind)[0]) if origin(kind) is Annotated else kind


def members(kind: Kind) -> tuple[Kind, ...]:
    """The members of a union; of any other kind the kind itself. Annotations of a member stay on it."""
    inner = bare(kind)
    if origin(inner) in (Union, UnionType):
        return tuple(member for part in get_args(inner) for member in members(part))
    return (kind,)


def is_record(kind: Kind) -> bool:
    """Whether the kind is a Struct."""
    return isinstance(kind, type) and issubclass(kind, Struct)


def bounds_of(kind: Kind) -> Bounds | None:
    """The bounds that an annotation of the kind states."""
    if origin(kind) is not Annotated:
        return next((found for part in members(kind) if part is not kind and (found := bounds_of(part))), None)
    inner, *metas = get_args(kind)
    stated = (meta.extra["bounds"] for meta in metas if getattr(meta, "extra", None) and "bounds" in meta.extra)
    return next(stated, None) or bounds_of(inner)


def expected(kind: Kind) -> str:
    """What the kind admits, in words."""
    return " or ".join(dict.fromkeys(_word(member) for member in map(bare, members(kind))))


def _word(kind: Kind) -> str:
    if origin(kind) is Literal:
        return f"one of {', '.join(map(str, get_args(kind)))}"
    return _WORDS.get(origin(kind) or kind, "an object")
