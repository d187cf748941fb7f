"""`hitchworth import`: from a file of receipts to a document, and on to a sheet."""

import json
from pathlib import Path

import msgspec
import pytest

from hitchworth.cli import main
from hitchworth.localization.locales import available
from hitchworth.model.document import Document

TABLE = (
    "Date,Store,Item,Qty,Price,Total,Receipt #\n02/14/2026,RV parts,Two-burner stove,1,268.00,268.00,4411\n"
    "02/14/2026,RV parts,Sales tax,,,22.11,4411\n03/02/2026,Lumber yard,Thingamajig,4,62.00,248.00,90-1\n"
)


@pytest.fixture
def receipts(tmp_path: Path) -> Path:
    file = tmp_path / "receipts.csv"
    file.write_text(TABLE)
    return file


def run(*arguments: object) -> int:
    return main([str(argument) for argument in ("import", *arguments)])


def document(file: Path) -> Document:
    return msgspec.json.decode(file.read_bytes(), type=Document)


def test_a_csv_alone_makes_a_document_and_a_sheet(receipts: Path, capsys: pytest.CaptureFixture[str]) -> None:
    camper = receipts.with_name("our-camper.json")
    assert run(receipts, "--into", camper) == 0
    shown = capsys.readouterr().out
    assert "other (not recognized)" in shown
    assert "Added: 2; there already: 0" in shown
    assert f"Created {camper}. Next: hitchworth sheet" in " ".join(shown.split())
    build = document(camper).build
    assert (build.name, build.currency) == ("Our camper", "USD")
    assert [(part.description, str(part.tax)) for part in build.components] == [
        ("Two-burner stove", "22.11"),
        ("Thingamajig", "None"),
    ]
    sheet = camper.with_name("sheet.md")
    assert main(["sheet", str(camper), "-o", str(sheet)]) == 0
    assert "Our camper" in sheet.read_text()


