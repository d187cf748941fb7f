"""The types of the model, taken apart: the members of a union, and what a reader is told to write there."""

from collections.abc import Callable
from datetime import date
from decimal import Decimal
from functools import cache
from types import NoneType, UnionType
from typing import Annotated, Any, Literal, TypeAlias, Union, get_args, get_origin

from msgspec import Meta, Struct, structs

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

_UNITS: dict[Kind, str] = {str: "characters", tuple: "items", dict: "entries"}

origin: Callable[[Kind], Kind] = get_origin
"""What a parametrised kind is built on: tuple of tuple[str, ...]; None when it is not parametrised.

A kind again, which the annotation of `get_origin` does not say.
"""

fields = cache(structs.fields)
"""The fields of a record; msgspec works them out anew at each call."""


def unannotated(kind: Kind) -> Kind:
    """The kind without its annotations."""
    return unannotated(get_args(kind)[0]) if origin(kind) is Annotated else kind


def members(kind: Kind) -> tuple[Kind, ...]:
    """The members of a union; of any other kind the kind itself. Annotations of a member stay on it."""
    inner = unannotated(kind)
    if origin(inner) in (Union, UnionType):
        return tuple(member for part in get_args(inner) for member in members(part))
    return (kind,)


def is_record(kind: Kind) -> bool:
    """Whether the kind is a Struct."""
    return isinstance(kind, type) and issubclass(kind, Struct)


def is_scalar(kind: Kind) -> bool:
    """Whether the kind is a single value: no record, no array, no object."""
    return not any(is_record(member) or origin(member) in (tuple, dict) for member in map(unannotated, members(kind)))


def bounds_of(kind: Kind) -> Bounds | None:
    """The bounds that an annotation of the kind states."""
    if origin(kind) is not Annotated:
        return next((found for part in members(kind) if part is not kind and (found := bounds_of(part))), None)
    inner, *metas = get_args(kind)
    stated = (meta.extra["bounds"] for meta in metas if getattr(meta, "extra", None) and "bounds" in meta.extra)
    return next(stated, None) or bounds_of(inner)


def without_null(kind: Kind) -> Kind:
    """What the kind is beside null; null itself when it is nothing else."""
    return next((member for member in members(kind) if member is not NoneType), NoneType)


def expected(kind: Kind) -> str:
    """What the kind admits, in words."""
    return " or ".join(dict.fromkeys(map(_words, members(kind))))


def _words(member: Kind) -> str:
    """As its annotations describe its form, else by its type and the limits that they set."""
    inner, metas = unannotated(member), _metas(member)
    form = next((meta.description for meta in metas if meta.pattern and meta.description), None)
    if form is not None:
        return f"{form[0].lower()}{form[1:].rstrip('.')}"
    if origin(inner) is Literal:
        return f"one of {', '.join(map(str, get_args(inner)))}"
    simple = origin(inner) or inner
    return _WORDS.get(simple, "an object") + "".join(_limits(meta, _UNITS.get(simple, "")) for meta in metas)


def _metas(kind: Kind) -> tuple[Meta, ...]:
    """The annotations of a kind, the innermost first."""
    if origin(kind) is not Annotated:
        return ()
    inner, *metas = get_args(kind)
    return (*_metas(inner), *(meta for meta in metas if isinstance(meta, Meta)))


def _limits(meta: Meta, unit: str) -> str:
    """The limits of a number, or of a size."""
    if meta.ge is not None and meta.le is not None:
        return f" from {meta.ge:,.0f} to {meta.le:,.0f}"
    if meta.max_length is None:
        return ""
    least = f"{meta.min_length:,} to" if meta.min_length else "at most"
    return f" of {least} {meta.max_length:,} {unit}"
