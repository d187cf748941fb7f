"""Tables of receipts as people have them. What each is expected to yield was worked by hand from the text beside it."""

from datetime import date, datetime
from decimal import Decimal
from io import BytesIO
from time import process_time
from typing import Any

import pytest
from xlsxwriter import Workbook

from hitchworth.workbooks.table import UnreadableFileError
from imported_tables import asked, costs, entries, faults, imported, notes, part_named

ONE, TWO = Decimal(1), Decimal(2)


def test_01_plain_text_with_a_quoted_comma() -> None:
    table = 'date,description,amount\n2025-03-04,"Plywood, 1/2 in",48.50\n2025-03-05,Screws,9.99\n'
    assert entries(table) == [
        ("2025-03-04", "Plywood, 1/2 in", ONE, Decimal("48.50")),
        ("2025-03-05", "Screws", ONE, Decimal("9.99")),
    ]


def test_02_a_german_export_in_windows_1252_with_decimal_commas() -> None:
    table = "Datum;Beschreibung;Betrag\n03.04.2025;„Fenster“ – groß;149,50 €\n04.04.2025;Schrauben;1.009,90 €\n"
    result = imported(table.encode("cp1252"), "de-DE")
    assert [(part.acquired_on, part.unit_cost) for part in result.components] == [
        (date(2025, 4, 3), Decimal("149.50")),
        (date(2025, 4, 4), Decimal("1009.90")),
    ]
    assert result.settings.currency == "EUR"
    assert result.settings.date_order == "day-first"  # nobody writes the month first with points
    assert notes(result) == ["read_as_windows_1252", "no_evidence"]


def test_03_tabs_a_byte_order_mark_and_windows_line_ends() -> None:
    table = "Date\tItem\tPaid\r\n2025-03-04\tBolts, nuts\t12.50\r\n".encode("utf-8-sig")
    assert entries(table) == [("2025-03-04", "Bolts, nuts", ONE, Decimal("12.50"))]


def test_04_a_point_groups_thousands_where_another_row_has_both_marks() -> None:
    table = "Datum;Artikel;Betrag\n4.3.2025;Anhänger;1.234,56\n5.3.2025;Kühlschrank;2.000\n"
    assert costs(table, "de-DE") == ["1234.56", "2000.00"]


def test_05_currencies_before_behind_and_as_codes() -> None:
    table = 'Date,Item,Amount\n2025-03-04,Stove,$12.50\n2025-03-04,Sink,"US$ 1,149.97"\n2025-03-04,Hose,8.25 USD\n'
    assert costs(table) == ["12.50", "1149.97", "8.25"]
    assert faults(table + "2025-03-04,Lamp,€30\n") == [("C5", "Another currency than in other cells")]
    assert faults(table, currency="EUR") == [("C2", "Another currency than declared")]


def test_06_a_dollar_sign_is_that_of_the_locale_and_the_answer_says_so() -> None:
    table = "Date,Item,Amount\n2025-03-04,Stove,$12.50\n"
    here, there = imported(table), imported(table, "fr-CA")
    assert (here.settings.currency, there.settings.currency) == ("USD", "CAD")
    assert "currency_of_sign" in notes(here)
    assert asked(table, "de-DE") == [("currency", ["AUD", "CAD", "MXN", "NZD", "USD"])]
    assert costs(table, "de-DE", currency="USD") == ["12.50"]
    assert imported(table.replace("$12.50", "£12.50"), "de-DE").settings.currency == "GBP"
    assert imported("Date,Item,Amount (CHF)\n2025-03-04,Stove,12.50\n").settings.currency == "CHF"
    assert "currency_assumed" in notes(imported("Date,Item,Amount\n2025-03-04,Stove,12.50\n"))


