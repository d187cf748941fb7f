"""The formulas of a filled workbook, recomputed by a spreadsheet program: every amount is ours, to the cent."""

import csv
import subprocess
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from msgspec.structs import replace

from hitchworth.demo import demo_request
from hitchworth.model.build import Build, IndexMonth
from hitchworth.model.entry import Component, Labor
from hitchworth.model.indirect_costs import IndirectCosts
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


PAID_ON, NOW = date(2025, 3, 4), date(2026, 11, 27)
INDEX: dict[str, tuple[IndexMonth, ...]] = {
    "lumber": (IndexMonth(month="2025-03", value=Decimal(200)), IndexMonth(month="2026-11", value=Decimal(230)))
}


def document(factor: int, sales_tax_rate: str) -> GapRequest:
    """A line of every rule of a direct cost; what was entered for each times the factor."""

    def part(name: str, cost: str, **more: Any) -> Component:
        given = {"quantity": Decimal(2), "acquired_on": PAID_ON, "freight": Decimal(10 * factor), **more}
        return Component(id=name, description=name, category="stove", unit_cost=Decimal(cost) * factor, **given)

    def work(name: str, rate: str, **more: Any) -> Labor:
        return Labor(id=name, task=name, hours=Decimal(40 * factor), rate=Decimal(rate), performed_on=PAID_ON, **more)

    foreign: dict[str, Any] = {"currency": "CAD", "exchange_rate": Decimal("0.7"), "exchange_rate_source": "invented"}
    terms = IndirectCosts(sales_tax_rate=Decimal(sales_tax_rate) * factor)
    parts = (
        part("paid", "134.00", tax=Decimal("24.66") * factor),
        part("quoted", "100.00", replacement_unit_cost=Decimal(120) * factor),
        part("quoted with its tax", "100.00", tax=Decimal(20) * factor, replacement_unit_cost=Decimal(120) * factor),
        part("abroad", "50.00", **foreign),
        part(
            "quoted abroad",
            "50.00",
            **foreign,
            replacement_unit_cost=Decimal(60),
            quoted_exchange_rate=Decimal("0.75") * factor,
        ),
        part("trended", "80.00", price_index="lumber"),
        part("quoted and trended", "80.00", price_index="lumber", replacement_unit_cost=Decimal(90), quoted_on=PAID_ON),
    )
    labor = (
        work("paid hours", "35.00"),
        work("at a market rate", "35.00", market_rate=Decimal(70)),
        work("trended hours", "35.00", price_index="lumber"),
        work("market rate, trended", "35.00", price_index="lumber", market_rate=Decimal(70), market_rate_on=PAID_ON),
    )
    build = Build(name="x", currency="USD", components=parts, labor=labor, indirect_costs=terms, price_indexes=INDEX)
    return GapRequest(build=build, as_of=NOW)


@pytest.mark.parametrize("form", ["xlsx", "ods"])
@pytest.mark.parametrize("sales_tax_rate", ["0", "0.04"])
def test_a_change_of_what_was_entered_changes_the_lines_and_the_sums(
    sales_tax_rate: str, form: str, tmp_path: Path
) -> None:
    """Hours 40 become 80, prices, tax, freight and rates double, in the cells alone.

    The program then has the figures of a document with those entries: at a market rate of 70.00, 80 hours are 5,600.00.
    """
    workbook, doubled = (workbook_of(document(factor, sales_tax_rate)) for factor in (1, 2))
    entered = {table.name: table for table in doubled.tables if table.name in ("Build", "Components", "Labor")}
    tables = tuple(entered.get(table.name, table) for table in workbook.tables)
    render = next(each.render for each in AS_WORKBOOK if each.name == form)
    found = Recalculated(tmp_path)
    content = render(without_values(replace(workbook, tables=tables)))
    lines, results = (found.rows(form, content, sheet) for sheet in ("Line values", "Results"))
    expected = {table.name: table.rows for table in doubled.tables}
    for ours, theirs in zip(expected["Line values"][1:], lines[1:], strict=True):
        for column in (3, 4, 7, 8, 11, 12):
            assert abs(number(theirs[column]) - Decimal(str(ours[column]))) < Decimal("0.000001"), (ours, column)
    market = next(cells for cells in lines if cells[0] == "at a market rate")
    assert Decimal(market[4]) == Decimal("5600.00")
    sums = {row[0]: row[1] for row in expected["Results"] if len(row) == 2}
    assert len(sums) == 7
    for label, amount in sums.items():
        found_sum = next(cells[1] for cells in results if cells[0] == label)
        assert abs(number(found_sum) - Decimal(str(amount))) < Decimal("0.000001"), label


