"""The macros for LibreOffice and Excel in a real office, and web functions in its cells, against the real server.

The sheets are written by one library and read back by another; the values beside them are worked out by hand.
"""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from pathlib import Path
from typing import Any, TypeAlias

import pytest
import xlsxwriter
from python_calamine import CalamineWorkbook

from hitchworth.localization.localizer import localizer_for
from hitchworth.operations import sheet_values
from hitchworth.operations.settings import Settings
from hitchworth.store import open_store
from hitchworth.store.database import IN_MEMORY
from hitchworth.web.server import running
from hitchworth.workbooks.macros import macro
from office_macros import Office

Rows: TypeAlias = list[list[Any]]
DAY = date(2026, 11, 1)
BOUGHT = date(2024, 11, 1)
"""730 days before the valuation date."""
HEADINGS = ["Hitchworth: Replacement cost new", "Percent good", "Actual cash value", "Remark"]
RECEIPTS: Rows = [
    ["Date", "Store", "Item", "Category", "Qty", "Unit price"],
    [DAY, "RV parts", 'Stove "Đž", two\nburners', "stove", 1, 268.5],
    [DAY, "Lumber yard", "Birch plywood", "body_panels", 4, 62],
]
BUILD: Rows = [["Name of the trailer", "Camper"], ["Currency", "USD"], ["Valuation date", DAY]]
COMPONENTS: Rows = [
    ["ID", "Description", "Category", "Quantity", "Unit cost", "Bought on"],
    ["stove", "Stove", "stove", 2, 200, BOUGHT],
    ["pump", "Pump", "water", 1, 60, date(2026, 12, 24)],
]
LABOR: Rows = [["ID", "Task", "Hours", "Rate paid per hour", "Done on"], ["walls", "Walls", 10, 30, BOUGHT]]


def schedule(life: int) -> list[list[Any]]:
    """A schedule of its own for the stove, as the sheet of further entries has it."""
    text = f'{{"method": "straight_line", "life_years": {life}}}'
    return [["Sheet", "Entry", "Field", "Value"], ["Components", "stove", "schedule", text]]


@pytest.fixture(scope="module")
def url() -> Iterator[str]:
    with pytest.MonkeyPatch.context() as patch, running() as address:
        patch.setattr(sheet_values, "today", lambda: DAY)
        yield address


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory) -> Office:
    return Office(tmp_path_factory.mktemp("office"))


class Sheets:
    """A workbook in which the macro is run."""

    def __init__(self, office: Office, folder: Path, url: str, locale: str = "en-US") -> None:
        self._office, self._path = office, folder / "book.xlsx"
        self.code = macro("libreoffice", url, localizer_for(locale))
        self.steps = ["Hitchworth.Hitchworth()"]

    def write(self, sheets: Mapping[str, Sequence[Sequence[Any]]]) -> None:
        """Write the workbook."""
        with xlsxwriter.Workbook(self._path, {"default_date_format": "yyyy-mm-dd"}) as book:
            for name, rows in sheets.items():
                sheet = book.add_worksheet(name)
                for place, row in enumerate(rows):
                    sheet.write_row(place, 0, row)

    def run(self, active: str = "") -> dict[str, list[list[Any]]]:
        """Run the macro, and return the rows of each sheet as they are then."""
        self._office.run(self._path, self.steps, {"Hitchworth": self.code}, active)
        book = CalamineWorkbook.from_path(self._path)
        return {name: book.get_sheet_by_name(name).to_python(skip_empty_area=False) for name in book.sheet_names}


@pytest.fixture
def sheets(office: Office, tmp_path: Path, url: str) -> Sheets:
    return Sheets(office, tmp_path, url)


def beside(rows: Sequence[Sequence[Any]], column: int) -> list[list[Any]]:
    """What the macro has written: four columns."""
    return [list(row[column : column + 4]) for row in rows]


def test_receipts_get_their_values_beside_them(sheets: Sheets) -> None:
    sheets.write({"Receipts": RECEIPTS})
    found = sheets.run()["Receipts"]
    assert found[1][2] == RECEIPTS[1][2]  # what was there stays as it was
    summed = "On Nov 1, 2026, all rows together: replacement cost $516.50, actual cash value $516.50."
    rows = beside(found, 6)
    assert rows[:4] == [HEADINGS, [268.5, 1.0, 268.5, ""], [248.0, 1.0, 248.0, ""], ["", "", "", ""]]  # bought today
    assert rows[4][:3] == [516.5, "", 516.5]
    assert rows[4][3].startswith(summed)


def test_another_run_writes_over_the_first(sheets: Sheets) -> None:
    sheets.write({"Receipts": RECEIPTS})
    assert sheets.run() == sheets.run()