@pytest.mark.parametrize(
    "amount", ["(149.97)", "149.97-", "-149.97", "\u2212149.97", "149.97 CR", "$-149.97", "-$149.97"]
)
def test_07_every_form_of_a_refund(amount: str) -> None:
    result = imported(f"Date,Item,Amount\n2025-03-01,Window,149.97\n2025-03-04,Window return,{amount}\n")
    window, refund = result.components
    assert (refund.refund_of, refund.quantity, refund.unit_cost) == (window.id, -ONE, Decimal("149.97"))
    (guess,) = (each for each in result.guesses if each.field == "refund_of")
    assert (guess.row, guess.value, guess.confidence) == (3, window.id, "high")
    assert result.rows[1].outcome == "refund"


def test_08_totals_and_subtotals_are_left_out_and_told() -> None:
    table = (
        "Date,Item,Amount\n2025-03-04,Stove,12.50\n2025-03-05,Sink,30.00\n,Subtotal,42.50\n"
        "2025-03-06,Hose,7.50\n,,7.50\n,Grand total,50.00\n"
    )
    result = imported(table)
    assert [part.description for part in result.components] == ["Stove", "Sink", "Hose"]
    left_out = [(row.row, row.reason) for row in result.rows if row.outcome == "left_out"]
    assert left_out == [(4, "total"), (6, "total"), (7, "total")]
    assert "total_differs" not in notes(result)
    assert "total_differs" in notes(imported(table.replace("50.00", "51.00")))


def test_09_a_dated_row_that_says_total_and_adds_up_to_nothing_is_a_fault() -> None:
    table = "Date,Item,Amount\n2025-03-04,Stove,12.50\n2025-03-05,Total,99.00\n"
    assert faults(table) == [("B3", "The row says total, and is no total of those above")]
    assert costs(table, leave_out=(3,)) == ["12.50"]
    assert costs(table.replace("99.00", "12.50")) == ["12.50"]


def test_10_two_rows_of_headers_are_joined() -> None:
    table = "Purchase,,,Tax,\nDate,Item,Amount,Rate,Amount\n2025-03-04,Stove,12.50,0.08,1.00\n"
    result = imported(table, tax_in_amount="added")
    assert [(column.header, column.field) for column in result.columns] == [
        ("Purchase Date", "acquired_on"),
        ("Purchase Item", "description"),
        ("Purchase Amount", "amount"),
        ("Tax Rate", None),
        ("Tax Amount", "tax"),
    ]
    assert (result.components[0].unit_cost, result.components[0].tax) == (Decimal("12.50"), Decimal("1.00"))


def test_11_prose_above_the_headers_and_a_row_of_units_below() -> None:
    table = (
        "Receipts of the trailer\nKept by hand\n\nDatum;Artikel;Menge;Betrag\n;;Stück;EUR\n04.03.2025;Fenster;2;25,00\n"
    )
    result = imported(table, "de-DE")
    assert [(part.quantity, part.unit_cost) for part in result.components] == [(TWO, Decimal("12.50"))]
    assert "rows_above_headers" in notes(result)


def test_12_empty_columns_and_empty_rows() -> None:
    table = "Date,,Item,,Amount\n,,,,\n2025-03-04,,Stove,,12.50\n,,,,\n"
    assert entries(table) == [("2025-03-04", "Stove", ONE, Decimal("12.50"))]


def test_13_a_date_that_nothing_decides_is_asked_with_both_readings() -> None:
    table = "Date,Item,Amount\n03/04/2025,Stove,12.50\n05/05/2025,Sink,1.00\n"
    (question,) = imported(table).questions
    assert (question.code, question.setting, question.cells) == ("date_order", "date_order", ("A2",))
    assert [(choice.value, choice.reading) for choice in question.choices] == [
        ("day-first", "2025-04-03"),
        ("month-first", "2025-03-04"),
    ]
    assert entries(table, date_order="day-first")[0][0] == "2025-04-03"
    assert entries(table, date_order="month-first")[0][0] == "2025-03-04"


