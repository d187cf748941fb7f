"""The texts that faults share: what a type allows, why a value does not fit it, and names similar to an unknown one."""

import re
from collections.abc import Collection, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from datetime import date, datetime
from decimal import Decimal
from types import NoneType
from typing import Literal, get_args

from msgspec import Meta

from hitchworth.reference.words import similar_names
from hitchworth.validation.type_inspection import (
    TypeForm,
    generic_origin,
    metadata_of,
    strip_annotations,
    union_members,
)

MAX_FOUND_LENGTH = 60
"""How many characters of a wrong value a fault repeats."""

MAX_COMPARED, MAX_SUGGESTIONS = 500, 100

_SUGGESTIONS: ContextVar[dict[tuple[str, str], str]] = ContextVar("_SUGGESTIONS")
"""The suggestions that were made, by the unknown name and what was expected."""

OUT_OF_RANGE = "Number is out of range"
MISSING = "Required field is missing"
NEEDS_DAMAGE = "A partial loss needs damage"

_TYPE_NAMES: dict[TypeForm, str] = {
    bool: "true or false",
    int: "a whole number",
    float: "a number",
    str: "text",
    bytes: "a file as text in base64",
    Decimal: 'a decimal number, preferably as text: "12.50"',
    date: "a date: YYYY-MM-DD",
    datetime: "a time with its offset from UTC: 2027-01-31T00:00:00Z",
    dict: "an object",
    tuple: "an array",
    NoneType: "null",
}
FIRST_YEAR, LAST_YEAR = 1000, 9999
"""Limits between these are years, which are written without a comma."""

_SIZE_UNITS: dict[TypeForm, str] = {str: "characters", tuple: "items", dict: "entries"}
_DETAILS = tuple(
    (re.compile(pattern), detail)
    for pattern, detail in (
        (r"length >= ", "Too short"),
        (r"length <= ", "Too long"),
        (r"length \d", "Wrong length"),
        (r"matching regex", "Wrong format"),
        (r"Invalid enum value", "Not one of the allowed values"),
        (r"Invalid RFC3339", "Not a valid date"),
        (r"decimal string", "Not a number"),
        (r"[<>]=? |out of range|multiple of", OUT_OF_RANGE),
        (r"got `null`", "null is not allowed here"),
        (r"Expected `.*`, got `", "Wrong type"),
    )
)

SIZE_FAULTS = frozenset({"Too short", "Too long", "Wrong length"})
"""The details of faults of a value that has too many or too few items or characters."""

VALUE_FAULTS = frozenset(
    {
        MISSING,
        "Not one of the allowed values",
        "Not a valid date",
        "Not a number",
        "null is not allowed here",
        "Wrong type",
        "Not a valid value",
    }
)
"""The details of faults for which any value of the type will do."""


def describe_type(kind: TypeForm) -> str:
    """Return the values that a type allows, for `expected` of a fault."""
    return " or ".join(dict.fromkeys(map(_describe_member, union_members(kind))))


def describe_type_error(message: str) -> str:
    """Return the `detail` of a fault for a message of msgspec, whose own wording is about Python types."""
    return next((detail for pattern, detail in _DETAILS if pattern.search(message)), "Not a valid value")


def shorten(text: str) -> str:
    """Return the text as `found` of a fault shows it: at most MAX_FOUND_LENGTH characters."""
    return text if len(text) <= MAX_FOUND_LENGTH else f"{text[: MAX_FOUND_LENGTH - 3]}..."


def with_suggestions(name: str, known: Collection[str], expected: str) -> str:
    """Return what is expected, followed by up to three known names that are similar to the unknown one.

    More than MAX_COMPARED names are not compared: that takes too long. Inside `limited_suggestions` neither are names
    after the first MAX_SUGGESTIONS.
    """
    if len(known) > MAX_COMPARED:
        return expected
    made = _SUGGESTIONS.get({})
    if (name, expected) not in made:
        if len(made) >= MAX_SUGGESTIONS:
            return expected
        similar = similar_names(name, known)
        made[name, expected] = f"{expected}; similar: {', '.join(similar)}" if similar else expected
    return made[name, expected]


@contextmanager
def limited_suggestions() -> Iterator[None]:
    """Look for similar names for the first MAX_SUGGESTIONS unknown names only: each takes a millisecond."""
    token = _SUGGESTIONS.set({})
    try:
        yield
    finally:
        _SUGGESTIONS.reset(token)


def _describe_member(member: TypeForm) -> str:
    """Return the description of its pattern; without one, the name of the type and its limits."""
    inner, metadata = strip_annotations(member), metadata_of(member)
    form = next((meta.description for meta in metadata if meta.pattern and meta.description), None)
    if form is not None:
        return f"{form[0].lower()}{form[1:].rstrip('.')}"
    if generic_origin(inner) is Literal:
        return f"one of {', '.join(map(str, get_args(inner)))}"
    plain = generic_origin(inner) or inner
    limits = (_describe_limits(meta, _SIZE_UNITS.get(plain, "")) for meta in metadata)
    return _TYPE_NAMES.get(plain, "an object") + "".join(limits)


def _describe_limits(meta: Meta, unit: str) -> str:
    """Return the limits of a number, or of a size in the unit."""
    if meta.ge is not None and meta.le is not None:
        grouped = "" if meta.ge >= FIRST_YEAR and meta.le <= LAST_YEAR else ","
        return f" from {meta.ge:{grouped}.0f} to {meta.le:{grouped}.0f}"
    if meta.max_length is None:
        return ""
    least = f"{meta.min_length:,} to" if meta.min_length else "at most"
    return f" of {least} {meta.max_length:,} {unit}"