def split_document(quantity: str, rates: str, **terms: Any) -> GapRequest:
    """Lines of which some bear the tax paid, a price that includes overhead, or hours; rates for what comes on top."""

    def part(name: str, cost: str, amount: str = "1", **more: Any) -> Component:
        given = {"quantity": Decimal(amount), "acquired_on": PAID_ON, **more}
        return Component(id=name, description=name, category="stove", unit_cost=Decimal(cost), **given)

    parts = (
        part("panels", "61.00", quantity),
        part("b twin", "33.35"),
        part("a twin", "33.35"),
        part("taxed", "50.05", quantity, tax=Decimal("4.61"), freight=Decimal(7)),
        part("quoted", "50.05", tax=Decimal("4.61"), replacement_unit_cost=Decimal("61.17") + Decimal(quantity)),
        part("with overhead", "77.77", price_includes="overhead"),
        part("with everything", "99.99", price_includes="all"),
    )
    labor = (Labor(id="hours", task="hours", hours=Decimal(quantity), rate=Decimal("35.00"), performed_on=PAID_ON),)
    rate = Decimal(rates)
    costs = IndirectCosts(overhead_rate=rate, profit_rate=rate, **terms)
    return GapRequest(
        build=Build(name="x", currency="USD", components=parts, labor=labor, indirect_costs=costs), as_of=NOW
    )


@pytest.mark.parametrize(
    ("form", "terms"),
    [
        ("xlsx", {}),
        ("ods", {"compounded": True, "profit_basis": "margin"}),
        ("xlsx", {"sales_tax_rate": Decimal("0.0875"), "sales_tax_basis": "total", "compounded": True}),
    ],
    ids=["markup", "margin", "tax on the total"],
)
def test_overhead_and_profit_of_a_line_follow_its_quantity_and_its_price(
    form: str, terms: dict[str, Any], tmp_path: Path
) -> None:
    """6 panels at 61.00 are 366.00, and 36.60 of overhead at 10 percent; 60 are 3,660.00, and 366.00 of overhead.

    The cents left over go to the lines with the largest remainders, of twins to the one whose ID comes first, as a
    document with those entries has it.
    """
    workbook, changed = split_document("6", "0.1", **terms), split_document("60", "0.125", **terms)
    ours, theirs = workbook_of(workbook), workbook_of(changed)
    entered = {table.name: table for table in theirs.tables if table.name in ("Build", "Components", "Labor")}
    tables = tuple(entered.get(table.name, table) for table in ours.tables)
    render = next(each.render for each in AS_WORKBOOK if each.name == form)
    content = render(without_values(replace(ours, tables=tables)))
    lines = Recalculated(tmp_path).rows(form, content, "Line values")
    expected = next(table.rows for table in theirs.tables if table.name == "Line values")
    assert lines[0] == list(expected[0])
    for ours_of, theirs_of in zip(expected[1:], lines[1:], strict=True):
        for column in (*range(3, 9), *range(11, 13), *range(14, len(ours_of))):
            assert abs(number(theirs_of[column] or "0") - Decimal(str(ours_of[column] or 0))) < Decimal("0.000001"), (
                ours_of[0],
                column,
            )


def test_ten_times_as_many_have_ten_times_the_overhead(tmp_path: Path) -> None:
    """6 at 61.00 with 10 percent are 402.60; with 60 in the cell of the quantity, 3,660.00 + 366.00 = 4,026.00."""
    part = Component(
        id="a", description="a", category="stove", quantity=Decimal(6), unit_cost=Decimal(61), acquired_on=PAID_ON
    )
    build = Build(
        name="x", currency="USD", components=(part,), indirect_costs=IndirectCosts(overhead_rate=Decimal("0.1"))
    )
    book = workbook_of(GapRequest(build=build, as_of=NOW))
    lines = next(table for table in book.tables if table.name == "Line values")
    assert lines.rows[1][8] == Decimal("402.60")
    parts = next(table for table in book.tables if table.name == "Components")
    row = tuple(Decimal(60) if at == 3 else cell for at, cell in enumerate(parts.rows[1]))
    many = replace(parts, rows=(parts.rows[0], row))
    tables = tuple(many if table is parts else table for table in book.tables)
    render = next(each.render for each in AS_WORKBOOK if each.name == "xlsx")
    found = Recalculated(tmp_path).rows("xlsx", render(without_values(replace(book, tables=tables))), "Line values")
    assert (number(found[1][5]), number(found[1][8])) == (Decimal(366), Decimal(4026))
