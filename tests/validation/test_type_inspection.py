"""Types of the model, taken apart."""

from decimal import Decimal
from types import NoneType
from typing import Annotated, Any

import pytest
from msgspec import Meta, Struct, structs

from hitchworth.model.numbers import Amount, Bounds
from hitchworth.validation.type_inspection import (
    bounds_of,
    is_record,
    is_required,
    is_scalar,
    metadata_of,
    record_fields,
    strip_annotations,
    union_members,
    without_null,
)

DAY = Annotated[int, Meta(ge=1)]
INNER = Annotated[DAY, "not metadata of msgspec", Meta(le=31)]
MONEY = Bounds(Decimal(0), Decimal(10**9))


class Line(Struct):
    """A record with required and optional fields."""

    a: int
    b: int = 1
    c: list[int] = []


def test_strip_annotations() -> None:
    assert strip_annotations(INNER) is int
    assert strip_annotations(str) is str


@pytest.mark.parametrize(
    ("kind", "members"),
    [
        (int, (int,)),
        (int | None, (int, NoneType)),
        (Annotated[int | str, Meta(description="x")], (int, str)),
        (DAY | None, (DAY, NoneType)),
        (DAY, (DAY,)),
    ],
)
def test_union_members(kind: Any, members: tuple[Any, ...]) -> None:
    assert union_members(kind) == members


@pytest.mark.parametrize(
    ("kind", "expected"), [(int | None, int), (None | str, str), (DAY | None, DAY), (int, int), (NoneType, NoneType)]
)
def test_without_null(kind: Any, expected: Any) -> None:
    assert without_null(kind) == expected


@pytest.mark.parametrize(
    ("kind", "expected"), [(Line, True), (int, False), (tuple[Line, ...], False), (Line(1), False)]
)
def test_is_record(kind: Any, expected: bool) -> None:
    assert is_record(kind) is expected


def test_is_required() -> None:
    assert [is_required(field) for field in structs.fields(Line)] == [True, False, False]
    assert record_fields(Line) == structs.fields(Line)


@pytest.mark.parametrize(
    ("kind", "expected"),
    [
        (int | None, True),
        (DAY, True),
        (Line | None, False),
        (tuple[int, ...], False),
        (dict[str, int] | None, False),
        (Annotated[tuple[int, ...], Meta(max_length=1)] | None, False),
    ],
)
def test_is_scalar(kind: Any, expected: bool) -> None:
    assert is_scalar(kind) is expected


def test_metadata_of() -> None:
    assert metadata_of(INNER) == (Meta(ge=1), Meta(le=31))
    assert metadata_of(int) == ()


@pytest.mark.parametrize(
    ("kind", "expected"),
    [
        (Amount, MONEY),
        (Amount | None, MONEY),
        (Annotated[Amount, Meta(description="Freight.")], MONEY),
        (Annotated[Amount | None, Meta(description="Tax.")], MONEY),
        (int, None),
        (int | None, None),
        (DAY, None),
        (Annotated[int, "x", Meta(extra={"other": 1})], None),
    ],
)
def test_bounds_of(kind: Any, expected: Bounds | None) -> None:
    assert bounds_of(kind) == expected
