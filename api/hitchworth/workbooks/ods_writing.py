"""Write tables as ODS: the same bytes for the same tables. No text in them is read as a formula.

The form is that of OpenDocument 1.2, as far as a table with lists, comments and formulas needs it.
"""

import re
from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from decimal import Decimal
from xml.sax.saxutils import escape, quoteattr

from hitchworth.workbooks.archive import repacked
from hitchworth.workbooks.cells import Cell, cell_text, column_name
from hitchworth.workbooks.look import Look, Style
from hitchworth.workbooks.table import Table
from hitchworth.workbooks.writing import LISTS_SHEET

_ODS = "application/vnd.oasis.opendocument.spreadsheet"
_DECLARATION = '<?xml version="1.0" encoding="UTF-8"?>\n'
_PREFIXES = {
    "office": "urn:oasis:names:tc:opendocument:xmlns:office:1.0",
    "table": "urn:oasis:names:tc:opendocument:xmlns:table:1.0",
    "text": "urn:oasis:names:tc:opendocument:xmlns:text:1.0",
    "style": "urn:oasis:names:tc:opendocument:xmlns:style:1.0",
    "number": "urn:oasis:names:tc:opendocument:xmlns:datastyle:1.0",
    "fo": "urn:oasis:names:tc:opendocument:xmlns:xsl-fo-compatible:1.0",
    "config": "urn:oasis:names:tc:opendocument:xmlns:config:1.0",
    "xlink": "http://www.w3.org/1999/xlink",
    "dc": "http://purl.org/dc/elements/1.1/",
    "of": "urn:oasis:names:tc:opendocument:xmlns:of:1.2",
    "manifest": "urn:oasis:names:tc:opendocument:xmlns:manifest:1.0",
}
_NAMES = " ".join(f'xmlns:{prefix}="{name}"' for prefix, name in _PREFIXES.items())
_DATA_STYLES = (
    '<number:date-style style:name="day"><number:year number:style="long"/><number:text>-</number:text>'
    '<number:month number:style="long"/><number:text>-</number:text><number:day number:style="long"/>'
    "</number:date-style>"
    '<number:percentage-style style:name="percent"><number:number number:decimal-places="2" '
    'number:min-integer-digits="1"/><number:text>%</number:text></number:percentage-style>'
)
_BOLD = '<style:text-properties fo:font-weight="bold"/>'
_WRAP = 'fo:wrap-option="wrap" style:vertical-align="top"'
_FROM_RIGHT = 'style:vertical-align="top" fo:padding-right="0.15cm"'
_LEFT = '<style:table-cell-properties style:vertical-align="top"/><style:paragraph-properties fo:text-align="start"/>'
_LINE = 'fo:border-bottom="0.5pt solid #000000"'
_STYLES: dict[Style, tuple[str, str]] = {
    "title": ("", '<style:text-properties fo:font-weight="bold" fo:font-size="14pt"/>'),
    "head": ("", f'<style:table-cell-properties {_WRAP} {_LINE} fo:background-color="#e7e6e6"/>{_BOLD}'),
    "required": ("", f'<style:table-cell-properties {_WRAP} {_LINE} fo:background-color="#ffe699"/>{_BOLD}'),
    "label": ("", f"<style:table-cell-properties {_WRAP}/>{_BOLD}"),
    "text": ("", f"<style:table-cell-properties {_WRAP}/>"),
    "number": ("", f"<style:table-cell-properties {_FROM_RIGHT}/>"),
    "money": ("amount", f"<style:table-cell-properties {_FROM_RIGHT}/>"),
    "share": ("percent", f"<style:table-cell-properties {_FROM_RIGHT}/>"),
    "entry_number": ("", _LEFT),
    "entry_money": ("amount", _LEFT),
    "entry_share": ("percent", _LEFT),
    "date": ("day", _LEFT),
    "total": ("", f'<style:table-cell-properties fo:border-top="0.5pt solid #000000"/>{_BOLD}'),
    "total_money": (
        "amount",
        f'<style:table-cell-properties {_FROM_RIGHT} fo:border-top="0.5pt solid #000000"/>{_BOLD}',
    ),
    "wrong": (
        "",
        f'<style:table-cell-properties {_WRAP} fo:border="0.5pt solid #c00000" fo:background-color="#f8cbad"/>',
    ),
    "unlisted": ("", f'<style:table-cell-properties {_WRAP} fo:background-color="#fff2cc"/>'),
}
_PLAIN = Look()
_CENTIMETERS = Decimal("0.21")
"""Of one character."""
_REFERENCE = re.compile(r"(?:('[^']+')!)?(\$?[A-Z]{1,3}\$?[0-9]+)(?::(\$?[A-Z]{1,3}\$?[0-9]+))?")


