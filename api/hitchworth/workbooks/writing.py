"""Write tables as XLSX: the same bytes for the same tables. No text in them is read as a formula."""

import re
from collections.abc import Mapping, Sequence
from datetime import date, datetime
from decimal import Decimal
from io import BytesIO
from typing import Any

from xlsxwriter import Workbook as XlsxWorkbook
from xlsxwriter.format import Format
from xlsxwriter.utility import quote_sheetname, xl_rowcol_to_cell
from xlsxwriter.worksheet import Worksheet

from hitchworth.workbooks.cells import Cell, cell_text
from hitchworth.workbooks.look import Chart, Look, Style, lines_in
from hitchworth.workbooks.table import Table

_CREATED = datetime(2000, 1, 1)  # noqa: DTZ001 (the file has no time zone; a fixed day gives the same bytes)
LISTS_SHEET = "_"
"""The name of the hidden sheet with the words of the drop-down lists."""

_PLAIN = Look()
_OPTIONS = {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False, "strings_to_numbers": False}
_TOP: dict[str, Any] = {"valign": "top"}
_LEFT: dict[str, Any] = {"align": "left"}
_FROM_RIGHT: dict[str, Any] = {"align": "right", "indent": 1}
"""A number does not touch the text in the next column."""
_FORMATS: dict[Style, dict[str, Any]] = {
    "title": {"bold": True, "font_size": 14},
    "head": {"bold": True, "text_wrap": True, "valign": "top", "bg_color": "#E7E6E6", "bottom": 1},
    "required": {"bold": True, "text_wrap": True, "valign": "top", "bg_color": "#FFE699", "bottom": 1},
    "label": _TOP | {"bold": True, "text_wrap": True},
    "text": _TOP | {"text_wrap": True},
    "number": _TOP | _FROM_RIGHT,
    "money": _TOP | _FROM_RIGHT,
    "share": _TOP | _FROM_RIGHT | {"num_format": "0.00%"},
    "entry_number": _TOP | _LEFT,
    "entry_money": _TOP | _LEFT,
    "entry_share": _TOP | _LEFT | {"num_format": "0.00%"},
    "date": _TOP | {"num_format": "yyyy-mm-dd", "align": "left", "indent": 1},
    "total": _TOP | {"bold": True, "top": 1},
    "total_money": _TOP | _FROM_RIGHT | {"bold": True, "top": 1},
    "wrong": _TOP | {"bg_color": "#F8CBAD", "text_wrap": True, "border": 1, "border_color": "#C00000"},
    "unlisted": _TOP | {"bg_color": "#FFF2CC", "text_wrap": True},
}
_MONEY = ("money", "total_money", "entry_money")
_UPRIGHT, _ACROSS = 90, 260
"""Characters that fit the width of a page that stands, and of one that lies. A wider sheet is printed on several, its
first column on each."""
_LINE_HEIGHT, _HIGHEST = 15, 409


def xlsx_bytes(
    tables: Sequence[Table],
    title: str = "",
    looks: Mapping[str, Look] | None = None,
    money_places: int = 2,
    currency_sign: tuple[str, str] = ("", ""),
) -> bytes:
    """Return tables as XLSX, each as a sheet with a look by its name.

    Without one: a bold first row that stays in sight. currency_sign: what stands before and after an amount of money.
    """
    written = BytesIO()
    with XlsxWorkbook(written, _OPTIONS) as workbook:
        workbook.set_properties({"title": title, "created": _CREATED})
        money = {"num_format": _money_format(money_places, currency_sign)}
        formats = {
            name: workbook.add_format(properties | (money if name in _MONEY else {}))
            for name, properties in _FORMATS.items()
        }
        sheets = [_XlsxSheet(workbook, formats, table, (looks or {}).get(table.name, _PLAIN)) for table in tables]
        _add_lists(workbook, sheets)
    return written.getvalue()


def _money_format(places: int, currency_sign: tuple[str, str]) -> str:
    """Return the number format of an amount; a sign in [$...] makes it one of currency (ECMA-376, 18.8.31)."""
    number = f"#,##0.{'0' * places}" if places else "#,##0"
    before, after = (
        re.sub(r"\s|\S+", lambda piece: "\\ " if piece[0].isspace() else f"[${piece[0]}]", part)
        for part in currency_sign
    )
    return f"{before}{number}{after}"


def _add_lists(workbook: XlsxWorkbook, sheets: Sequence["_XlsxSheet"]) -> None:
    """Add a hidden sheet with a column for each list of words, and the lists to the cells that take from them."""
    all_words = list(dict.fromkeys(each.words for sheet in sheets for each in sheet.look.choices))
    if not all_words:
        return
    lists = workbook.add_worksheet(LISTS_SHEET)
    lists.hide()
    for column, words in enumerate(all_words):
        for row, word in enumerate(words):
            lists.write_string(row, column, word)
    for sheet in sheets:
        sheet.add_choices(all_words)


