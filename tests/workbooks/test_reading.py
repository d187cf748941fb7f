"""Nasty files, made here; what each is expected to yield was worked by hand."""

import struct
import zipfile
from collections.abc import Callable
from datetime import date, datetime
from decimal import Decimal
from io import BytesIO
from time import process_time
from typing import Any

import pytest
from xlsxwriter import Workbook

from hitchworth.workbooks.archive import MAX_UNPACKED_BYTES, repacked, unpacked
from hitchworth.workbooks.cells import Unreadable
from hitchworth.workbooks.ods_writing import ods_bytes
from hitchworth.workbooks.reading import read_tables
from hitchworth.workbooks.table import MAX_ROWS, Table, UnreadableFileError
from hitchworth.workbooks.writing import xlsx_bytes


def workbook(fill: Callable[[Any, Any], None], **options: Any) -> bytes:
    """An XLSX file whose first sheet the function fills."""
    written = BytesIO()
    book = Workbook(written, {"in_memory": True, **options})
    fill(book, book.add_worksheet("Receipts"))
    book.close()
    return written.getvalue()


def refused(content: bytes) -> str:
    with pytest.raises(UnreadableFileError) as caught:
        read_tables(content)
    return str(caught.value)


def with_part(content: bytes, name: str, part: bytes) -> bytes:
    """The archive with one part replaced or added, compressed."""
    parts = {}
    with zipfile.ZipFile(BytesIO(content)) as archive:
        parts = {each: archive.read(each) for each in archive.namelist()}
    written = BytesIO()
    with zipfile.ZipFile(written, "w", zipfile.ZIP_DEFLATED) as archive:
        for each, data in (parts | {name: part}).items():
            archive.writestr(each, data)
    return written.getvalue()


PLAIN = xlsx_bytes([Table(name="Receipts", rows=(("Date", "Paid"), (date(2025, 3, 4), Decimal("12.50"))))])
SHEET = "xl/worksheets/sheet1.xml"


# Delimited text


@pytest.mark.parametrize(
    ("content", "encoding", "delimiter", "row"),
    [
        ("date,item,paid\n1,„a“,3\n".encode(), "utf-8", "comma", ("1", "„a“", "3")),
        ("date;item;paid\n1;„a“ – 5€;3,50\n".encode("cp1252"), "cp1252", "semicolon", ("1", "„a“ – 5€", "3,50")),
        ("date\titem\tpaid\n1\ta, b\t3\n".encode("utf-8-sig"), "utf-8", "tab", ("1", "a, b", "3")),
        ("date\titem\tpaid\n1\tä\t3\n".encode("utf-16"), "utf-16", "tab", ("1", "ä", "3")),
        ("date\titem\tpaid\n1\ta\t3\n".encode("utf-16-le"), "utf-16", "tab", ("1", "a", "3")),
        ("date\titem\tpaid\n1\ta\t3\n".encode("utf-16-be"), "utf-16", "tab", ("1", "a", "3")),
        (b"date|item|paid\n1|a|3\n", "utf-8", "bar", ("1", "a", "3")),
        (b'date,item,paid\n1,"a ""b""\nc, d",3\n', "utf-8", "comma", ("1", 'a "b"\nc, d', "3")),
        (b'"a; b",item,paid\n"c; d",a,3\n', "utf-8", "comma", ("c; d", "a", "3")),
        (b"sep=;\ndate;item;paid\n1;a,b;3\n", "utf-8", "semicolon", ("1", "a,b", "3")),
    ],
)
def test_encoding_and_delimiter_are_recognized(
    content: bytes, encoding: str, delimiter: str, row: tuple[str, ...]
) -> None:
    source = read_tables(content)
    assert (source.encoding, source.delimiter) == (encoding, delimiter)
    assert source.tables[0].rows[1] == row


def test_a_declared_encoding_is_used_and_checked() -> None:
    content = "date|item\n1|Schlüssel\n".encode("mac-roman")
    assert read_tables(content).tables[0].rows[1] == ("1", "SchlŸssel")  # looks right and is not: hence the option
    assert read_tables(content, encoding="mac-roman").tables[0].rows[1] == ("1", "Schlüssel")
    with pytest.raises(UnreadableFileError, match="not text in utf-8: a letter in line 2"):
        read_tables(content, encoding="utf-8")


