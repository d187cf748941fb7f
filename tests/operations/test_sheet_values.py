"""The values for the rows of a spreadsheet: what is written into which row, worked out by hand."""

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hitchworth.model.receipt_import import ImportSettings
from hitchworth.model.sheet_values import SheetRow, SheetValues
from hitchworth.operations.sheet_values import create_sheet_values
from hitchworth.validation import InvalidInputError
from hitchworth.workbooks.sheet_text import read_sheet_text
from hitchworth.workbooks.table import MAX_COLUMNS, UnreadableFileError

DAY = date(2026, 11, 1)
HEAD = ("'Date", "'Store", "'Item", "'Category", "'Qty", "'Unit price")
STOVE = ("2026-11-01", "'RV parts", "'Two-burner stove", "'stove", "1", "268.5")
PLYWOOD = ("2026-11-01", "'Lumber yard", "'Birch plywood", "'body_panels", "4", "62")
BUILD = ("'Build\t'Name of the trailer\t'Camper", "Build\t'Currency\t'USD")


def sent(*rows: tuple[str, ...], sheet: str = "Receipts") -> bytes:
    return "".join("\t".join((sheet, *row)) + "\n" for row in rows).encode()


def build(**more: str) -> bytes:
    fields = {"Name of the trailer": "'Camper", "Currency": "'USD", "Valuation date": "2026-11-01"} | more
    return sent(*(("'" + name, value) for name, value in fields.items()), sheet="Build")


def parts(*rows: tuple[str, ...]) -> bytes:
    head = ("'ID", "'Description", "'Category", "'Quantity", "'Unit cost", "'Bought on")
    return sent(head, *rows, sheet="Components")


def values(body: bytes, mark_faults: bool = True) -> SheetValues:
    return create_sheet_values(body, as_of=DAY, mark_faults=mark_faults)


def row(found: SheetValues, number: int, sheet: str = "Receipts") -> SheetRow:
    (one,) = (row for row in found.rows if (row.sheet, row.row) == (sheet, number))
    return one


def test_each_receipt_has_its_values_and_the_sheet_its_sums() -> None:
    found = values(sent(HEAD, STOVE, PLYWOOD))
    assert [(one.row, one.kind) for one in found.rows] == [(1, "heading"), (2, "line"), (3, "line"), (5, "total")]
    assert (row(found, 3).replacement_cost, row(found, 3).percent_good) == (Decimal(248), Decimal(1))  # 4 x 62, new
    assert (row(found, 5).replacement_cost, row(found, 5).actual_cash_value) == (Decimal("516.50"), Decimal("516.50"))
    assert (found.currency, found.fault_count, found.as_of) == ("USD", 0, DAY)


def test_headings_may_stand_below_other_rows() -> None:
    found = values(sent(("'My camper",), (), HEAD, STOVE, PLYWOOD))
    assert [(one.row, one.kind) for one in found.rows][:2] == [(3, "heading"), (4, "line")]
    assert row(found, 7).kind == "total"


def test_a_number_is_told_from_a_text_that_looks_like_one() -> None:
    """1.234 as a number is one and a bit; as a text it can be a thousand, and is asked."""
    number = values(sent(HEAD, STOVE, (*PLYWOOD[:4], "1", "1.234")))
    assert row(number, 3).replacement_cost == Decimal("1.23")
    text = values(sent(HEAD, (*STOVE[:5], "'2.345"), (*PLYWOOD[:4], "1", "'1.234")))
    assert row(text, 3).remark.startswith(
        "F3: Which number is 2.345? Nothing in the columns decides. (expected a number"
    )


def test_a_total_and_a_tax_say_what_they_are() -> None:
    tax = ("2026-11-01", "'RV parts", "'Sales tax", "", "", "20")
    total = ("", "", "'Total", "", "", "536.50")
    found = values(sent(HEAD, STOVE, PLYWOOD, tax, total))
    assert [row(found, number).remark for number in (4, 5)] == ["Split over its receipt", "Left out: a total"]
    assert row(found, 7).replacement_cost == Decimal("536.50")


def test_a_category_that_was_guessed_is_told() -> None:
    found = values(sent(*((*line[:3], *line[4:]) for line in (HEAD, STOVE, PLYWOOD))))
    assert row(found, 2).remark == "Category taken: stove. If it is another one, name it in a column Category."


def test_hours_are_valued_as_receipts_are() -> None:
    found = values(sent(("'Date", "'Task", "'Hours", "'Rate"), ("2026-11-01", "'Walls", "10", "30")))
    assert row(found, 2).replacement_cost == Decimal(300)


def test_a_build_brings_its_date_and_its_overhead() -> None:
    """200 and a tenth of it."""
    body = build(**{"Overhead rate": "0.1"}) + parts(("'stove", "'Stove", "'stove", "1", "200", "2026-11-01"))
    found = create_sheet_values(body)
    assert (found.as_of, row(found, 2, "Components").replacement_cost) == (DAY, Decimal(220))
    assert "replacement cost $220.00" in row(found, 4, "Components").remark


def test_what_is_not_there_on_the_day_has_no_values() -> None:
    later = ("'pump", "'Pump", "'water", "1", "60", "2026-12-24")
    found = values(build() + parts(("'stove", "'Stove", "'stove", "1", "200", "2026-11-01"), later))
    assert row(found, 3, "Components").kind == "left_out"
    assert row(found, 3, "Components").remark.startswith("Not counted on Nov 1, 2026")
    assert row(found, 5, "Components").replacement_cost == Decimal(200)


