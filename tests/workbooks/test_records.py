"""Records in sheets: written in one locale, read in any, faults by cell."""

import csv
from collections.abc import Iterable
from datetime import date
from decimal import Decimal
from io import StringIO

import msgspec
import pytest

from hitchworth import validation
from hitchworth.demo import demo_request
from hitchworth.localization.locales import available
from hitchworth.localization.localizer import localizer_for
from hitchworth.model.document import Document
from hitchworth.model.entry import Component, Labor
from hitchworth.model.policy import Policy
from hitchworth.operations.tables import inert
from hitchworth.validation.errors import other_rows
from hitchworth.workbooks.cell_faults import faults_in_cells
from hitchworth.workbooks.cells import (
    Row,
    Unreadable,
    cell_name,
    cell_place,
    cell_text,
    column_name,
    column_number,
    restored,
)
from hitchworth.workbooks.ods_writing import ods_bytes
from hitchworth.workbooks.reading import read_tables
from hitchworth.workbooks.records import read_records, table_of
from hitchworth.workbooks.table import Table
from hitchworth.workbooks.writing import xlsx_bytes


def test_cells_are_named_as_in_a_spreadsheet() -> None:
    assert [column_name(number) for number in (0, 25, 26, 51, 52, 701, 702, 16383)] == [
        "A", "Z", "AA", "AZ", "BA", "ZZ", "AAA", "XFD",
    ]  # fmt: skip
    assert [column_number(name) for name in ("A", "Z", "AA", "XFD")] == [0, 25, 26, 16383]
    assert cell_name(13, 3, "Components") == "Components!D14"
    assert cell_place("D14") == (13, 3)
    assert cell_place("D0") is None


@pytest.mark.parametrize("text", ["=1+1", "+1-555-0100", "-x", "@SUM(A1)", "\tx", "\rx"])
def test_what_begins_like_a_formula_is_marked_in_a_csv_and_comes_back(text: str) -> None:
    assert inert(text).startswith("'")
    assert restored(f"'{text}") == text


@pytest.mark.parametrize("text", ["-12.50", "+3", "x=1", "'quoted'", ""])
def test_other_text_is_left_alone(text: str) -> None:
    assert restored(text) == text


def csv_bytes(rows: Iterable[Row]) -> bytes:
    written = StringIO(newline="")
    csv.writer(written).writerows([cell_text(cell) for cell in row] for row in rows)
    return written.getvalue().encode()


PART = Component(
    id="=stove",
    description="Two-burner stove, 2 × 1.8 kW",
    category="stove",
    quantity=Decimal("2"),
    unit_cost=Decimal("1268.50"),
    acquired_on=date(2026, 2, 14),
    condition=Decimal("0.9"),
    bought_used=False,
    evidence_grade="receipt",
    price_includes="overhead_and_profit",
)


@pytest.mark.parametrize("locale", available())
@pytest.mark.parametrize("form", ["csv", "xlsx", "ods"])
def test_a_component_comes_back_as_it_was_from_every_form_in_every_locale(form: str, locale: str) -> None:
    table = table_of([PART, PART], "component", "Components", localizer_for(locale))
    write = {
        "csv": lambda: csv_bytes(table.rows),
        "xlsx": lambda: xlsx_bytes([table]),
        "ods": lambda: ods_bytes([table]),
    }
    read = read_records(read_tables(write[form]()).tables[0], "component")
    assert read.faults == ()
    assert read.unknown == ()
    assert [msgspec.convert(value, Component, strict=False) for value in read.values] == [PART, PART]


def test_the_demo_survives_its_sheets() -> None:
    demo = demo_request()
    build = demo.build
    sheets = {
        "component": (build.components, Component),
        "labor": (build.labor, Labor),
        "policy": (demo.policies, Policy),
    }
    for record, (records, kind) in sheets.items():
        source = read_tables(xlsx_bytes([table_of(records, record, "S", localizer_for("de-DE"))]))
        read = read_records(source.tables[0], record)
        assert read.faults == ()
        for value, original in zip(read.values, records, strict=True):
            back = msgspec.convert(value, kind, strict=False)
            for name in read.columns:
                if not isinstance(getattr(original, name), msgspec.Struct):
                    assert getattr(back, name) == getattr(original, name), (record, name)