def test_rows_of_different_lengths_are_filled_up() -> None:
    assert read_tables(b"a,b,c\n1,2\n1,2,3,4\n").tables[0].rows == (
        ("a", "b", "c", None),
        ("1", "2", None, None),
        ("1", "2", "3", "4"),
    )


def test_200_000_rows_are_refused_before_they_take_time() -> None:
    began = process_time()
    assert "more than 10,000 rows" in refused(b"a,b,c\n" + b"1,2,3\n" * 200_000)
    assert process_time() - began < 2


def test_10_000_rows_are_read_below_their_headers() -> None:
    assert len(read_tables(b"a,b\n" + b"1,2\n" * MAX_ROWS).tables[0].rows) == MAX_ROWS + 1


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "is empty"),
        (b" \n\n", "is empty"),
        (b"\x00\x01\x02" * 99, "is no text and no workbook"),
        (b"%PDF-1.7 ...", "is a PDF"),
        (bytes.fromhex("D0CF11E0A1B11AE1") + b"...", "old form .xls, or protected with a password"),
        (b"PK\x03\x04 not really", "damaged"),
        (repacked({"a.xml": b"<a/>"}).getvalue(), "is no workbook"),
    ],
)
def test_what_is_no_table_is_refused_in_plain_words(content: bytes, words: str) -> None:
    assert words in refused(content)


# Workbooks


def test_errors_and_formulas_without_a_value_are_told_apart_from_empty_cells() -> None:
    def fill(book: Any, sheet: Any) -> None:
        sheet.write_row(0, 0, ["Date", "Paid"])
        sheet.write_formula(1, 1, "=1/0", None, "#DIV/0!")
        sheet.write_formula(2, 1, "=6*7", None, 42)

    content = workbook(fill)
    told_twice = b'<worksheet><sheetData><row r="1"><c r="A1" t="e"><v>#REF!</v></c><c><f>1+1</f></c>'
    told_twice += b"<c><v>3</v></c></row><row><c><v>4</v></c></row></sheetData></worksheet>"
    assert read_tables(with_part(content, SHEET, told_twice)).tables[0].rows == (
        (Unreadable("error"), Unreadable("no_value"), Decimal(3)),
        (Decimal(4), None, None),
    )
    never_computed = b'<worksheet><sheetData><row r="1"><c r="A1"><f>1+1</f></c></row></sheetData></worksheet>'
    assert read_tables(content).tables[0].rows == (
        ("Date", "Paid"),
        (None, Unreadable("error")),
        (None, Decimal(42)),
    )
    assert read_tables(with_part(content, SHEET, never_computed)).tables[0].rows == ((Unreadable("no_value"),),)


def test_merged_cells_name_the_one_with_the_value() -> None:
    content = workbook(lambda book, sheet: sheet.merge_range(1, 0, 2, 1, "March"))
    assert read_tables(content).tables[0].rows == (
        (None, None),
        ("March", Unreadable("merged", "A2")),
        (Unreadable("merged", "A2"), Unreadable("merged", "A2")),
    )


def test_hidden_sheets_are_named_and_not_read() -> None:
    def fill(book: Any, sheet: Any) -> None:
        sheet.write(0, 0, "x")
        book.add_worksheet("Private").hide()
        book.add_worksheet("Secret").very_hidden()

    source = read_tables(workbook(fill))
    assert [table.name for table in source.tables] == ["Receipts"]
    assert source.hidden == ("Private", "Secret")


@pytest.mark.parametrize("from_1904", [False, True])
def test_a_date_is_the_same_in_both_date_systems(from_1904: bool) -> None:
    def fill(book: Any, sheet: Any) -> None:
        sheet.write_datetime(0, 0, datetime(2025, 3, 4), book.add_format({"num_format": "d.m.yy"}))  # noqa: DTZ001
        sheet.write_datetime(0, 1, datetime(2025, 3, 4, 10, 30), book.add_format({"num_format": "d.m.yy h:mm"}))  # noqa: DTZ001
        sheet.write(0, 2, 45720)

    table = read_tables(workbook(fill, date_1904=from_1904)).tables[0]
    assert table.rows == ((date(2025, 3, 4), "2025-03-04 10:30:00", Decimal(45720)),)
    assert table.dates_from_1904 is from_1904


