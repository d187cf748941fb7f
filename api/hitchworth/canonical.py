"""Records in one form, and the digest of a request: equal data has an equal digest, whatever release reads it."""

import json
from datetime import date
from decimal import Decimal
from functools import cache
from hashlib import sha256
from typing import Any

import msgspec
from msgspec import NODEFAULT, Struct
from msgspec.structs import replace

from hitchworth.model.request import GapRequest

DIGEST_DIGITS = 12
"""Enough to tell the papers of one build apart, and short enough to be read out over the telephone."""

_NOT_DATA = ("format", "locale", "photo")
"""The fields of a request in which equal data may differ."""


def without_defaults(value: Any) -> Any:
    """Return a record as a dictionary of the fields that differ from their defaults, and so on for the records in it.

    So a field that a later release adds leaves the form of an older document as it was.
    """
    match value:
        case Struct():
            return {
                written: without_defaults(content)
                for name, written, default in _fields(type(value))
                if (content := getattr(value, name)) is not default and content != default
            }
        case tuple():
            return tuple(map(without_defaults, value))
        case dict():
            return {name: without_defaults(item) for name, item in value.items()}
    return value


def digest(request: GapRequest, as_of: date) -> str:
    """The first digits (hexadecimal, SHA-256) of the request in one form: a paper can be matched with its data by it.

    The language, the photo and the version of the format are left out. Names stand in alphabetical order, equal numbers
    alike, however they were written, and what was left out is as if its default had been written.
    """
    fields = without_defaults(replace(request, as_of=as_of))
    data = {name: content for name, content in fields.items() if name not in _NOT_DATA}
    return sha256(text_of(data).encode()).hexdigest()[:DIGEST_DIGITS]


def text_of(value: Any) -> str:
    """Return a value as JSON that is the same for equal values: names in order, equal numbers alike."""
    plain = msgspec.to_builtins(value, builtin_types=(Decimal,))
    return json.dumps(plain, default=_ratio, sort_keys=True)


def _ratio(number: Decimal) -> str:
    """Return a number as a whole one or as a fraction in lowest terms: 3/2 for 1.5 and for 1.50."""
    numerator, denominator = number.as_integer_ratio()
    return str(numerator) if denominator == 1 else f"{numerator}/{denominator}"


@cache
def _fields(record: type[Struct]) -> tuple[tuple[str, str, Any], ...]:
    """Return name, name in JSON and default of each field; the default NODEFAULT, which equals no value, is none."""
    return tuple(
        (
            field.name,
            field.encode_name,
            field.default if field.default_factory is NODEFAULT else field.default_factory(),
        )
        for field in msgspec.structs.fields(record)
    )
