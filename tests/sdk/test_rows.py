"""Records as rows of a table."""

from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from importlib.resources import files
from typing import Any

import msgspec
import pandas  # type: ignore[import-untyped]
import polars
import pytest

from hitchworth_sdk import Client, Estimate, GapRequest, GapStatement, to_rows

DEMO = msgspec.json.decode(files("hitchworth.demo").joinpath("gap_request.json").read_bytes(), type=GapRequest)


@pytest.fixture(scope="module")
def statement() -> Iterator[GapStatement]:
    with Client.local() as client:
        yield client.create_gap_statement(DEMO)


class Band(msgspec.Struct):
    low: Decimal
    high: Decimal


class Line(msgspec.Struct):
    id: str
    amount: Decimal
    day: date | None = None
    band: Band | None = None
    tags: tuple[str, ...] = ()
    parts: tuple[Band, ...] = ()
    extra: dict[str, int] = {}


class Lines(msgspec.Struct):
    lines: tuple[Line, ...]


def test_a_record_in_a_record_becomes_columns() -> None:
    """By hand: six columns, of which the band gives two and the dictionary one."""
    band = Band(Decimal(1), Decimal(2))
    rows = to_rows(
        [
            Line("a", Decimal("1.50"), date(2026, 1, 31), band, ("x", "y"), (band,), {"n": 1}),
            Line("b", Decimal(2)),
        ]
    )
    assert rows == [
        {
            "id": "a",
            "amount": Decimal("1.50"),
            "day": date(2026, 1, 31),
            "band.low": Decimal(1),
            "band.high": Decimal(2),
            "tags": ["x", "y"],
            "parts": [{"low": Decimal(1), "high": Decimal(2)}],
            "extra.n": 1,
        },
        {
            "id": "b",
            "amount": Decimal(2),
            "day": None,
            "band.low": None,
            "band.high": None,
            "tags": [],
            "parts": [],
            "extra.n": None,
        },
    ]
    assert [list(row) for row in rows] == [list(rows[0])] * 2


def test_a_record_that_is_nowhere_given_is_one_empty_column() -> None:
    assert to_rows([Line("a", Decimal(1))])[0].keys() == {"id", "amount", "day", "band", "tags", "parts", "extra"}
    assert to_rows([Line("a", Decimal(1))])[0]["extra"] is None
    assert to_rows([]) == []


def test_the_columns_stand_in_the_order_of_the_fields() -> None:
    band = Band(Decimal(1), Decimal(2))
    rows = to_rows([Line("a", Decimal(1)), Line("b", Decimal(1), band=band)])
    assert list(rows[0]) == ["id", "amount", "day", "band.low", "band.high", "tags", "parts", "extra"]


@pytest.mark.parametrize("library", [pandas, polars])
def test_a_data_frame_adds_up_to_the_total(library: Any, statement: GapStatement) -> None:
    """In exact decimals, in both libraries."""
    estimate: Estimate = statement.estimate
    frame = library.DataFrame(to_rows(estimate.lines))
    assert frame["direct_cost"].sum() == estimate.totals.direct_cost
    assert isinstance(frame["direct_cost"].sum(), Decimal)
    assert len(frame) == len(estimate.lines)


@pytest.mark.parametrize("library", [pandas, polars])
def test_the_lists_of_a_gap_statement_make_data_frames(library: Any, statement: GapStatement) -> None:
    for records in (statement.estimate.categories, statement.settlements):
        assert len(library.DataFrame(to_rows(records))) == len(records) > 0


def test_no_record_is_left_in_a_row(statement: GapStatement) -> None:
    cells = [value for row in to_rows(statement.questions) for value in row.values()]
    rows = [row for cell in cells if isinstance(cell, list) for row in cell if isinstance(row, dict)]
    inner = [value for row in rows for value in row.values()]
    assert len(inner) > 0
    assert not any(isinstance(value, msgspec.Struct | dict) for value in (*cells, *inner))


def test_the_records_of_a_list_have_the_same_columns_too() -> None:
    inner = (Line("a", Decimal(1)), Line("b", Decimal(1), band=Band(Decimal(1), Decimal(2))))
    (row,) = to_rows([Lines(inner)])
    assert [list(each) for each in row["lines"]] == [list(row["lines"][0])] * 2
    assert row["lines"][0]["band.low"] is None
