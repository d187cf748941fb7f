"""The macro for web spreadsheets in a real browser, over stand-ins for the spreadsheet's objects.

It asks the real server. That it runs in a web spreadsheet itself is not shown by this.
"""

from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page

from headless_browser import headless_browser
from hitchworth.localization.localizer import localizer_for
from hitchworth.model.access import KeyRequest
from hitchworth.model.caller import DEFAULT_WORKSPACE
from hitchworth.operations import sheet_values
from hitchworth.operations.keys import new_key
from hitchworth.operations.settings import Settings
from hitchworth.store import open_store
from hitchworth.store.database import IN_MEMORY
from hitchworth.web.server import running
from hitchworth.workbooks.macros import macro

STAND_INS = Path(__file__).with_name("web_spreadsheet.js").read_text("utf-8")
HEADINGS = ["Hitchworth: Replacement cost new", "Percent good", "Actual cash value", "Remark"]
RECEIPTS: list[list[Any]] = [
    ["Date", "Store", "Item", "Category", "Qty", "Unit price"],
    ["2026-11-01", "RV parts", 'Stove "Đž",\ttwo', "stove", 1, 268.5],
    ["2026-11-01", "Lumber yard", "Birch plywood", "body_panels", 4, 62],
]


@pytest.fixture(scope="module")
def url() -> Iterator[str]:
    with pytest.MonkeyPatch.context() as patch, running() as address:
        patch.setattr(sheet_values, "today", lambda: date(2026, 11, 1))
        yield address


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with headless_browser() as browser:
        yield browser


@pytest.fixture(scope="module")
def page(browser: Browser, url: str) -> Page:
    page = browser.new_page()
    page.goto(f"{url}/health")  # a page of the server may ask it
    return page


def run(page: Page, code: str, rows: list[list[Any]], times: int = 1, **others: Any) -> dict[str, list[list[Any]]]:
    """Run the macro on a sheet of receipts, its first column of dates; return the first ten columns of every sheet."""
    script = f"""([rows, others, times]) => {{
      {STAND_INS}
      {code}
      const dated = rows.map(([day, ...cells], at) => [at ? new Date(day) : day, ...cells]);
      Object.assign(book, {{ sheets: {{ ...others, Receipts: dated }}, active: 'Receipts' }});
      for (let n = 0; n < times; n += 1) hitchworth();
      return book.sheets;
    }}"""
    found: dict[str, list[list[Any]]] = page.evaluate(script, [rows, others, times])
    return {name: [row + [""] * (10 - len(row)) for row in rows] for name, rows in found.items()}


def test_receipts_get_their_values_beside_them(page: Page, url: str) -> None:
    code = macro("web-spreadsheet", url, localizer_for("en-US"))
    found = run(page, code, RECEIPTS, Notes=[["a note"]], hidden=[["Build", "x"]])
    rows = [row[6:] for row in found["Receipts"]]
    assert rows[:3] == [HEADINGS, [268.5, 1, 268.5, ""], [248, 1, 248, ""]]  # bought on the valuation date
    assert rows[4][:3] == [516.5, "", 516.5]
    assert rows[4][3].startswith("On Nov 1, 2026, all rows together: replacement cost $516.50,")
    assert found["Notes"][0][:2] == ["a note", ""]
    assert run(page, code, RECEIPTS, times=3)["Receipts"] == found["Receipts"]


def test_wrong_cells_are_told_in_their_rows(page: Page, url: str) -> None:
    code = macro("web-spreadsheet", url, localizer_for("en-US"))
    wrong = [*RECEIPTS, *RECEIPTS[1:], [*RECEIPTS[1][:5], "ask the dealer"]]
    found = run(page, code, wrong)["Receipts"]
    assert found[5][9].startswith("F6: ")
    assert [row[6:9] for row in found[1:6]] == [["", "", ""]] * 5


def test_an_empty_sheet_and_a_server_that_does_not_run_are_told(page: Page, url: str) -> None:
    code = macro("web-spreadsheet", url, localizer_for("en-US"))
    (message,) = (cell for row in run(page, code, [])["Receipts"] for cell in row if "empty" in str(cell))
    assert "a row for each purchase below it" in message
    code = macro("web-spreadsheet", "http://127.0.0.1:9", localizer_for("en-US"))
    assert run(page, code, RECEIPTS)["Receipts"][0][6].startswith("Hitchworth: The server at http://127.0.0.1:9")


def test_a_key_is_sent_where_one_is_written(browser: Browser) -> None:
    store = open_store(IN_MEMORY)
    key = new_key(store, DEFAULT_WORKSPACE, "owner", KeyRequest(name="owner", scope="read")).key
    with running(Settings(port=0, access_log=False, require_keys=True), store=store) as url:
        page = browser.new_page()
        page.goto(f"{url}/health")
        code = macro("web-spreadsheet", url, localizer_for("en-US"))
        without = run(page, code, RECEIPTS)["Receipts"]
        within = run(page, code.replace("const KEY = '';", f"const KEY = '{key}';"), RECEIPTS)["Receipts"]
    store.close()
    assert without[0][6].endswith("Write your key between the quotes of the line KEY at the top of the macro.")
    assert within[1][6] == 268.5
