"""Inspect the types of the model: members of a union, fields of a record, bounds of a number."""

from decimal import Decimal
from functools import cache
from types import NoneType, UnionType
from typing import Annotated, Any, TypeAlias, Union, get_args, get_origin

from msgspec import NODEFAULT, Meta, Struct, structs

from hitchworth.model.numbers import Bounds

TypeForm: TypeAlias = Any
"""A type or an annotation, as msgspec takes it."""

_BOUNDS = ("gt", "ge", "lt", "le", "multiple_of", "pattern", "min_length", "max_length", "tz")
"""What a Meta may demand of a value."""

record_fields = cache(structs.fields)
"""The fields of a record. Cached because msgspec works them out anew at each call."""


def generic_origin(kind: TypeForm) -> TypeForm:
    """Return what a parametrized type is built on: tuple for tuple[str, ...]; None when it has no parameters.

    The annotations of `get_origin` do not allow comparing its result with Annotated, dict or tuple.
    """
    return get_origin(kind)


def strip_annotations(kind: TypeForm) -> TypeForm:
    """Return the type inside Annotated."""
    return strip_annotations(get_args(kind)[0]) if generic_origin(kind) is Annotated else kind


def union_members(kind: TypeForm) -> tuple[TypeForm, ...]:
    """Return the members of a union, each with its annotations; for any other type, the type itself."""
    inner = strip_annotations(kind)
    if generic_origin(inner) in (Union, UnionType):
        return tuple(member for part in get_args(inner) for member in union_members(part))
    return (kind,)


def without_null(kind: TypeForm) -> TypeForm:
    """Return the first member of a union that is not null, with the bounds set around it; null for null alone."""
    first = next((member for member in union_members(kind) if member is not NoneType), NoneType)
    if first is kind:
        return kind
    for meta in metadata_of(kind):
        bounds = {name: value for name in _BOUNDS if (value := getattr(meta, name)) is not None}
        if bounds:
            first = Annotated[first, Meta(**bounds)]
    return first


def is_record(kind: TypeForm) -> bool:
    """Return whether the type is a Struct."""
    return isinstance(kind, type) and issubclass(kind, Struct)


def is_required(field: structs.FieldInfo) -> bool:
    """Return whether a field has no default."""
    return field.default is NODEFAULT and field.default_factory is NODEFAULT


def is_scalar(kind: TypeForm) -> bool:
    """Return whether the type has single values only: no record, array or object."""
    members = map(strip_annotations, union_members(kind))
    return not any(is_record(member) or generic_origin(member) in (tuple, dict) for member in members)


def is_list_of_scalars(kind: TypeForm) -> bool:
    """Return whether the type is an array of single values, or null."""
    inner = strip_annotations(without_null(kind))
    return generic_origin(inner) is tuple and is_scalar(get_args(inner)[0])


def is_decimal(kind: TypeForm) -> bool:
    """Return whether a type takes decimals, beside null or not."""
    return any(strip_annotations(member) is Decimal for member in union_members(kind))


def metadata_of(kind: TypeForm) -> tuple[Meta, ...]:
    """Return the msgspec metadata of a type, the innermost first."""
    if generic_origin(kind) is not Annotated:
        return ()
    inner, *annotations = get_args(kind)
    return (*metadata_of(inner), *(item for item in annotations if isinstance(item, Meta)))


def bounds_of(kind: TypeForm) -> Bounds | None:
    """Return the bounds in the annotations of a type, or of a member of a union."""
    if generic_origin(kind) is not Annotated:
        return next((found for part in union_members(kind) if part is not kind and (found := bounds_of(part))), None)
    inner, *annotations = get_args(kind)
    bounds = (item.extra["bounds"] for item in annotations if getattr(item, "extra", None) and "bounds" in item.extra)
    return next(bounds, None) or bounds_of(inner)