class _XlsxSheet:
    """Writes one sheet."""

    def __init__(self, workbook: XlsxWorkbook, formats: Mapping[Style, Format], table: Table, look: Look) -> None:
        self.look, self._formats = look, formats
        self._sheet: Worksheet = workbook.add_worksheet(table.name)
        self._set_page()
        for row, cells in enumerate(table.rows):
            lines = lines_in(cells, look.widths, [look.style_of(row, column) for column in range(len(cells))])
            if lines > 1:
                self._sheet.set_row(row, min(_LINE_HEIGHT * lines, _HIGHEST))
            for column, cell in enumerate(cells):
                self._write(row, column, cell)
        for place, text in look.comments.items():
            self._sheet.write_comment(*place, text, {"author": "", "x_scale": 1.6, "y_scale": 1.2})
        if look.chart is not None:
            self._add_chart(workbook, look.chart)

    def _set_page(self) -> None:
        look, sheet = self.look, self._sheet
        for column, width in enumerate(look.widths):
            style = look.columns.get(column)
            sheet.set_column(column, column, width, self._formats[style] if style else None)
        sheet.freeze_panes(look.head + 1, look.frozen_columns)
        sheet.repeat_rows(0, look.head)
        sheet.set_footer("&L&A&R&P / &N")
        if sum(look.widths) > _UPRIGHT:
            sheet.set_landscape()
        if sum(look.widths) > _ACROSS:
            sheet.repeat_columns(0, 0)
            sheet.set_print_scale(70)
        else:
            sheet.fit_to_pages(1, 0)

    def _style(self, row: int, column: int, cell: Cell) -> Format | None:
        own = self.look.style_of(row, column)
        if isinstance(cell, date) and own != "wrong":
            own = "date"
        return self._formats[own] if own else None

    def _write(self, row: int, column: int, cell: Cell) -> None:
        style = self._style(row, column, cell)
        formula = self.look.formulas.get((row, column))
        if formula is not None:
            self._sheet.write_formula(
                row, column, f"={formula}", style, cell if isinstance(cell, Decimal) else cell_text(cell)
            )
            return
        link = self.look.links.get((row, column))
        if link is not None:
            sheet, _, place = link.rpartition("!")
            self._sheet.write_url(row, column, f"internal:{quote_sheetname(sheet)}!{place}", style, cell_text(cell))
            return
        match cell:
            case bool() | Decimal():
                self._sheet.write(row, column, cell, style)
            case date():
                self._sheet.write_datetime(row, column, datetime(cell.year, cell.month, cell.day), style)  # noqa: DTZ001
            case str():
                self._sheet.write_string(row, column, cell, style)
            case _ if style is not None:
                self._sheet.write_blank(row, column, None, style)

    def add_choices(self, all_words: Sequence[tuple[str, ...]]) -> None:
        """Add the drop-down lists, each from its column of the hidden sheet."""
        for choices in self.look.choices:
            place = self._range(LISTS_SHEET, 0, len(choices.words) - 1, all_words.index(choices.words))
            self._sheet.data_validation(
                choices.first_row,
                choices.column,
                choices.last_row,
                choices.column,
                {"validate": "list", "source": f"={place}", "show_error": choices.is_closed},
            )

    def _range(self, sheet: str, first: int, last: int, column: int) -> str:
        ends = (xl_rowcol_to_cell(row, column, row_abs=True, col_abs=True) for row in (first, last))
        return f"'{sheet}'!{':'.join(ends)}"

    def _add_chart(self, workbook: XlsxWorkbook, chart: Chart) -> None:
        drawn = workbook.add_chart({"type": "bar", "subtype": "stacked"})
        name = self._sheet.get_name()
        for column in chart.series:
            drawn.add_series(
                {
                    "name": [name, chart.head, column],
                    "categories": [name, chart.first_row, chart.categories, chart.last_row, chart.categories],
                    "values": [name, chart.first_row, column, chart.last_row, column],
                    "gap": 60,
                }
            )
        drawn.set_title({"name": chart.title, "name_font": {"size": 12}})
        drawn.set_y_axis({"reverse": True})
        drawn.set_x_axis({"num_format": "#,##0", "major_gridlines": {"visible": True, "line": {"color": "#D9D9D9"}}})
        drawn.set_legend({"position": "bottom"})
        height = 140 + 28 * (chart.last_row - chart.first_row + 1)
        drawn.set_size({"width": 900, "height": height})
        self._sheet.insert_chart(*chart.place, drawn, {"description": chart.title, "object_position": 2})