def test_binary_fractions_lose_their_dust_and_durations_are_hours() -> None:
    def fill(book: Any, sheet: Any) -> None:
        sheet.write(0, 0, 0.1 + 0.2)
        sheet.write(0, 1, 149.97)
        sheet.write(0, 2, 1.5 / 24, book.add_format({"num_format": "h:mm"}))
        sheet.write(0, 3, 30.25 / 24, book.add_format({"num_format": "[h]:mm"}))
        sheet.write(0, 4, True)

    assert read_tables(workbook(fill)).tables[0].rows == ((Decimal("0.3"), Decimal("149.97"), "1:30", "30:15", True),)


def test_macros_are_refused() -> None:
    assert "holds macros. Save it without them" in refused(with_part(PLAIN, "xl/vbaProject.bin", b"x"))
    ods = ods_bytes([Table(name="S", rows=(("a",),))])
    assert "holds macros" in refused(with_part(ods, "Basic/Standard/Module1.xml", b"<x/>"))


def test_the_binary_form_is_refused() -> None:
    assert "binary form .xlsb" in refused(with_part(PLAIN, "xl/workbook.bin", b"x"))


def test_a_zip_bomb_is_refused_before_it_is_unpacked() -> None:
    bomb = with_part(PLAIN, SHEET, b"<worksheet>" + b" " * 200_000_000 + b"</worksheet>")
    assert len(bomb) < 1_000_000
    began = process_time()
    assert "unpacks to more than 60 MB" in refused(bomb)
    assert process_time() - began < 1


def test_a_bomb_that_lies_about_its_size_is_cut_off() -> None:
    bomb = bytearray(with_part(PLAIN, "xl/extra.xml", b" " * (MAX_UNPACKED_BYTES + 1)))
    true_size = struct.pack("<I", MAX_UNPACKED_BYTES + 1)
    assert bomb.count(true_size) >= 2
    bomb = bomb.replace(true_size, struct.pack("<I", 10))
    assert "damaged" in refused(bytes(bomb))


def test_a_value_in_the_last_corner_is_refused_before_the_sheet_is_allocated() -> None:
    far = b'<worksheet><sheetData><row><c r="XFD1048576"><v>1</v></c></row></sheetData></worksheet>'
    assert "more than 10,000 rows" in refused(with_part(PLAIN, SHEET, far))
    wide = b'<worksheet><sheetData><row><c r="XFD1"><v>1</v></c></row></sheetData></worksheet>'
    assert "more than 256 columns" in refused(with_part(PLAIN, SHEET, wide))
    hidden = b'<worksheet><sheetData><row r="9999999"><c><v>1</v></c></row></sheetData></worksheet>'
    assert "more than 10,000 rows" in refused(with_part(PLAIN, SHEET, hidden))


def test_a_sheet_in_another_folder_is_checked_too() -> None:
    far = b'<worksheet><sheetData><row><c r="XFD1048576"><v>1</v></c></row></sheetData></worksheet>'
    rels = unpacked(PLAIN)["xl/_rels/workbook.xml.rels"].replace(b"worksheets/sheet1.xml", b"other/one.xml")
    moved = with_part(with_part(PLAIN, "xl/other/one.xml", far), "xl/_rels/workbook.xml.rels", rels)
    assert "more than 10,000 rows" in refused(moved)


def test_empty_cells_far_down_do_no_harm() -> None:
    rows = b'<row r="1"><c r="A1"><v>1</v></c></row><row r="1048576"><c r="XFD1048576" s="1"/></row>'
    sheet = b"<worksheet><sheetData>" + rows + b"</sheetData></worksheet>"
    assert read_tables(with_part(PLAIN, SHEET, sheet)).tables[0].rows == ((Decimal(1),),)


def test_entities_are_refused() -> None:
    bomb = b'<!DOCTYPE x [<!ENTITY a "aaaaaaaa"><!ENTITY b "&a;&a;&a;">]><worksheet>&b;</worksheet>'
    assert "defines XML entities" in refused(with_part(PLAIN, SHEET, bomb))


@pytest.mark.parametrize(
    "part",
    [
        b"<worksheet><sheetData>",
        b'<?xml version="1.0" encoding="foo"?><worksheet/>',
        b'<?xml version="1.0" encoding="utf-7"?><worksheet/>',
    ],
)
def test_broken_xml_is_refused(part: bytes) -> None:
    assert "no XML" in refused(with_part(PLAIN, SHEET, part))