def test_14_one_row_decides_for_all() -> None:
    assert entries("Date,Item,Amount\n03/04/2025,Stove,12.50\n25/08/2025,Sink,1.00\n")[0][0] == "2025-04-03"
    assert entries("Date,Item,Amount\n03/04/2025,Stove,12.50\n08/25/2025,Sink,1.00\n")[0][0] == "2025-03-04"
    table = "Date,Item,Amount\n25/08/2025,Stove,1\n26/08/2025,Lamp,1\n08/25/2025,Sink,1\n"
    read = ["2025-08-25", "2025-08-26", "2025-08-25"]  # a day that is one only needs no order
    assert [day for day, *_ in entries(table)] == read
    for order in ("day-first", "month-first"):
        assert [day for day, *_ in entries(table, date_order=order)] == read
    assert asked(table + "03/04/2025,Hose,1\n") == [("date_order", ["day-first", "month-first"])]
    assert entries(table + "03/04/2025,Hose,1\n", date_order="month-first")[3][0] == "2025-03-04"
    assert faults(table + "31/02/2025,Hose,1\n") == [("A5", "Not a value of its column")]


@pytest.mark.parametrize(
    "day",
    [
        *("4-Mar-2025", "Mar 4, 2025", "Tue, Mar 4, 2025", "March 4th 2025", "4. März 2025", "4 de marzo de 2025"),
        *("4 mars 2025", "20250304", "2025-03-04T10:30:00Z", "2025/3/4", "45720", "4.3.25", "4.3.2025 10:30"),
    ],
)
def test_15_a_date_in_any_form(day: str) -> None:
    assert entries(f'Date,Item,Amount\n"{day}",Stove,12.50\n')[0][0] == "2025-03-04"


@pytest.mark.parametrize("day", ["12.50", "May", "10:30", "2025", "soon", "31.02.2025", "2025-13-01"])
def test_16_what_is_no_date_is_no_date(day: str) -> None:
    table = f"Date,Item,Amount\n2025-03-04,Stove,12.50\n2025-03-05,Lamp,3.00\n{day},Sink,1.00\n"
    assert [cell for cell, _ in faults(table)] == ["A4"]


def test_17_a_number_that_nothing_decides_is_asked() -> None:
    table = 'Date,Item,Amount\n2025-03-04,Trailer,"1,234"\n'
    assert asked(table) == [("decimal_mark", ["point", "comma"])]
    assert costs(table, decimal_mark="point") == ["1234.00"]
    assert costs(table, decimal_mark="comma", currency="EUR") == ["1.234000000000"]
    with_tax = 'Date,Item,Amount,Tax\n2025-03-04,Trailer,"1,234","12,50"\n'
    assert costs(with_tax, tax_in_amount="added", currency="EUR") == ["1.234000000000"]
    assert costs("Date,Item,Amount\n2025-03-04,Trailer,1'234.50\n") == ["1234.50"]
    assert costs("Date;Item;Amount\n2025-03-04;Trailer;1\u202f234,50 €\n", currency="EUR") == ["1234.50"]


def test_18_a_table_without_headers_goes_by_what_stands_in_it() -> None:
    result = imported("2025-03-04,Stove,12.50\n2025-03-05,Sink,13.50\n")
    assert [(column.column, column.field, column.matched_by) for column in result.columns] == [
        ("A", "acquired_on", "values"),
        ("B", "description", "values"),
        ("C", "amount", "values"),
    ]
    assert [part.description for part in result.components] == ["Stove", "Sink"]
    assert "no_headers" in notes(result)


def test_18b_a_column_of_few_words_is_no_description() -> None:
    rows = "".join(f"2025-03-0{day},{kind},{day}.50\n" for day, kind in enumerate(("card", "cash", "card", "card"), 1))
    assert asked(rows) == [("missing_description", ["B=description"])]


def test_19_headers_of_the_callers_own_in_any_language() -> None:
    own = "Gekauftes Zeug;Wann;Moneten\nKocher;4.3.2025;12,50\nSpüle;5.3.2025;13,50\n"
    assert costs(own, "de-DE") == ["12.50", "13.50"]
    french = "Libellé;Date d’achat;Montant TTC\nRéchaud;4 mars 2025;12,50\n"
    assert entries(french, "fr-CA") == [("2025-03-04", "Réchaud", ONE, Decimal("12.50"))]
    spanish = "Fecha,Artículo,Cantidad,Precio unitario\n2025-03-04,Estufa,2,12.50\n"
    assert entries(spanish, "es-US") == [("2025-03-04", "Estufa", TWO, Decimal("12.50"))]