def test_a_workbook_is_valued_with_what_its_other_sheets_say(sheets: Sheets) -> None:
    """Straight line over 10 years, 730 of 3,652.5 days: 1 - 0.199863; of 400 that is 79.95."""
    sheets.write({"Build": BUILD, "Components": COMPONENTS, "Labor": LABOR, "Further entries": schedule(10)})
    found = sheets.run("Components")
    parts, labor = beside(found["Components"], 6), beside(found["Labor"], 5)
    assert parts[:2] == [HEADINGS, [400.0, 0.800137, 320.05, ""]]
    assert parts[2] == ["", "", "", "Not counted on Nov 1, 2026: bought later, removed by then, or taken back."]
    assert parts[4][:3] == [400.0, "", 320.05]
    assert labor[1][:3] == [300.0, 1.0, 300.0]
    assert "replacement cost $700.00, actual cash value $620.05" in labor[3][3]
    assert len(found["Build"][0]) == 2  # nothing is written where no entries are


def test_a_life_of_0_is_told_in_the_sheet_that_says_so(sheets: Sheets) -> None:
    sheets.write({"Build": BUILD, "Components": COMPONENTS, "Further entries": schedule(0)})
    found = sheets.run("Components")["Further entries"]
    remark = found[1][-1]
    assert "D2" in remark
    assert "life" in remark
    assert found[3][-1] == "Cells to correct: 1. Until then nothing is valued."


def test_text_where_a_number_belongs_is_told_in_its_row(sheets: Sheets) -> None:
    sheets.write({"Receipts": [*RECEIPTS, *RECEIPTS[1:], [*RECEIPTS[1][:5], "ask the dealer"]]})
    rows = beside(sheets.run()["Receipts"], 6)
    assert rows[5][:3] == ["", "", ""]
    assert rows[5][3].startswith("F6: ")
    assert "ask the dealer" in rows[5][3]
    assert [row[0] for row in rows[1:5]] == ["", "", "", ""]  # nothing is valued by halves


def test_the_values_of_an_earlier_run_go_when_a_cell_is_wrong(sheets: Sheets) -> None:
    sheets.write({"Build": BUILD, "Components": COMPONENTS})
    assert sheets.run("Components")["Components"][1][6] == 400.0
    broken = [*COMPONENTS[:2], ["pump", "Pump", "water", "one", 60, BOUGHT]]
    sheets.write(
        {
            "Build": BUILD,
            "Components": [[*row, value] for row, value in zip(broken, ["Hitchworth: x", 400, 60], strict=True)],
        }
    )
    rows = beside(sheets.run("Components")["Components"], 6)
    assert rows[1] == ["", "", "", ""]
    assert rows[2][3].startswith("D3: Not a number")


@pytest.mark.parametrize("rows", [[], [["Date", "Item", "Price"]]], ids=["nothing", "headers alone"])
def test_an_empty_sheet_says_that_it_is(sheets: Sheets, rows: list[list[str]]) -> None:
    sheets.write({"Receipts": rows, "Other": [["a text", 1]]})
    found = sheets.run("Receipts")["Receipts"]
    assert "row for each purchase" in found[0][-1]


def test_a_server_that_does_not_run_is_named(office: Office, tmp_path: Path) -> None:
    sheets = Sheets(office, tmp_path, "http://127.0.0.1:9")
    sheets.write({"Receipts": RECEIPTS})
    (message,) = (cell for row in sheets.run()["Receipts"] for cell in row[6:] if cell)
    assert message.startswith("Hitchworth: The server at http://127.0.0.1:9 does not answer. Start it with")


def test_a_server_that_wants_a_key_is_told_apart(office: Office, tmp_path: Path) -> None:
    store = open_store(IN_MEMORY)
    with running(Settings(port=0, access_log=False, require_keys=True), store=store) as address:
        sheets = Sheets(office, tmp_path, address)
        sheets.write({"Receipts": RECEIPTS})
        (message,) = (cell for row in sheets.run()["Receipts"] for cell in row[6:] if cell)
    store.close()
    assert message.endswith("use a server that asks for none, such as one on your own computer.")


def test_many_rows_come_back_whole(sheets: Sheets) -> None:
    """More text than the strings of old Basic could hold."""
    rows = [[*RECEIPTS[2][:2], f"Birch plywood, sheet {n}", *RECEIPTS[2][3:]] for n in range(1500)]
    sheets.write({"Receipts": [RECEIPTS[0], *rows]})
    found = sheets.run()["Receipts"]
    assert [row[6] for row in found[1:1501]] == [248.0] * 1500
    assert found[1502][6] == 1500 * 248.0


