"""The formulas of a filled workbook, recomputed by a spreadsheet program: every amount is ours, to the cent."""

import csv
import subprocess
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path

import pytest
from msgspec.structs import replace

from hitchworth.demo import demo_request
from hitchworth.model.build import IndirectCosts
from hitchworth.model.options import Options
from hitchworth.model.request import GapRequest
from hitchworth.operations.renderings import AS_WORKBOOK
from hitchworth.operations.workbooks import workbook_of
from hitchworth.workbooks.look import Workbook
from installed import installed

EVERY_SHEET = "csv:Text - txt - csv (StarCalc):44,34,76,1,,0,false,false,false,false,false,-1"
"""Each sheet in a file of its own; numbers as they are, not as they are shown."""
RECALCULATE = """<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry"><item oor:path="/org.openoffice.Office.Calc/Formula/Load">
<prop oor:name="OOXMLRecalcMode" oor:op="fuse"><value>0</value></prop>
<prop oor:name="ODFRecalcMode" oor:op="fuse"><value>0</value></prop></item></oor:items>"""


@dataclass
class Recalculated:
    """A workbook as the program recomputes it, without the values that are stored beside the formulas."""

    folder: Path

    def rows(self, form: str, content: bytes, sheet: str) -> list[list[str]]:
        profile = self.folder / "profile"
        (profile / "user").mkdir(parents=True, exist_ok=True)
        (profile / "user" / "registrymodifications.xcu").write_text(RECALCULATE)
        file = self.folder / f"book.{form}"
        file.write_bytes(content)
        program = installed("soffice", package="libreoffice-calc")
        command = [program, "--headless", "--norestore", f"-env:UserInstallation={profile.as_uri()}"]
        command += ["--convert-to", EVERY_SHEET, "--outdir", str(self.folder), str(file)]
        run = subprocess.run(command, capture_output=True, text=True, timeout=120, check=False)
        assert run.returncode == 0, run.stderr
        return list(csv.reader((self.folder / f"book-{sheet}.csv").read_text("utf-8").splitlines()))


def varied(request: GapRequest) -> GapRequest:
    """The demo with overhead on profit, tax on the total and on labor, labor that ages, and another price."""
    terms = IndirectCosts(
        overhead_rate=Decimal("0.125"),
        profit_rate=Decimal("0.15"),
        compounded=True,
        sales_tax_rate=Decimal("0.092"),
        sales_tax_basis="total",
        tax_labor=True,
    )
    return replace(
        request,
        build=replace(request.build, indirect_costs=terms),
        options=Options(labor_depreciation="with_component"),
    )


def without_values(workbook: Workbook) -> Workbook:
    """The workbook with 0 in place of every figure that has a formula, so that only a formula can bring it back."""
    tables = []
    for table in workbook.tables:
        formulas = workbook.looks[table.name].formulas
        rows = tuple(
            tuple(Decimal(0) if (row, at) in formulas else cell for at, cell in enumerate(cells))
            for row, cells in enumerate(table.rows)
        )
        tables.append(replace(table, rows=rows))
    return replace(workbook, tables=tuple(tables))


def number(text: str) -> Decimal:
    """A number as the program writes it, a share in percent."""
    return Decimal(text.removesuffix("%")) / (100 if text.endswith("%") else 1)


@pytest.mark.parametrize("form", ["xlsx", "ods"])
@pytest.mark.parametrize("change", [lambda request: request, varied], ids=["demo", "varied"])
def test_the_program_computes_every_amount_as_we_do(change: object, form: str, tmp_path: Path) -> None:
    assert callable(change)
    workbook = workbook_of(change(demo_request()))
    render = next(each.render for each in AS_WORKBOOK if each.name == form)
    found = Recalculated(tmp_path)
    for sheet in ("Line values", "Results"):
        ours = next(table.rows for table in workbook.tables if table.name == sheet)
        theirs = found.rows(form, render(without_values(workbook)), sheet)
        formulas = workbook.looks[sheet].formulas
        assert len(formulas) > 10
        for row, column in formulas:
            expected, got = ours[row][column], number(theirs[row][column])
            assert isinstance(expected, Decimal)
            is_money = sheet == "Results" or column not in (9, 10)
            assert abs(got - expected) < (Decimal("0.000001") if is_money else Decimal("0.001")), (row, column)


def test_a_changed_price_changes_the_line_and_the_sum(tmp_path: Path) -> None:
    """The tongue extension's 285.00 becomes 385.00: its cost paid grows from 310.94 to 410.94."""
    workbook = workbook_of(demo_request())
    sheets = {table.name: table for table in workbook.tables}
    head = sheets["Components"].rows[0]
    row = next(at for at, cells in enumerate(sheets["Components"].rows) if cells[0] == "tongue-extension")
    price = head.index("Unit cost")
    rows = [list(cells) for cells in sheets["Components"].rows]
    rows[row][price] = Decimal("385.00")
    changed = replace(sheets["Components"], rows=tuple(tuple(cells) for cells in rows))
    tables = tuple(changed if table.name == "Components" else table for table in workbook.tables)
    content = AS_WORKBOOK[0].render(replace(workbook, tables=tables))
    lines = Recalculated(tmp_path).rows("xlsx", content, "Line values")
    line = next(cells for cells in lines if cells[0] == "tongue-extension")
    assert Decimal(line[3]) == Decimal("410.94")
    assert Decimal(lines[-1][3]) == Decimal(str(sheets["Line values"].rows[-1][3])) + 100