def ods_bytes(
    tables: Sequence[Table],
    title: str = "",
    looks: Mapping[str, Look] | None = None,
    money_places: int = 2,
    currency_sign: tuple[str, str] = ("", ""),
) -> bytes:
    """Return tables as ODS, each as a sheet with a look by its name. Without one: a bold first row.

    currency_sign: what stands before and after an amount of money.
    """
    sheets = [_OdsSheet(table, (looks or {}).get(table.name, _PLAIN)) for table in tables]
    lists = list(dict.fromkeys((each.words, each.is_closed) for sheet in sheets for each in sheet.look.choices))
    widths = sorted({width for sheet in sheets for width in sheet.look.widths})
    body = "".join(sheet.written(lists) for sheet in sheets)
    styles = "".join(_automatic_styles(widths, _money_style(money_places, currency_sign)))
    content = (
        f"<office:automatic-styles>{styles}</office:automatic-styles>"
        f"<office:body><office:spreadsheet>{_validations(lists)}{body}{_list_sheet(lists)}"
        "</office:spreadsheet></office:body>"
    )
    parts = {
        "mimetype": _ODS,
        "content.xml": _part("document-content", content),
        "meta.xml": _part("document-meta", f"<office:meta><dc:title>{escape(title)}</dc:title></office:meta>"),
        "settings.xml": _part("document-settings", _settings(sheets)),
        "styles.xml": _part("document-styles", _PAGE),
        "META-INF/manifest.xml": f'{_DECLARATION}<manifest:manifest {_NAMES} manifest:version="1.2">'
        f'<manifest:file-entry manifest:full-path="/" manifest:media-type="{_ODS}"/>'
        + "".join(
            f'<manifest:file-entry manifest:full-path="{name}.xml" manifest:media-type="text/xml"/>'
            for name in ("content", "meta", "settings", "styles")
        )
        + "</manifest:manifest>",
    }
    return repacked({name: part.encode() for name, part in parts.items()}, is_compressed=True).getvalue()


_PAGE = (
    '<office:automatic-styles><style:page-layout style:name="across"><style:page-layout-properties '
    'fo:page-width="29.7cm" fo:page-height="21cm" style:print-orientation="landscape" fo:margin="1.5cm" '
    'style:scale-to-X="1" style:scale-to-Y="0"/></style:page-layout></office:automatic-styles>'
    '<office:master-styles><style:master-page style:name="Default" style:page-layout-name="across"/>'
    "</office:master-styles>"
)


def _part(name: str, content: str) -> str:
    return f'{_DECLARATION}<office:{name} {_NAMES} office:version="1.2">{content}</office:{name}>'


def _money_style(places: int, currency_sign: tuple[str, str]) -> str:
    """Return how an amount is shown: as currency where it has a sign."""
    number = f'<number:number number:decimal-places="{places}" number:min-integer-digits="1" number:grouping="true"/>'
    if not any(currency_sign):
        return f'<number:number-style style:name="amount">{number}</number:number-style>'
    before, after = (_signed(part) for part in currency_sign)
    return f'<number:currency-style style:name="amount">{before}{number}{after}</number:currency-style>'


def _signed(part: str) -> str:
    sign = part.strip()
    if not sign:
        return ""
    start, end = part.split(sign)
    spaces = [f"<number:text>{space}</number:text>" if space else "" for space in (start, end)]
    return f"{spaces[0]}<number:currency-symbol>{escape(sign)}</number:currency-symbol>{spaces[1]}"