def test_20_an_unquoted_comma_is_a_fault_of_its_row_not_of_its_neighbor() -> None:
    table = "Date,Item,Amount\n2025-03-04,Stove, two burner,12.50\n2025-03-05,=HYPERLINK(1),13.50\n2025-03-06,Sink,1\n"
    assert faults(table) == [("D2", "The row has more cells than there are headers")]


def test_21_a_formula_is_text_and_stays_so() -> None:
    assert entries("Date,Item,Amount\n2025-03-05,=HYPERLINK(1),13.50\n")[0][1] == "=HYPERLINK(1)"


def workbook(*sheets: tuple[str, list[Any]], **options: Any) -> bytes:
    written = BytesIO()
    book = Workbook(written, {"in_memory": True, **options})
    day = book.add_format({"num_format": "mm/dd/yyyy"})
    for name, rows in sheets:
        sheet = book.add_worksheet(name)
        for number, row in enumerate(rows):
            for column, value in enumerate(row):
                if isinstance(value, date):
                    moment = datetime(value.year, value.month, value.day)  # noqa: DTZ001
                    sheet.write_datetime(number, column, moment, day)
                elif isinstance(value, str) and value.startswith("="):
                    sheet.write_formula(number, column, value, None, 42 if value == "=6*7" else "#DIV/0!")
                elif value is not None:
                    sheet.write(number, column, value)
    book.close()
    return written.getvalue()


HEAD: list[Any] = ["Date", "Item", "Amount"]


@pytest.mark.parametrize("from_1904", [False, True])
def test_22_a_workbook_with_dates_of_either_system(from_1904: bool) -> None:
    day = date(2025, 3, 4)
    serial = 45720 - (1462 if from_1904 else 0)
    content = workbook(("Receipts", [HEAD, [day, "Stove", 12.5], [serial, "Sink", 3]]), date_1904=from_1904)
    assert [each[0] for each in entries(content)] == ["2025-03-04", "2025-03-04"]
    assert "dates_from_numbers" in notes(imported(content))


def test_23_a_formula_counts_by_its_value_and_a_failed_one_is_a_fault() -> None:
    assert costs(workbook(("R", [HEAD, [date(2025, 3, 4), "Stove", "=6*7"]]))) == ["42.00"]
    rows = [
        HEAD,
        [date(2025, 3, 4), "Stove", "=1/0"],
        [date(2025, 3, 4), "Sink", 3],
        [date(2025, 3, 4), "Lamp", "=1/0"],
    ]
    content = workbook(("Receipts", rows))
    assert faults(content) == [("Receipts!C2", "The formula in the cell has failed")]  # C4 is told with it


def test_24_merged_days_are_asked_for_or_filled_down() -> None:
    written = BytesIO()
    book = Workbook(written, {"in_memory": True})
    sheet = book.add_worksheet("Receipts")
    sheet.write_row(0, 0, HEAD)
    sheet.merge_range(1, 0, 2, 0, "2025-03-04")
    sheet.write_row(1, 1, ["Stove", 12.5])
    sheet.write_row(2, 1, ["Sink", 3.5])
    book.close()
    assert faults(written.getvalue()) == [("Receipts!A3", "The cell is merged with another one, which has the value")]
    assert [each[0] for each in entries(written.getvalue(), fill_down=("acquired_on",))] == ["2025-03-04"] * 2


def test_24b_a_failed_formula_is_not_filled_down() -> None:
    rows = [HEAD, ["2025-03-04", "Stove", 12.5], ["=1/0", "Sink", 3.5]]
    content = workbook(("Receipts", rows))
    assert faults(content, fill_down=("acquired_on",)) == [("Receipts!A3", "The formula in the cell has failed")]