def test_columns_are_found_by_their_headers_below_a_title_in_any_order() -> None:
    table = Table(
        name="Teile",
        rows=(
            ("My parts", None, None, None),
            (None, None, None, None),
            ("Stückpreis", "Colour", "Beschreibung", "quantity"),
            ("12,50", "red", "Scharnier", "2"),
            (None, None, None, None),
            ("1.234,56", None, "Fenster", "1"),
        ),
    )
    read = read_records(table, "component")
    assert read.values == (
        {"unit_cost": "12.50", "description": "Scharnier", "quantity": "2"},
        {"unit_cost": "1234.56", "description": "Fenster", "quantity": "1"},
    )
    assert read.unknown == ("Colour",)
    assert read.cell(1, "unit_cost") == "Teile!A6"
    assert read.cell(1, "acquired_on") == "Teile!A6"  # the sheet has no such column


def test_words_become_codes_and_percentages_shares() -> None:
    rows = (
        ("Name", "Policy", "basis", "Coinsurance percentage", "holdback", "Excluded perils", "without"),
        (None, "rv", "Wiederbeschaffungswert neu", "80 %", "sí", "theft; Hagel", "limit"),
    )
    read = read_records(Table(name="P", rows=rows), "policy")
    assert read.values[0]["coinsurance_rate"] == "0.8"
    assert read.values[0]["holdback"] is True
    assert read.values[0]["excluded_perils"] == ["theft", "hail"]
    assert read.values[0]["without"] == ["limit"]


def test_a_number_that_can_be_read_in_two_ways_is_a_fault_unless_its_column_decides() -> None:
    def read(*costs: str) -> tuple[str, ...]:
        rows = (("Description", "Unit cost"), *(("x", cost) for cost in costs))
        return tuple(fault.cell for fault in read_records(Table(name="S", rows=rows), "component").faults)

    assert read("1,234") == ("S!B2",)
    assert read("1,234", "12", "2,500") == ("S!B2", "S!B4")
    assert read("1,234", "12.50") == ()
    assert read("1,234", "12,50") == ()


def test_a_date_that_can_be_read_in_two_ways_is_a_fault_unless_its_column_decides() -> None:
    def read(*days: str) -> tuple[str, ...]:
        rows = (("Description", "Bought on"), *(("x", day) for day in days))
        return tuple(fault.cell for fault in read_records(Table(name="S", rows=rows), "component").faults)

    assert read("03/04/2025") == ("S!B2",)
    assert read("03/04/2025", "03/03/2025") == ("S!B2",)
    assert read("03/04/2025", "25/08/2025") == ()


def test_cells_without_a_value_are_faults_by_cell() -> None:
    rows = (
        ("Description", "Unit cost"),
        ("x", Unreadable("error")),
        ("y", Unreadable("no_value")),
        ("z", Unreadable("merged", "B3")),
    )
    faults = read_records(Table(name="S", rows=rows), "component").faults
    assert [(fault.cell, fault.detail) for fault in faults] == [
        ("S!B2", "The formula in the cell has failed"),
        ("S!B3", "The formula in the cell was never computed"),
        ("S!B4", "The cell is merged with another one, which has the value"),
    ]


def test_the_faults_of_the_records_name_cells_and_equal_ones_are_told_once() -> None:
    rows: tuple[Row, ...] = (
        ("ID", "Description", "Category", "Quantity", "Unit cost", "Bought on"),
        *((f"p{number}", "x", "stove", "-1", "1.00", "2025-02-30") for number in range(3)),
        ("p9", "x", "stove", Decimal(1), "1.00", "2025-02-28"),
    )
    read = read_records(Table(name="Components", rows=rows), "component")
    body = msgspec.json.encode({"build": {"name": "n", "currency": "USD", "components": read.values}})
    with pytest.raises(validation.InvalidInputError) as caught:
        validation.read(body, Document)
    faults = faults_in_cells(caught.value.faults, {"/build/components": read})
    assert [(fault.cell, fault.also_at) for fault in faults] == [
        ("Components!F2", ("Components!F3", "Components!F4")),
        ("Components!D2", ("Components!D3", "Components!D4")),
    ]
    assert other_rows(faults[0]) == "the same in 2 more rows: 3-4"


def test_a_sheet_without_headers_is_one_fault() -> None:
    read = read_records(Table(name="S", rows=(("a", "b"), ("c", "d"))), "component")
    assert [fault.detail for fault in read.faults] == ["No row of headers was found"]
    assert read.values == ()


def test_a_header_twice_is_a_fault() -> None:
    rows = (("Quantity", "Description", "quantity"), ("1", "x", "2"))
    faults = read_records(Table(name="S", rows=rows), "component").faults
    assert [(fault.cell, fault.detail) for fault in faults] == [("S!C1", "Two columns have this header")]