def _automatic_styles(widths: Iterable[int], money_style: str) -> Iterable[str]:
    yield _DATA_STYLES
    yield money_style
    for name, (data, properties) in _STYLES.items():
        shown = f' style:data-style-name="{data}"' if data else ""
        yield f'<style:style style:name="{name}" style:family="table-cell"{shown}>{properties}</style:style>'
    for width in widths:
        yield (
            f'<style:style style:name="w{width}" style:family="table-column"><style:table-column-properties '
            f'style:column-width="{width * _CENTIMETERS}cm"/></style:style>'
        )
    yield (
        '<style:style style:name="shown" style:family="table" style:master-page-name="Default"/>'
        '<style:style style:name="hidden" style:family="table"><style:table-properties table:display="false"/>'
        "</style:style>"
    )


def _validations(lists: Sequence[tuple[tuple[str, ...], bool]]) -> str:
    """Return the drop-down lists, each from its column of the hidden sheet."""
    written = "".join(
        f'<table:content-validation table:name="list{number}" table:display-list="unsorted" '
        f'table:condition="of:cell-content-is-in-list([${LISTS_SHEET}.${column_name(number)}$1:'
        f'.${column_name(number)}${len(words)}])">'
        f'<table:error-message table:display="{str(is_closed).lower()}" table:message-type="stop"/>'
        "</table:content-validation>"
        for number, (words, is_closed) in enumerate(lists)
    )
    return f"<table:content-validations>{written}</table:content-validations>" if written else ""


def _list_sheet(lists: Sequence[tuple[tuple[str, ...], bool]]) -> str:
    if not lists:
        return ""
    rows = "".join(
        "<table:table-row>"
        + "".join(_text_cell(words[row] if row < len(words) else "") for words, _ in lists)
        + "</table:table-row>"
        for row in range(max(len(words) for words, _ in lists))
    )
    return f'<table:table table:name="{LISTS_SHEET}" table:style-name="hidden">{rows}</table:table>'


def _text_cell(text: str) -> str:
    return f'<table:table-cell office:value-type="string">{_paragraphs(text)}</table:table-cell>' if text else _EMPTY


_EMPTY = "<table:table-cell/>"


def _settings(sheets: Sequence["_OdsSheet"]) -> str:
    """Return what keeps the heads in sight."""
    entries = "".join(
        f"<config:config-item-map-entry config:name={quoteattr(sheet.table.name)}>"
        + "".join(
            f'<config:config-item config:name="{name}" config:type="{kind}">{value}</config:config-item>'
            for name, kind, value in sheet.frozen
        )
        + "</config:config-item-map-entry>"
        for sheet in sheets
    )
    return (
        '<office:settings><config:config-item-set config:name="ooo:view-settings">'
        '<config:config-item-map-indexed config:name="Views"><config:config-item-map-entry>'
        '<config:config-item config:name="ViewId" config:type="string">view1</config:config-item>'
        f'<config:config-item-map-named config:name="Tables">{entries}</config:config-item-map-named>'
        "</config:config-item-map-entry></config:config-item-map-indexed></config:config-item-set></office:settings>"
    )