def test_25_one_of_several_sheets() -> None:
    receipts, notes_sheet = [HEAD, [date(2025, 3, 4), "Stove", 12.5]], [["Dear diary"], ["It rained"]]
    chosen = imported(workbook(("Diary", notes_sheet), ("Receipts", receipts)))
    assert chosen.components[0].unit_cost == Decimal("12.50")
    assert "sheet_chosen" in notes(chosen)
    two = workbook(("2025", receipts), ("2026", [HEAD, [date(2026, 3, 4), "Sink", 3]]))
    assert asked(two) == [("sheet", ["2025", "2026"])]
    assert costs(two, sheet="2026") == ["3.00"]
    assert faults(two, sheet="2027") == [("", "There is no such visible sheet")]


def test_26_the_headers_again_and_headings_between_rows() -> None:
    table = "Date,Item,Amount\nElectrical,,\n2025-03-04,Lamp,3.00\nDate,Item,Amount\nGalley,,\n2025-03-05,Stove,12.50\n"
    result = imported(table)
    assert [part.description for part in result.components] == ["Lamp", "Stove"]
    assert [(row.row, row.reason) for row in result.rows if row.outcome == "left_out"] == [
        (2, "no_amount"),
        (4, "header"),
        (5, "no_amount"),
    ]


def test_27_a_bank_statement_has_what_was_paid_below_zero() -> None:
    table = (
        "Date,Description,Amount\n2025-03-04,DEPOT plywood,-12.50\n2025-03-05,RV stove,-268.00\n"
        "2025-03-09,DEPOT plywood,12.50\n"
    )
    assert asked(table) == [("sign", ["paid-negative", "paid-positive"])]
    result = imported(table, sign="paid-negative")
    assert [(part.quantity, part.unit_cost) for part in result.components] == [
        (ONE, Decimal("12.50")),
        (ONE, Decimal("268.00")),
        (-ONE, Decimal("12.50")),
    ]


def test_28_debit_and_credit_in_columns_of_their_own() -> None:
    table = "Date,Description,Debit,Credit\n2025-03-04,Plywood,12.50,\n2025-03-09,Plywood,,12.50\n"
    plywood, back = imported(table).components
    assert (back.refund_of, back.quantity) == (plywood.id, -ONE)


def test_29_200_000_rows_are_refused_in_bounded_time() -> None:
    began = process_time()
    with pytest.raises(UnreadableFileError, match="more than 10,000 rows"):
        imported(b"Date,Item,Amount\n" + b"2025-03-04,Stove,12.50\n" * 200_000)
    assert process_time() - began < 5


def test_30_one_more_row_than_a_build_has_components_is_refused() -> None:
    table = b"Date,Item,Amount\n" + b"2025-03-04,Stove,12.50\n" * 10_001
    with pytest.raises(UnreadableFileError, match="more than 10,000 rows"):
        imported(table)


def test_31_the_same_purchase_twice_in_a_file_is_two_lines() -> None:
    first, second = imported("Date,Item,Amount\n2025-03-04,Stove,12.50\n2025-03-04,Stove,12.50\n").components
    assert second.id == f"{first.id}-2"


def test_32_missing_cells_are_told_all_at_once_and_equal_ones_once() -> None:
    table = (
        "Date,Item,Qty,Amount\n2025-03-04,Stove,1,free\n2025-03-05,,1,3.00\n2025-03-06,Sink,none,4.00\n"
        "2025-03-07,,1,5.00\n,Lamp,1,6.00\n"
    )
    assert faults(table) == [
        ("D2", "Not a value of its column"),
        ("B3", "Nothing stands here"),
        ("C4", "Not a value of its column"),
        ("A6", "Nothing stands here"),
    ]


def test_33_a_quantity_with_its_unit() -> None:
    part = part_named(imported("Date,Item,Qty,Unit price\n2025-03-04,Hose,2.5 m,4.00\n"), "Hose")
    assert (part.quantity, part.unit, part.unit_cost) == (Decimal("2.5"), "m", Decimal("4.00"))