def test_what_was_paid_for_each_entry_is_shown(receipts: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """2 x 100 and 16 of tax and 5.50 of freight; 3 x 20 without either."""
    receipts.write_text(
        "Date,Shop,Receipt,Item,Qty,Price,Tax,Shipping,Total\n2026-02-14,Bits,1,frame,2,100.00,16.00,5.50,221.50\n"
        "2026-02-15,Bits,2,lamp,3,20.00,,,60.00\n"
    )
    assert run(receipts, "--into", receipts.with_name("camper.json")) == 0
    lines = capsys.readouterr().out.splitlines()
    for item, amount in (("frame", "$221.50"), ("lamp", "$60.00")):
        assert any(item in line and amount in line.split() for line in lines)


def test_a_second_time_adds_only_what_is_new(receipts: Path, capsys: pytest.CaptureFixture[str]) -> None:
    camper = receipts.with_name("camper.json")
    assert run(receipts, "--into", camper) == 0
    first = camper.read_bytes()
    assert run(receipts, "--into", camper) == 0
    assert camper.read_bytes() == first
    receipts.write_text(TABLE + "03/09/2026,Lumber yard,Glue,1,5.00,5.00,91\n")
    assert run(receipts, "--into", camper) == 0
    assert "Added: 1; there already: 2" in capsys.readouterr().out
    assert len(document(camper).build.components) == 3


def test_how_a_file_was_read_is_kept_for_the_next_one_with_its_headers(
    receipts: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    camper = receipts.with_name("camper.json")
    receipts.write_text("When,What,Paid out\n03/04/2025,Stove,12.50\n")
    assert run(receipts, "--into", camper, "--map", "Paid out=amount") == 1
    assert "Add to the command: --date-order day-first or --date-order month-first" in capsys.readouterr().err
    assert not camper.exists()
    assert run(receipts, "--into", camper, "--map", "Paid out=amount", "--date-order", "month-first") == 0
    kept = camper.with_suffix(".import.yaml")
    assert "date_order: month-first" in kept.read_text()
    receipts.write_text("When,What,Paid out\n04/05/2025,Sink,3.00\n")
    assert run(receipts, "--into", camper) == 0
    assert [part.acquired_on.isoformat() for part in document(camper).build.components] == ["2025-03-04", "2025-04-05"]
    kept.write_text("- nonsense: [")
    assert run(receipts, "--into", camper) == 2
    assert "cannot be read" in capsys.readouterr().err


def test_a_dry_run_writes_nothing(receipts: Path, capsys: pytest.CaptureFixture[str]) -> None:
    camper = receipts.with_name("camper.json")
    assert run(receipts, "--into", camper, "--dry-run") == 0
    assert "Nothing was written" in capsys.readouterr().out
    assert [file.name for file in receipts.parent.iterdir()] == ["receipts.csv"]


def test_faults_are_told_by_cell_and_nothing_is_written(receipts: Path, capsys: pytest.CaptureFixture[str]) -> None:
    camper = receipts.with_name("camper.json")
    receipts.write_text(TABLE.replace("248.00", "free") + "03/09/2026,Yard,Glue,1,x,5.00,91\n03/09/2026,,Oil,1,2,9,\n")
    assert run(receipts, "--into", camper) == 1
    errors = capsys.readouterr().err
    assert "F4: Not a value of its column" in errors
    assert "F6: Not the quantity times the price" in errors
    assert not camper.exists()


@pytest.mark.parametrize(
    ("options", "message"),
    [
        (["--map", "Date"], "--map Date: expected NAME=VALUE"),
        (["--map", "=acquired_on"], "--map =acquired_on: expected NAME=VALUE"),
        (["--category", " =stove"], "--category  =stove: expected NAME=VALUE"),
        (["--currency", "dollars"], "currency: Wrong format"),
        (["--header-row", "-1"], "header_row: Number is out of range"),
    ],
)
def test_an_option_that_cannot_be_read_is_wrong_use(
    receipts: Path, options: list[str], message: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(receipts, "--into", receipts.with_name("camper.json"), *options) == 2
    assert message in capsys.readouterr().err


def test_a_file_that_is_no_table_is_one_plain_line(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "receipts.pdf"
    file.write_bytes(b"%PDF-1.7")
    assert run(file, "--into", tmp_path / "camper.json") == 1
    assert capsys.readouterr().err.strip().endswith("Send the table that it was printed from: .csv, .xlsx or .ods.")


def test_a_table_where_a_document_is_wanted_is_sent_to_the_import(
    receipts: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["estimate", str(receipts)]) == 1
    assert f"hitchworth import {receipts} --into camper.yaml" in capsys.readouterr().err


def test_a_document_with_faults_is_not_touched(receipts: Path, capsys: pytest.CaptureFixture[str]) -> None:
    camper = receipts.with_name("camper.json")
    camper.write_text(json.dumps({"build": {"name": "n", "currency": "dollars"}}))
    before = camper.read_bytes()
    assert run(receipts, "--into", camper) == 1
    assert "/build/currency" in capsys.readouterr().err
    assert camper.read_bytes() == before


def test_receipts_in_another_currency_than_the_build_need_a_rate(
    receipts: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    camper = receipts.with_name("camper.json")
    assert run(receipts, "--into", camper) == 0
    receipts.write_text("Date,Item,Amount\n2026-03-04,Lamp,€5.00\n")
    assert run(receipts, "--into", camper) == 1
    assert "Exchange rate from EUR to USD is needed" in capsys.readouterr().err
    assert run(receipts, "--into", camper, "--set", "exchange_rate=1.08") == 0
    assert document(camper).build.components[-1].currency == "EUR"


def test_a_log_of_hours_goes_into_the_same_document(receipts: Path, capsys: pytest.CaptureFixture[str]) -> None:
    camper = receipts.with_name("camper.json")
    assert run(receipts, "--into", camper) == 0
    receipts.write_text("Date,Work,Hours\n2026-03-04,Framing,1:30\n")
    assert run(receipts, "--into", camper) == 0
    assert "1.5 h" in capsys.readouterr().out
    assert [str(entry.hours) for entry in document(camper).build.labor] == ["1.50"]


@pytest.mark.parametrize("locale", available())
def test_the_result_is_printed_in_every_locale(receipts: Path, locale: str, capsys: pytest.CaptureFixture[str]) -> None:
    receipts.write_text(TABLE + "03/09/2026,Lumber yard,Thingamajig return,-4,62.00,-248.00,91\n")
    assert run(receipts, "--into", receipts.with_name("camper.json"), "--locale", locale) == 0
    assert document(receipts.with_name("camper.json")).locale == locale
    shown = capsys.readouterr().out
    assert max(map(len, shown.splitlines()[:-1])) <= 80
    assert "{" not in shown


def test_a_note_names_the_option_that_corrects_it(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    table = tmp_path / "x.csv"
    table.write_text(
        "Date,Shop,Receipt,Item,Total\n2026-02-14,Bits,1,frame,640\n2026-02-14,Bits,2,table saw,450\n"
        "2026-02-15,Bits,3,Frobnicator,9\n2026-02-15,Bits,4,drill bits set,32\n"
    )
    assert main(["import", str(table), "--into", str(tmp_path / "m.json")]) == 0
    shown = " ".join(capsys.readouterr().out.split())
    for option in ("[--currency CODE]", "[--leave-out 3 --leave-out 5]"):
        assert option in shown
    assert "[]" not in shown


def test_a_column_that_may_hold_receipt_numbers_is_named_with_the_option(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    table = tmp_path / "x.csv"
    table.write_text("Date,Shop,Item,Ref / notes,Total\n2026-02-14,Bits,frame,4411,640\n")
    target = tmp_path / "m.json"
    assert main(["import", str(table), "--into", str(target), "--dry-run"]) == 0
    shown = " ".join(capsys.readouterr().out.split())
    assert '[--map "Ref / notes=receipt_number" / --evidence receipt]' in shown
    assert main(["import", str(table), "--into", str(target), "--dry-run", "--map", "Ref / notes=recipt"]) == 1
    assert "supplier, receipt_number, note" in capsys.readouterr().err
    assert main(["import", str(table), "--into", str(target), "--map", "Ref / notes=receipt_number"]) == 0
    assert "--map" not in capsys.readouterr().out


def test_the_table_of_hours_has_the_headings_of_work(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    log = tmp_path / "x.csv"
    log.write_text("Day,What I did,Hrs\n2026-03-04,framing,2\n")
    assert main(["import", str(log), "--into", str(tmp_path / "m.json")]) == 0
    shown = capsys.readouterr().out
    assert "Done on" in shown
    assert "Bought on" not in shown