class _OdsSheet:
    """Writes one sheet."""

    def __init__(self, table: Table, look: Look) -> None:
        self.table, self.look = table, look
        self._lists: Sequence[tuple[tuple[str, ...], bool]] = ()

    @property
    def frozen(self) -> tuple[tuple[str, str, int], ...]:
        """The settings that keep the head, and the first columns, in sight."""
        rows, columns = self.look.head + 1, self.look.frozen_columns
        return (
            ("VerticalSplitMode", "short", 2),
            ("VerticalSplitPosition", "int", rows),
            ("PositionBottom", "int", rows),
            *((("HorizontalSplitMode", "short", 2), ("HorizontalSplitPosition", "int", columns)) if columns else ()),
            *((("PositionRight", "int", columns),) if columns else ()),
        )

    def written(self, lists: Sequence[tuple[tuple[str, ...], bool]]) -> str:
        """Return the sheet; `lists` has the words of every drop-down list of the workbook."""
        self._lists = lists
        columns = "".join(
            f'<table:table-column table:style-name="w{width}"{self._default(column)}/>'
            for column, width in enumerate(self.look.widths)
        )
        rows = [self._row(number, cells) for number, cells in enumerate(self.table.rows)]
        head = self.look.head + 1
        repeated = (
            f"<table:table-header-rows>{''.join(rows[:head])}</table:table-header-rows>" if self.look.widths else ""
        )
        if not repeated:
            head = 0
        return (
            f'<table:table table:name={quoteattr(self.table.name)} table:style-name="shown">{columns}{repeated}'
            f"{''.join(rows[head:])}{self._empty_rows()}</table:table>"
        )

    def _default(self, column: int) -> str:
        style = self.look.columns.get(column)
        return f' table:default-cell-style-name="{style}"' if style else ""

    def _row(self, row: int, cells: Sequence[Cell]) -> str:
        return (
            f"<table:table-row>{''.join(self._cell(row, at, cell) for at, cell in enumerate(cells))}</table:table-row>"
        )

    def _empty_rows(self) -> str:
        """Return the rows below the table that have drop-down lists."""
        start = len(self.table.rows)
        below = [each for each in self.look.choices if each.last_row >= start]
        if not below:
            return ""
        width = max(each.column for each in below) + 1
        cells = "".join(f"<table:table-cell{self._validation(start, column)}/>" for column in range(width))
        count = max(each.last_row for each in below) + 1 - start
        return f'<table:table-row table:number-rows-repeated="{count}">{cells}</table:table-row>'

    def _validation(self, row: int, column: int) -> str:
        for each in self.look.choices:
            if each.column == column and each.first_row <= row <= each.last_row:
                return f' table:content-validation-name="list{self._lists.index((each.words, each.is_closed))}"'
        return ""

    def _style(self, row: int, column: int, cell: Cell) -> str:
        own = self.look.style_of(row, column)
        if isinstance(cell, date) and own != "wrong":
            own = "date"
        return f' table:style-name="{own}"' if own else ""

    def _cell(self, row: int, column: int, cell: Cell) -> str:
        attributes = self._style(row, column, cell) + self._validation(row, column)
        formula = self.look.formulas.get((row, column))
        if formula is not None:
            attributes += f" table:formula={quoteattr(_open_formula(formula))}"
        comment = self.look.comments.get((row, column))
        note = f"<office:annotation>{_paragraphs(comment)}</office:annotation>" if comment else ""
        match cell:
            case bool():
                value = f' office:value-type="boolean" office:boolean-value="{str(cell).lower()}"'
            case Decimal():
                value = f' office:value-type="float" office:value="{cell:f}"'
            case date():
                value = f' office:value-type="date" office:date-value="{cell.isoformat()}"'
            case str():
                whole = f" office:string-value={quoteattr(cell)}" if "\t" in cell else ""  # a reader may leave out tabs
                value = f' office:value-type="string"{whole}'
            case _:
                return f"<table:table-cell{attributes}>{note}</table:table-cell>"
        link = self.look.links.get((row, column))
        written = _paragraphs(cell_text(cell)) if link is None else _linked(cell_text(cell), link)
        return f"<table:table-cell{attributes}{value}>{note}{written}</table:table-cell>"


def _linked(text: str, link: str) -> str:
    """Return text as a link to a cell."""
    sheet, _, cell = link.rpartition("!")
    quoted = sheet.replace("'", "''")
    target = quoteattr(f"#'{quoted}'.{cell}")
    return f"<text:p><text:a xlink:href={target}>{_spaced(text)}</text:a></text:p>"


def _paragraphs(text: str) -> str:
    """Return text with its line breaks, tabs and runs of spaces, which XML would take for one space."""
    return "".join(f"<text:p>{_spaced(line)}</text:p>" for line in text.split("\n"))


def _spaced(line: str) -> str:
    kept = re.sub(r" {2,}", lambda run: f' <text:s text:c="{len(run[0]) - 1}"/>', escape(line))
    return kept.replace("\t", "<text:tab/>")


def _open_formula(formula: str) -> str:
    """Return a formula in OpenFormula: cells in brackets, semicolons between arguments."""

    def bracketed(found: re.Match[str]) -> str:
        sheet, first, last = found.groups()
        return f"[{f'${sheet}' if sheet else ''}.{first}{f':.{last}' if last else ''}]"

    parts = _REFERENCE.split(formula)  # commas in the name of a sheet stay as they are
    between = [part.replace(",", ";") for part in parts[:: _REFERENCE.groups + 1]]
    places = [bracketed(found) for found in _REFERENCE.finditer(formula)]
    return "of:=" + "".join(text + place for text, place in zip(between, [*places, ""], strict=True))