@pytest.mark.parametrize("number", ["1" * 5_000, "4294967297", "0", "-1", "\u0663", ""])
@pytest.mark.parametrize("cell", ['<row r="{}"><c><v>1</v></c></row>', '<row><c r="A{}"><v>1</v></c></row>'])
def test_a_place_that_is_none_is_refused_before_the_reader_takes_it_for_another(cell: str, number: str) -> None:
    """It counts in 32 bits, and stops the whole process when it finds no memory for all the rows."""
    rows = f"<worksheet><sheetData>{cell.format(number)}</sheetData></worksheet>"
    assert "a cell of it has no place" in refused(with_part(PLAIN, SHEET, rows.encode()))
    repeated = f'<table:table-row table:number-rows-repeated="{number}"><table:table-cell/></table:table-row>'
    assert "a cell of it has no place" in refused(ods(repeated))


def test_merged_ranges_upon_each_other_or_far_away_do_no_harm() -> None:
    def merged(*ranges: str) -> bytes:
        row = '<row r="9999"><c><v>1</v></c></row>'
        cells = "".join(f'<mergeCell ref="{each}"/>' for each in ranges)
        return f"<worksheet><sheetData>{row}</sheetData><mergeCells>{cells}</mergeCells></worksheet>".encode()

    far = read_tables(with_part(PLAIN, SHEET, merged("A1048576:XFD1048576", "XFC1:XFD1048576"))).tables[0]
    assert (len(far.rows), len(far.rows[0])) == (9999, 1)
    assert "merged cells overlap" in refused(with_part(PLAIN, SHEET, merged(*["A9999:XFD9999"] * 20_000)))


def test_a_sheet_without_a_name_is_read() -> None:
    outline = unpacked(PLAIN)["xl/workbook.xml"].replace(b'name="Receipts" ', b"")
    assert [table.name for table in read_tables(with_part(PLAIN, "xl/workbook.xml", outline)).tables] == [""]


def test_many_parts_are_refused() -> None:
    assert "has 502 parts" in refused(repacked({f"{number}.xml": b"" for number in range(502)}).getvalue())


def ods(rows: str) -> bytes:
    """An .ods file with these rows."""
    plain = ods_bytes([Table(name="S", rows=(("a",),))])
    content = unpacked(plain)["content.xml"]
    start, end = content.index(b"<table:table-row>"), content.index(b"</table:table>")
    declared = content.replace(b"xmlns:office", b'xmlns:calcext="urn:org:documentfoundation:names" xmlns:office', 1)
    offset = len(declared) - len(content)
    return with_part(plain, "content.xml", declared[: start + offset] + rows.encode() + declared[end + offset :])


def test_ods_errors_and_repeated_cells() -> None:
    error = (
        '<table:table-row><table:table-cell table:formula="of:=1/0" office:value-type="string" office:string-value="" '
        'calcext:value-type="error"><text:p>#DIV/0!</text:p></table:table-cell>'
        '<table:table-cell table:formula="of:=1+1"/>'
        '<table:table-cell table:formula="of:=6*7" office:value-type="float" office:value="42"/>'
        '<table:table-cell table:number-columns-repeated="2" office:value-type="float" office:value="7">'
        "<text:p>7</text:p></table:table-cell></table:table-row>"
        '<table:table-row table:number-rows-repeated="1048575"><table:table-cell '
        'table:number-columns-repeated="16384"/></table:table-row>'
    )
    assert read_tables(ods(error)).tables[0].rows == (
        (Unreadable("error"), Unreadable("no_value"), Decimal(42), Decimal(7), Decimal(7)),
    )


def test_an_ods_cell_that_repeats_without_end_is_refused() -> None:
    bomb = (
        '<table:table-row table:number-rows-repeated="1048576"><table:table-cell '
        'table:number-columns-repeated="16384" office:value-type="float" office:value="7"><text:p>7</text:p>'
        "</table:table-cell></table:table-row>"
    )
    assert "more than 10,000 rows" in refused(ods(bomb))


# Writing


def test_the_same_tables_give_the_same_bytes() -> None:
    table = Table(name="S", rows=(("a", "b"), (date(2025, 3, 4), Decimal(1))))
    assert xlsx_bytes([table], "Title") == xlsx_bytes([table], "Title")
    assert ods_bytes([table]) == ods_bytes([table])


def test_no_text_becomes_a_formula() -> None:
    table = Table(name="S", rows=(("=1+1", "@x", "-1 apple", "https://example.com"),))
    for content in (xlsx_bytes([table]), ods_bytes([table])):
        assert read_tables(content).tables[0].rows == table.rows
        assert not any(b"<f>" in part or b"table:formula" in part for part in unpacked(content).values())
