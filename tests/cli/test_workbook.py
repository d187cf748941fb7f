"""`hitchworth workbook`, and a workbook where a document is read."""

from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

from hitchworth.cli import main
from hitchworth.demo import demo_body
from hitchworth.operations.workbooks import read_document_workbook
from hitchworth.workbooks.look import Look
from hitchworth.workbooks.reading import read_tables
from hitchworth.workbooks.table import Table
from hitchworth.workbooks.writing import xlsx_bytes


def sheets(path: Path) -> list[str]:
    return [table.name for table in read_tables(path.read_bytes()).tables]


def test_an_empty_workbook_is_written_in_a_language(tmp_path: Path) -> None:
    file = tmp_path / "leer.ods"
    assert main(["workbook", "--locale", "de-DE", "-o", str(file)]) == 0
    assert sheets(file)[:2] == ["Aufbau", "Bauteile"]


def test_a_document_and_its_workbook_give_the_same_to_every_command(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    document, book, again = tmp_path / "camper.json", tmp_path / "camper.xlsx", tmp_path / "again.ods"
    document.write_bytes(demo_body())
    assert main(["workbook", str(document), "-o", str(book), "--quiet"]) == 0
    assert main(["workbook", str(book), "-o", str(again), "--quiet"]) == 0
    printed = []
    for file in (document, book, again):
        assert main(["gap", str(file)]) == 0
        printed.append(capsys.readouterr().out)
    assert printed[0] == printed[1] == printed[2]
    assert main(["compare", str(document), str(book), "--format", "csv"]) == 0
    assert len(capsys.readouterr().out.splitlines()) <= 1  # nothing has changed


def test_the_demo_takes_the_place_of_a_file(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "demo.xlsx"
    assert main(["workbook", "--demo", "-o", str(file)]) == 0
    assert "Results" in sheets(file)
    assert main(["workbook", str(file), "--demo", "-o", str(file)]) == 2
    assert main(["workbook", "-o", str(tmp_path / "book.xls")]) == 2
    assert "must end in one of .xlsx, .ods" in capsys.readouterr().err


def test_wrong_cells_are_named_and_nothing_is_written_unless_they_are_to_be_marked(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file, out = tmp_path / "wrong.xlsx", tmp_path / "out.xlsx"
    build = Table(name="Build", rows=(("Name of the trailer", "Camper"), ("Currency", "dollars")))
    file.write_bytes(xlsx_bytes([build]))
    assert main(["workbook", str(file), "-o", str(out)]) == 1
    assert "wrong.xlsx: Build!B2: " in capsys.readouterr().err
    assert not out.exists()
    assert main(["estimate", str(file)]) == 1
    assert "wrong.xlsx: Build!B2: " in capsys.readouterr().err
    assert main(["workbook", str(file), "--mark-faults", "-o", str(out)]) == 1
    assert sheets(out) == ["Faults", "Build"]
    assert main(["workbook", str(file), "--mark-faults", "-o", str(file)]) == 1  # the file that is read
    assert sheets(file) == ["Faults", "Build"]


def test_receipts_are_imported_into_a_workbook(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    receipts, book = tmp_path / "receipts.csv", tmp_path / "camper.xlsx"
    receipts.write_text("Date,Item,Amount\n2025-03-04,Stove,12.50\n")
    assert main(["import", str(receipts), "--into", str(book)]) == 0
    receipts.write_text("Date,Item,Amount\n2025-03-04,Stove,12.50\n2025-03-05,Sink,20.00\n")
    assert main(["import", str(receipts), "--into", str(book)]) == 0
    assert "Added: 1; there already: 1" in capsys.readouterr().out
    descriptions = [part.description for part in read_document_workbook(book.read_bytes()).build.components]
    assert descriptions == ["Stove", "Sink"]


def test_nothing_that_somebody_filled_in_is_lost(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    receipts, book, other = tmp_path / "receipts.csv", tmp_path / "camper.xlsx", tmp_path / "other.xlsx"
    receipts.write_text("Date,Item,Amount\n2025-03-04,Stove,12.50\n")
    book.write_bytes(filled := with_notes_and_a_formula())
    for file in ([], ["--demo"], [str(other)]):
        other.write_bytes(xlsx_bytes([Table(name="Build", rows=BUILD)]))
        assert main(["workbook", *file, "-o", str(book)]) == 2
        assert "camper.xlsx exists already" in capsys.readouterr().err
    assert main(["import", str(receipts), "--into", str(book)]) == 1
    assert "would lose what follows" in (told := capsys.readouterr().err)
    assert "The sheet “My notes” is not read." in told
    assert main(["workbook", str(book), "-o", str(book)]) == 2
    assert "would lose what follows" in (told := capsys.readouterr().err)
    assert "The sheet “My notes” is not read." in told
    assert "a formula of your own, which is not kept; its value is: Components!E2." in told
    assert book.read_bytes() == filled
    assert {file.name for file in tmp_path.iterdir()} == {"receipts.csv", "camper.xlsx", "other.xlsx"}


def test_what_a_copy_does_not_have_is_said_and_force_writes_over_anything(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    book, out = tmp_path / "camper.xlsx", tmp_path / "computed.ods"
    book.write_bytes(with_notes_and_a_formula())
    assert main(["workbook", str(book), "-o", str(out)]) == 0
    assert "not kept; its value is: Components!E2." in capsys.readouterr().err
    assert main(["workbook", str(out), "-o", str(out)]) == 0  # again, after a change: it has nothing else
    assert capsys.readouterr().err == ""
    assert main(["workbook", str(book), "-o", str(out)]) == 2
    assert main(["workbook", str(book), "--force", "-o", str(out)]) == 0
    assert main(["workbook", str(book), "--force", "-o", str(book)]) == 0
    assert "My notes" not in sheets(book)


BUILD = (("Name of the trailer", "Birch"), ("Currency", "USD"))


def with_notes_and_a_formula() -> bytes:
    """A workbook with a sheet of the user's own, and a unit cost of 200 + 68 as a formula."""
    head = ("ID", "Description", "Category", "Quantity", "Unit cost", "Bought on")
    part = ("stove", "Stove", "stove", Decimal(1), Decimal(268), date(2026, 2, 14))
    tables = (
        Table(name="Build", rows=BUILD),
        Table(name="Components", rows=(head, part)),
        Table(name="My notes", rows=(("Ask the welder",),)),
    )
    return xlsx_bytes(tables, looks={"Components": Look(formulas={(1, 4): "200+68"})})
