"""Twenty nasty files through the command and over HTTP: each is read, asked about or refused in plain words."""

from pathlib import Path
from typing import Any, NamedTuple

import pytest

from hitchworth.cli import main
from nasty_files import NASTY_FILES
from web_server import client

TWO = (("Stove", "268.00"), ("Sink", "120.50"))
ONE = TWO[:1]
NEXT = "Add to the command: "


class Outcome(NamedTuple):
    """What a file comes to."""

    words: str
    """Of what the command prints, spaces as single ones."""
    entries: tuple[tuple[str, str], ...] = ()
    """Descriptions and unit costs; none where something is asked or refused."""
    codes: tuple[str, ...] = ()
    """Of the questions."""
    cells: tuple[str, ...] = ()
    """Of the faults; empty text for the whole file."""


OUTCOMES: dict[str, Outcome] = {
    "utf_16.csv": Outcome("Added: 2;", TWO),
    "windows_1252.csv": Outcome("it was read as Windows-1252.", codes=("currency_of_decimals",)),
    "decimal_comma.csv": Outcome(f"{NEXT}--currency EUR or --currency USD", codes=("currency_of_decimals",)),
    "day_order.csv": Outcome(f"{NEXT}--date-order day-first or --date-order month-first", codes=("date_order",)),
    "merged.xlsx": Outcome("or --fill-down acquired_on, where it is that of the row above", cells=("Receipts!A3",)),
    "hidden.xlsx": Outcome("The hidden sheet Old is not read.", ONE),
    "from_1904.xlsx": Outcome("2 Mar 14, 2026 Stove $268.00", ONE),
    "formulas.xlsx": Outcome("open the file in a spreadsheet program", cells=("Receipts!C3", "Receipts!C4")),
    "many_rows.csv": Outcome("The table has more than 10,000 rows", cells=("",)),
    "macros.xlsm": Outcome("The workbook holds macros. Save it without them", cells=("",)),
    "bomb.xlsx": Outcome("The file unpacks to more than 60 MB", cells=("",)),
    "formula_texts.csv": Outcome("Added: 3;", (("=1+1", "268.00"), ("@lights", "120.50"), ("-x", "9.00"))),
    "two_headers.csv": Outcome("C Paid Amount amount", TWO),
    "totals.csv": Outcome("4: a total: Total | 388.50", TWO),
    "blank_columns.csv": Outcome("E Amount amount", TWO),
    "same_headers.csv": Outcome(f"{NEXT}--map C=amount or --map D=amount", codes=("amounts_with_one_header",)),
    "currency_signs.csv": Outcome("3 Mar 20, 2026 Sink $1,120.50", (ONE[0], ("Sink", "1120.50"))),
    "parentheses.csv": Outcome("Row 4 takes back “Stove”.", (*TWO, ("Stove returned", "268.00"))),
    "not_available.csv": Outcome(f"{NEXT}--map Amount=amount", codes=("missing_amount",)),
    "bom_and_tabs.csv": Outcome("Added: 2;", TWO),
}


@pytest.mark.parametrize("name", NASTY_FILES)
def test_the_command(name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    outcome, file, document = OUTCOMES[name], tmp_path / name, tmp_path / "camper.json"
    file.write_bytes(NASTY_FILES[name])
    assert main(["import", str(file), "--into", str(document)]) == (0 if outcome.entries else 1)
    printed = capsys.readouterr()
    assert outcome.words in " ".join(f"{printed.out} {printed.err}".split())
    assert document.exists() is bool(outcome.entries)


@pytest.fixture(scope="module")
def api() -> Any:
    with client() as api:
        yield api


@pytest.mark.parametrize("name", NASTY_FILES)
def test_over_http(name: str, api: Any) -> None:
    outcome = OUTCOMES[name]
    answer = api.post("/v1/receipt-imports", content=NASTY_FILES[name])
    body = answer.json()
    assert answer.status_code == (422 if outcome.cells else 200)
    assert tuple((part["description"], part["unit_cost"]) for part in body.get("components", ())) == outcome.entries
    assert tuple(question["code"] for question in body.get("questions", ())) == outcome.codes
    assert tuple(fault["cell"] for fault in body.get("errors", ())) == outcome.cells


def test_what_is_not_available_is_told_by_cell_once_its_column_is_named(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "receipts.csv"
    file.write_bytes(NASTY_FILES["not_available.csv"])
    assert main(["import", str(file), "--into", str(tmp_path / "x.json"), "--map", "Amount=amount"]) == 1
    printed = capsys.readouterr().err
    assert "C4: " in printed
    assert "found n/a" in printed


@pytest.mark.parametrize(("column", "costs"), [("C", ["268.00", "120.50"]), ("D", ["1.00", "2.00"])])
def test_of_two_columns_with_one_header_the_one_named_by_its_letter_counts(
    column: str, costs: list[str], api: Any
) -> None:
    settings = f'{{"columns": {{"{column}": "amount"}}}}'
    answer = api.post(
        "/v1/receipt-imports", content=NASTY_FILES["same_headers.csv"], params={"settings": settings}
    ).json()
    assert answer["questions"] == []
    assert [part["unit_cost"] for part in answer["components"]] == costs