@pytest.mark.parametrize("locale", ["en-US", "de-DE"])
def test_web_functions_in_cells_are_numbers_in_every_locale(url: str, tmp_path: Path, locale: str) -> None:
    """Straight line over 10 years after 3: 0.7, whichever mark the locale has."""
    query = f"{url}/v1/cells/percent-good?method=straight_line&age_years=3&faults=in-body&life_years="
    texts = [f'WEBSERVICE("{query}{end}")' for end in ("10", "10&decimal=comma", "0")]
    formulas = [f'=NUMBERVALUE({texts[0]},".")', f'=NUMBERVALUE({texts[1]},",")', f"={texts[2]}"]
    book = tmp_path / "cells.xlsx"
    with xlsxwriter.Workbook(book) as written:
        for row, formula in enumerate(formulas):
            written.add_worksheet(f"S{row}").write_formula(
                0, 0, formula.replace("WEBSERVICE", "_xlfn.WEBSERVICE").replace("NUMBERVALUE", "_xlfn.NUMBERVALUE")
            )
    wait = [line for _ in range(4) for line in ("doc.calculateAll()", "Wait 500")]
    Office(tmp_path, locale).run(book, wait, {})
    read = CalamineWorkbook.from_path(book)
    point, comma, wrong = (read.get_sheet_by_name(f"S{row}").to_python()[0][0] for row in range(3))
    assert isinstance(wrong, str)
    assert (point, comma) == (0.7, 0.7)
    assert wrong.startswith("Error: ")
    assert "life_years" in wrong


GLOBALS = """Option VBASupport 1
Option Explicit
Public ActiveSheet As Object
Public ActiveWorkbook As Object
Public Sub Prepare(doc As Object)
  Dim context(0) As New com.sun.star.beans.PropertyValue, globals As Object
  context(0).Name = "ExcelDocumentContext"
  context(0).Value = doc
  Set globals = createUnoServiceWithArguments("ooo.vba.excel.Globals", context())
  Set ActiveWorkbook = globals.ActiveWorkbook
  Set ActiveSheet = globals.ActiveSheet
End Sub
"""
"""What is there by itself in the other program."""

SENDING = """Private Function Answer(sent As String) As String
  Dim temp As Object, text As Object, pipe As Object, argument As Object, command As Object, reader As Object
  Dim broker As Object
  Set temp = createUnoService("com.sun.star.io.TempFile")
  Set text = createUnoService("com.sun.star.io.TextOutputStream")
  text.setOutputStream(temp.getOutputStream())
  text.setEncoding("UTF-8")
  text.writeString(sent)
  text.flush()
  temp.seek(0)
  Set broker = createUnoService("com.sun.star.ucb.UniversalContentBroker")
  Set pipe = createUnoService("com.sun.star.io.Pipe")
  Set argument = createUnoStruct("com.sun.star.ucb.PostCommandArgument2")
  argument.Source = temp.getInputStream()
  argument.Sink = pipe
  Set command = createUnoStruct("com.sun.star.ucb.Command")
  command.Name = "post"
  command.Handle = -1
  command.Argument = argument
  broker.queryContent(broker.createContentIdentifier(SERVER & ADDRESS)).execute(command, 0, Nothing)
  pipe.closeOutput()
  Set reader = createUnoService("com.sun.star.io.TextInputStream")
  reader.setInputStream(pipe)
  reader.setEncoding("UTF-8")
  Answer = reader.readString(Array(), False)
End Function

"""
"""How the office sends, in the place of the object that the macro for Excel has for that."""


@pytest.fixture
def excel_sheets(sheets: Sheets, url: str) -> Sheets:
    """A workbook with the macro for Excel, which the office runs but for its sending: it understands VBA.

    This does not show that it runs in Excel; it shows that its grammar and its steps are right.
    """
    code = macro("excel", url, localizer_for("en-US")).partition("Option Explicit\n")[2]
    start, end = code.index("' What the server answers"), code.index("Private Sub WriteRows")
    sheets.code = GLOBALS + code[:start] + SENDING + code[end:]
    sheets.steps = ["Hitchworth.Prepare(doc)", *sheets.steps]
    return sheets


def test_the_macro_for_excel_runs_in_an_office_that_understands_it(excel_sheets: Sheets) -> None:
    excel_sheets.write({"Receipts": RECEIPTS})
    rows = beside(excel_sheets.run()["Receipts"], 6)
    assert rows[:3] == [HEADINGS, [268.5, 1.0, 268.5, ""], [248.0, 1.0, 248.0, ""]]
    assert rows[4][:3] == [516.5, "", 516.5]
    assert beside(excel_sheets.run()["Receipts"], 6) == rows


def test_the_macro_for_excel_tells_a_wrong_cell_in_its_row(excel_sheets: Sheets) -> None:
    wrong = [*RECEIPTS, *RECEIPTS[1:], [*RECEIPTS[1][:5], "ask the dealer"]]
    excel_sheets.write({"Other": [["a text"]], "Receipts": wrong})
    found = excel_sheets.run("Receipts")
    rows = beside(found["Receipts"], 6)
    assert rows[5][3].startswith("F6: ")
    assert [row[:3] for row in rows[1:]] == [["", "", ""]] * (len(rows) - 1)
    assert found["Other"] == [["a text"]]