def test_a_column_that_is_not_read_is_named() -> None:
    body = build() + sent(("'ID", "'Task", "'Hours", "'Rate paid per hour", "'Done on", "'Mood"),
                          ("'w", "'Walls", "1", "30", "2026-11-01", "'good"), sheet="Labor")  # fmt: skip
    assert "the column “Mood” is not read" in row(values(body), 4, "Labor").remark


@pytest.mark.parametrize(
    ("body", "sheet", "number", "remark"),
    [
        (sent(HEAD, STOVE, PLYWOOD, (*STOVE[:5], "'ask")), "Receipts", 4, "F4: Not a value of its column"),
        (sent(HEAD, STOVE, PLYWOOD, (*STOVE[:5], "#DIV/0!")), "Receipts", 4, "F4: The formula in the cell has failed"),
        (sent(HEAD), "Receipts", 1, "The file has headers and no rows below them"),
        (sent(STOVE, PLYWOOD), "Receipts", 1, "A1: "),
        (sent(()), "Receipts", 1, "A1: The sheet is empty"),
        (build(), "Build", 1, "There is nothing to value"),
        (build(Currency="'dollars"), "Build", 2, "B2: "),
        (
            build() + parts(("'stove", "'Stove", "'stove", "'two", "200", "2026-11-01")),
            "Components",
            2,
            "D2: Not a number",
        ),
        (build() + parts(("'a", "'A", "'stove", "-1", "200", "2026-02-30")), "Components", 2, "F2: "),
    ],
)
def test_a_wrong_cell_is_told_in_its_row_and_nothing_is_valued(
    body: bytes, sheet: str, number: int, remark: str
) -> None:
    found = values(body)
    assert row(found, number, sheet).remark.startswith(remark)
    assert {one.replacement_cost for one in found.rows} == {None}
    assert found.fault_count >= 1
    with pytest.raises(InvalidInputError):
        values(body, mark_faults=False)


def test_the_same_fault_of_several_rows_is_told_in_each() -> None:
    found = values(sent(HEAD, *[STOVE, PLYWOOD] * 3, *[(*STOVE[:5], "'ask")] * 3))
    assert [row(found, number).remark[:3] for number in (8, 9, 10)] == ["F8:", "F9:", "F10"]
    assert row(found, 12).remark == "Cells to correct: 3. Until then nothing is valued."


def test_a_question_says_how_to_answer_it_in_the_sheet() -> None:
    """4 at 62: the price of one, or of all four?"""
    headers = ("'Date", "'Item", "'Qty", "'Price")
    found = values(sent(headers, ("2026-11-01", "'Plywood", "4", "62"), ("2026-11-01", "'Stove", "1", "268")))
    assert "expected the header “unit cost” for 4 x 62 = 248 or “amount” for" in row(found, 2).remark
    for name, cost in (("unit cost", 248), ("amount", 62)):
        renamed = sent((*headers[:3], f"'{name}"), ("2026-11-01", "'Plywood", "4", "62"))
        assert row(values(renamed), 2).replacement_cost == cost


def test_money_back_for_no_purchase_is_told_in_its_row() -> None:
    """With amounts below zero for what was paid, 268 came back, and there is nothing that it takes back."""
    settings = ImportSettings(sign="paid-negative")
    rows = b"Receipts\t'Date\t'Item\t'Price\nReceipts\t2026-02-14\t'Stove\t268\n"
    values = create_sheet_values(rows, as_of=DAY, settings=settings, mark_faults=True)
    (remark,) = [row.remark for row in values.rows if row.kind == "fault"]
    assert remark.endswith("(expected another value in the row, or the row taken out of the sheet)")


def test_rows_that_are_no_text_or_too_many_cannot_be_read() -> None:
    for body in (b"\xff\xfe\x00", b"", b"\n\n", ("S" + "\tx" * (MAX_COLUMNS + 1)).encode(), b"S\tx\n" * 10_060):
        with pytest.raises(UnreadableFileError):
            read_sheet_text(body)
    assert len(read_sheet_text(b"S\tx\n" + b"S\t\n" * 20_000).tables[0].rows) == 1  # empty rows are none


def test_a_currency_that_is_none_is_a_fault() -> None:
    with pytest.raises(InvalidInputError, match="1 fault"):
        create_sheet_values(sent(HEAD, STOVE), settings=ImportSettings(currency="AAA"))


@settings(max_examples=150, deadline=None)
@given(
    st.lists(
        st.lists(st.sampled_from([*HEAD, *STOVE, "", "'", "#", "-1", "1e99", "2026-13-01", "'=x", "\x00"]), max_size=7),
        min_size=1,
        max_size=6,
    )
)
def test_any_rows_have_an_answer(rows: list[list[str]]) -> None:
    body = sent(*map(tuple, rows))
    try:
        assert values(body).rows
    except UnreadableFileError:
        assert body.strip() == b""


def test_remarks_say_what_to_write_in_the_sheet_and_name_no_options() -> None:
    undated = values(sent(HEAD, STOVE, ("", *PLYWOOD[1:])))
    assert row(undated, 3).remark == (
        "A3: Nothing stands here (expected the day of purchase; or the same as in the cell above, where it is that of "
        "the row above; or remove the row from the sheet; found an empty cell)"
    )


def test_a_currency_that_is_not_known_is_written_into_the_header_or_named() -> None:
    """VAT is not charged in dollars."""
    head = (*HEAD[:5], "'Unit price (ex VAT)")
    asked = values(sent(head, STOVE))
    assert "the currency in the header of the amounts, as “Price " in row(asked, 1).remark
    assert values(sent((*HEAD[:5], "'Unit price GBP (ex VAT)"), STOVE)).currency == "GBP"
    assert create_sheet_values(sent(head, STOVE), as_of=DAY, currency="GBP").currency == "GBP"
