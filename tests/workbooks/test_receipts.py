"""How rows of receipts become components: amounts, tax, splits, refunds, categories, ids. Figures worked by hand."""

from datetime import date
from decimal import Decimal

import pytest

from hitchworth.appraisal import with_refunds_applied
from hitchworth.model.build import Build
from hitchworth.model.entry import Component
from hitchworth.validation import InvalidInputError
from hitchworth.workbooks.refunds import Purchase
from imported_tables import asked, costs, faults, imported, notes, part_named


def money(text: str) -> Decimal:
    return Decimal(text)


# Price, quantity, amount and tax


def test_an_amount_is_divided_by_the_quantity_exactly() -> None:
    table = "Date,Item,Qty,Amount\n2025-03-04,Plywood,4,50.00\n2025-03-04,Screws,3,10.00\n"
    plywood, screws = imported(table).components
    assert (plywood.quantity, plywood.unit_cost) == (Decimal(4), money("12.50"))
    assert screws.unit_cost == Decimal("3.333333333333")
    assert round(screws.quantity * screws.unit_cost, 2) == money("10.00")


def test_a_plain_price_beside_quantities_is_asked_unless_a_total_decides() -> None:
    table = "Date,Item,Qty,Price\n2025-03-04,Stove,1,268.00\n2025-03-04,Plywood,4,50.00\n"
    (question,) = imported(table).questions
    assert [(choice.value, choice.reading) for choice in question.choices] == [
        ("Price=unit_cost", "4 x 50.00 = 200.00"),
        ("Price=amount", "4 x 12.50 = 50.00"),
    ]
    assert question.cells == ("D3",)
    assert costs(table, columns={"Price": "unit_cost"}) == ["268.00", "50.00"]
    assert costs(table, columns={"Price": "amount"}) == ["268.00", "12.50"]
    assert costs(table.replace(",4,", ",1,")) == ["268.00", "50.00"]
    with_total = "Date,Item,Qty,Price,Total\n2025-03-04,Plywood,4,50.00,200.00\n"
    assert costs(with_total) == ["50.00"]


def test_a_total_that_is_not_quantity_times_price_is_a_fault() -> None:
    table = "Date,Item,Qty,Price,Total\n2025-03-04,Plywood,4,50.00,200.00\n2025-03-04,Screws,2,5.00,11.00\n"
    assert faults(table) == [("E3", "Not the quantity times the price")]


def test_a_total_somewhat_above_the_price_is_asked_about() -> None:
    """268.00 + 22.11 = 290.11, and 4 x 62.00 = 248.00, + 20.46 = 268.46."""
    table = "Date,Item,Qty,Price,Total\n2025-03-04,Stove,1,268.00,290.11\n2025-03-04,Plywood,4,62.00,268.46\n"
    (question,) = imported(table).questions
    assert (question.code, question.cells) == ("difference", ("E2", "E3"))
    assert [(choice.value, choice.reading) for choice in question.choices] == [
        ("tax", "268.00 + 22.11 = 290.11"),
        ("freight", "268.00 + 22.11 = 290.11"),
    ]
    taxed = imported(table, difference="tax").components
    assert [(part.unit_cost, part.tax) for part in taxed] == [
        (money("268.00"), money("22.11")),
        (money("62.00"), money("20.46")),
    ]
    shipped = imported(table, difference="freight").components
    assert [(part.tax, part.freight) for part in shipped] == [(None, money("22.11")), (None, money("20.46"))]
    assert costs(table, columns={"Total": "", "Price": "unit_cost"}) == ["268.00", "62.00"]
    assert faults(table.replace("290.11", "900.00").replace("268.46", "900.00")) == [
        ("E2", "Not the quantity times the price"),
        ("E3", "Not the quantity times the price"),
    ]


def test_arithmetic_says_whether_a_total_includes_the_tax() -> None:
    head = "Date,Item,Qty,Price,Tax,Total\n"
    on_top = imported(head + "2025-03-04,Plywood,4,12.50,4.13,54.13\n")
    assert (on_top.settings.tax_in_amount, on_top.components[0].unit_cost) == ("added", money("12.50"))
    assert on_top.components[0].tax == money("4.13")
    within = imported(head.replace("Total", "Amount,Total") + "2025-03-04,Plywood,4,13.00,2.00,52.00,52.00\n")
    assert (within.settings.tax_in_amount, within.components[0].unit_cost) == ("included", money("12.50"))


def test_the_quantity_times_the_price_is_without_the_tax_beside_it_unless_words_say_otherwise() -> None:
    def table(each: str, amount: str) -> str:
        rows = "2025-03-20,plywood,6,58.97,353.82,30.07\n2025-04-02,studs,24,4.10,98.40,8.36\n"
        return f"Date,Item,Qty,{each},{amount},Tax\n{rows}"

    on_top = imported(table("Each", "Amount"))
    assert [(part.unit_cost, part.tax) for part in on_top.components] == [
        (money("58.97"), money("30.07")),
        (money("4.10"), money("8.36")),
    ]
    assert on_top.settings.tax_in_amount == "added"
    assert "tax_added" in notes(on_top)
    assert "tax_included" in notes(imported(table("Each", "Amount"), tax_in_amount="included"))
    assert imported(table("Each incl. tax", "Amount")).settings.tax_in_amount == "included"
    assert imported(table("Each", "Paid")).settings.tax_in_amount == "included"
    assert asked(table("Each", "Total")) == [("tax_in_amount", ["included", "added"])]


@pytest.mark.parametrize("stove", ["Stove,2,10,20,1.60\n", "Stove,2,10,21,1.60\n"])
def test_where_few_rows_say_how_the_tax_is_meant_it_is_asked(stove: str) -> None:
    """Of three rows one is the quantity times the price, or none."""
    others = "2025-03-05,Pump,2,10,25,2.00\n2025-03-06,Hose,3,10,40,3.20\n"
    table = f"Date,Item,Qty,Each,Amount,Tax\n2025-03-04,{stove}{others}"
    assert ("tax_in_amount", ["included", "added"]) in asked(table)


def test_words_say_whether_an_amount_includes_the_tax_or_it_is_asked() -> None:
    def table(header: str) -> str:
        return f"Date,Item,{header},Tax\n2025-03-04,Plywood,54.13,4.13\n"

    assert costs(table("Total incl. tax")) == ["50.00"]
    assert costs(table("Net amount")) == ["54.13"]
    assert asked(table("Amount")) == [("tax_in_amount", ["included", "added"])]
    (question,) = imported(table("Amount")).questions
    assert [choice.reading for choice in question.choices] == ["50.00 + 4.13 = 54.13", "54.13 + 4.13 = 58.26"]
    assert costs(table("Amount"), tax_in_amount="included") == ["50.00"]
    assert costs(table("Amount").replace("4.13\n", "0\n")) == ["54.13"]  # no tax: nothing to ask
    assert notes(imported("Date,Item,Unit price,Tax\n2025-03-04,Stove,50.00,4.13\n")) == [
        "currency_assumed",
        "tax_added",
        "no_evidence",
    ]
    assert "tax_within_amounts" in notes(imported("Date,Item,Total incl. tax\n2025-03-04,Stove,50.00\n"))


def test_an_empty_tax_is_not_known_and_a_zero_is() -> None:
    table = "Date,Item,Net amount,Tax\n2025-03-04,Stove,50.00,\n2025-03-04,Sink,30.00,0\n2025-03-04,Hose,3.00,0.25\n"
    assert [part.tax for part in imported(table).components] == [None, 0, money("0.25")]


# Rows of a receipt that are split


RECEIPT = (
    "Date,Vendor,Item,Amount\n2025-03-04,Depot,Plywood,10.00\n2025-03-04,Depot,Screws,20.00\n"
    "2025-03-04,Depot,Glue,3.33\n2025-03-04,Other,Lamp,99.00\n2025-03-04,Depot,Sales tax 8.25%,2.75\n"
    "2025-03-04,Depot,Shipping & handling,10.00\n"
)


def test_tax_and_freight_are_split_by_largest_remainder_over_their_receipt() -> None:
    """Of 33.33: 10.00, 20.00 and 3.33. Tax 275 cents: 82.50, 165.01, 27.47; rounded down 82 + 165 + 27 = 274, and the
    last cent goes to the largest remainder, .50. Freight 1000 cents: 300.03, 600.06, 99.90: 300 + 600 + 99 = 999, and
    the last cent goes to .90.
    """
    result = imported(RECEIPT)
    assert [(part.description, part.tax, part.freight) for part in result.components] == [
        ("Plywood", money("0.83"), money("3.00")),
        ("Screws", money("1.65"), money("6.00")),
        ("Glue", money("0.27"), money("1.00")),
        ("Lamp", None, 0),
    ]
    assert [row.row for row in result.rows if row.outcome == "split"] == [6, 7]


def test_a_discount_lowers_the_prices_of_its_receipt() -> None:
    """100 cents off 33.33: 30.00, 60.01, 9.99; the last cent goes to Glue: 9.70, 19.40, 3.23."""
    result = imported(RECEIPT + "2025-03-04,Depot,Coupon,-1.00\n")
    assert [part.unit_cost for part in result.components[:3]] == [money("9.70"), money("19.40"), money("3.23")]


def test_a_receipt_number_joins_rows_of_several_days() -> None:
    table = (
        "Date,Item,Amount,Receipt #\n2025-03-04,Stove,50.00,A1\n2025-03-04,Sink,50.00,B2\n2025-03-09,Shipping,8.00,A1\n"
    )
    stove, sink = imported(table).components
    assert (stove.freight, sink.freight) == (money("8.00"), Decimal(0))
    assert stove.evidence_grade == "receipt"


def test_a_row_of_a_receipt_whose_purchase_is_faulty_has_no_fault_of_its_own() -> None:
    table = (
        "Date,Item,Amount,Receipt #,Shop\n45/45/2025,Fan,50.00,{},Parts\n2025-03-09,Shipping,8.00,{},Parts\n"
        "2025-03-10,Lamp,9.00,C3,Light\n"
    )
    for number in ("A1", ""):
        assert faults(table.format(number, number)) == [("A2", "Not a value of its column")]
    assert ("B3", "No purchase shares the receipt of this row") in faults(table.format("A1", "B2"))


def test_hours_among_receipts_are_left_out_and_told() -> None:
    table = "Date,Item,Qty,Amount\n2025-03-04,Stove,1,50.00\n,Labor 12 hours,12,\n,Paid by card,,\n"
    result = imported(table)
    assert [note.parameters for note in result.notes if note.code == "hours_among_receipts"] == [
        {"row": "3", "description": "Labor 12 hours"}
    ]


def test_a_row_that_no_purchase_shares_is_a_fault() -> None:
    assert faults("Date,Item,Amount\n2025-03-04,Stove,50.00\n2025-03-05,Sales tax,4.00\n") == [
        ("B3", "No purchase shares the receipt of this row")
    ]
    assert faults("Date,Item,Amount\n2025-03-04,Stove,50.00\n2025-03-04,Shipping,-4.00\n") == [
        ("C3", "The sign does not fit")
    ]


@pytest.mark.parametrize(
    ("row", "expected"),
    [
        ("Shipping,-4.00", "an amount of 0 or more; or leave the row out: --leave-out and its number"),
        ("Coupon,4.00", "an amount below 0"),
    ],
)
def test_the_sign_of_a_split_row_fits_what_it_is(row: str, expected: str) -> None:
    with pytest.raises(InvalidInputError) as caught:
        imported(f"Date,Item,Amount\n2025-03-04,Stove,50.00\n2025-03-04,{row}\n")
    assert [fault.expected for fault in caught.value.faults] == [expected]


def test_a_lamp_for_shipping_is_a_purchase() -> None:
    assert part_named(imported("Date,Item,Amount\n2025-03-04,Shipping lamp,50.00\n"), "Shipping lamp").freight == 0


# Refunds


def test_a_refund_of_some_units_takes_them_out_of_the_build() -> None:
    table = "Date,Item,Qty,Unit price\n2025-03-01,Plywood birch,4,12.50\n2025-03-09,Plywood returned,-1,12.50\n"
    result = imported(table)
    plywood, refund = result.components
    assert (refund.refund_of, refund.quantity) == (plywood.id, Decimal(-1))
    build = with_refunds_applied(Build(name="n", currency="USD", components=result.components))
    assert [(part.quantity, part.removed_on) for part in build.components] == [
        (Decimal(3), None),
        (Decimal(1), date(2025, 3, 9)),
    ]


def test_a_refund_with_its_tax_finds_the_purchase_by_what_it_came_to() -> None:
    table = (
        "Date,Item,Net amount,Tax\n2025-03-01,Window,100.00,8.00\n2025-03-01,Door,150.00,12.00\n"
        "2025-03-09,Window,-108.00,\n"
    )
    window, _, refund = imported(table).components
    assert (refund.refund_of, refund.quantity) == (window.id, Decimal(-1))


def test_a_refund_that_fits_several_purchases_or_none_is_asked() -> None:
    table = "Date,Item,Amount\n2025-03-01,Lamp,5.00\n2025-03-02,Lamp,5.00\n2025-03-09,Lamp,-5.00\n"
    assert asked(table) == [("refund_of", ["4=2", "4=3"])]
    result = imported(table, refunds={"4": "3"})
    assert result.components[2].refund_of == result.components[1].id
    other = "Date,Item,Amount\n2025-03-01,Lamp,5.00\n2025-03-09,Sink,-7.00\n"
    assert asked(other) == [("refund_of", ["3=2"])]
    assert faults(other, refunds={"3": "2"}) == [("C3", "The refund is more than was paid")]
    assert costs(other, leave_out=(3,)) == ["5.00"]
    assert asked("Date,Item,Amount\n2025-03-09,Lamp,5.00\n2025-03-01,Lamp,-5.00\n") == [("refund_of", ["3=2"])]


def test_what_was_free_cannot_be_what_a_refund_takes_back() -> None:
    table = "Date,Item,Amount\n2025-03-01,Lamp,0.00\n2025-03-02,Lamp,5.00\n2025-03-09,Lamp,-5.00\n"
    free, lamp, refund = imported(table).components
    assert (free.unit_cost, refund.refund_of) == (Decimal(0), lamp.id)


def test_a_refund_may_take_back_what_the_build_has_already() -> None:
    lamp = Component(
        id="lamp",
        description="Reading lamp",
        category="lights",
        quantity=Decimal(2),
        unit_cost=Decimal(5),
        acquired_on=date(2025, 1, 1),
    )
    build = Build(name="n", currency="USD", components=(lamp,))
    (refund,) = imported(
        "Date,Item,Amount\n2025-03-01,Reading lamp return,-5.00\n", build=build, sign="paid-positive"
    ).components
    assert (refund.refund_of, refund.quantity) == ("lamp", Decimal(-1))


# Categories, evidence, other fields


def test_a_category_is_proposed_with_its_words_and_never_in_silence() -> None:
    table = "Date,Item,Amount\n2025-03-04,LiFePO4 battery 100 Ah,400.00\n2025-03-04,Thingamajig,5.00\n"
    result = imported(table)
    assert [part.category for part in result.components] == ["battery_lithium", "other"]
    assert [(guess.row, guess.value, guess.confidence, guess.because) for guess in result.guesses] == [
        (2, "battery_lithium", "high", "lifepo4 battery"),
        (3, "other", None, ""),
    ]


def test_a_category_that_is_stated_is_taken_in_any_language() -> None:
    table = "Date,Item,Amount,Category\n2025-03-04,X,1.00,Refrigerador\n"
    table += "2025-03-04,Z,1.00,Matratze\n2025-03-04,Y,1.00,my own\n"
    result = imported(table)
    assert [part.category for part in result.components] == ["refrigerator", "mattress", "other"]
    assert [(guess.row, guess.stated, guess.confidence) for guess in result.guesses] == [(4, "my own", None)]


def test_a_declared_category_counts_before_the_proposals() -> None:
    table = "Date,Item,Amount\n2025-03-04,Gas struts pair,42.00\n2025-03-04,Pump,5.00\n2025-03-04,Air pump,5.00\n"
    result = imported(table, categories={"gas strut": "fasteners", "pump": "Wasserpumpe", "air pump": "power_tools"})
    assert [part.category for part in result.components] == ["fasteners", "water_pump", "power_tools"]
    assert result.guesses == ()


def test_evidence_is_a_receipt_only_where_one_has_a_number_or_the_caller_says_so() -> None:
    table = "Date,Item,Amount,Receipt #\n2025-03-04,Stove,1.00,A1\n2025-03-04,Sink,1.00,\n"
    assert [part.evidence_grade for part in imported(table).components] == ["receipt", None]
    plain = "Date,Item,Amount\n2025-03-04,Stove,1.00\n"
    assert imported(plain, evidence_grade="receipt").components[0].evidence_grade == "receipt"
    assert "no_evidence" in notes(imported(plain))
    assert "no_evidence" not in notes(imported(plain, evidence_grade="receipt"))


def test_other_columns_become_fields_and_constants_fill_what_is_missing() -> None:
    table = "Date,Item,Amount,Serial,Model,Store,Notes,Bought used\n2025-03-04,Stove,1.00,S1,M2,Depot,dented,yes\n"
    part = imported(table, columns={"Bought used": "bought_used"}).components[0]
    assert (part.serial_number, part.model_number, part.supplier, part.note) == ("S1", "M2", "Depot", "dented")
    assert part.bought_used is True
    table = "Item,Amount\nStove,1.00\n"
    part = imported(table, constants={"acquired_on": "2025-03-04", "supplier": "Depot"}).components[0]
    assert (part.acquired_on, part.supplier) == (date(2025, 3, 4), "Depot")
    assert asked(table) == [("missing_acquired_on", [])]


def test_a_line_in_another_currency_needs_its_rate_and_says_where() -> None:
    table = "Date,Item,Amount,Currency,Exchange rate\n2025-03-04,Stove,1.00,USD,\n2025-03-04,Sink,1.00,EUR,\n"
    assert faults(table) == [("E3", "Exchange rate from EUR to USD is needed")]
    fixed = imported(table.replace("EUR,\n", "EUR,1.08\n")).components[1]
    assert (fixed.currency, fixed.exchange_rate) == ("EUR", Decimal("1.08"))


def test_what_was_declared_wrongly_is_a_fault() -> None:
    table = "Date,Item,Amount\n2025-03-04,Stove,1.00\n"
    assert faults(table, columns={"Paid": "amount"}) == [("", "No column has this header")]
    assert faults(table, columns={"Amount": "amont"}) == [("", "There is no such field")]
    assert faults(table, header_row=9) == [("", "There is no such row")]


def test_headers_that_say_nothing_stand_above_two_rows_of_values() -> None:
    """What stands in the third row does not matter; in the second it does."""
    rows = ("Aaa,Bbb,Ccc", "2026-02-14,frame,640", "2026-02-15,lamp,20", "the rest,comes,later", "2026-02-16,pump,10")
    headers = [column.header for column in imported("\n".join(rows)).columns]
    assert headers == ["Aaa", "Bbb", "Ccc"]
    headers = [column.header for column in imported("\n".join(rows[:2] + rows[3:])).columns]
    assert headers == ["the rest", "comes", "later"]


def test_the_row_of_the_headers_may_be_declared() -> None:
    table = "Stove,Lamp,Sink\n2025-01-01,Date,Item\nDate,Item,Amount\n2025-03-04,Stove,1.00\n"
    assert costs(table, header_row=3) == ["1.00"]
    assert costs("2025-03-04,Stove,1.50\n", header_row=0) == ["1.50"]


def test_a_column_may_be_left_out_or_named_by_its_letter() -> None:
    table = "Date,Item,Amount,Tax\n2025-03-04,Stove,1.00,0.50\n"
    assert imported(table, columns={"Tax": ""}).components[0].tax is None
    assert costs("2025-03-04,Stove,5,7\n", columns={"C": "amount", "D": ""}) == ["5.00"]


def test_units_are_a_quantity_where_they_are_numbers_and_a_unit_where_they_are_words() -> None:
    (part,) = imported("Date,Item,Units,Unit price\n2025-03-04,Hose,3,4.00\n").components
    assert (part.quantity, part.unit) == (Decimal(3), "piece")
    (part,) = imported("Date,Item,Qty,Unit,Unit price\n2025-03-04,Hose,3,m,4.00\n").components
    assert (part.quantity, part.unit) == (Decimal(3), "m")


# Ids


def test_a_row_keeps_its_id_whatever_stands_around_it_and_however_it_is_written() -> None:
    plain = imported("Date,Item,Amount\n2025-03-04,Stove,12.50\n").components[0]
    moved = imported("Item;Betrag;Datum\nSpüle;1,00;05.03.2025\nSTOVE ;12,50;04.03.2025\n", currency="USD").components[
        1
    ]
    assert moved.id == plain.id
    for changed in ("2025-03-05,Stove,12.50", "2025-03-04,Oven,12.50", "2025-03-04,Stove,12.51"):
        assert imported(f"Date,Item,Amount\n{changed}\n").components[0].id != plain.id


def test_the_settings_of_an_answer_read_the_same_table_alike() -> None:
    table = "Date,Item,Qty,Price,Tax,Total\n03/04/2025,Plywood,4,12.50,4.13,54.13\n"
    first = imported(table, date_order="month-first")
    again = imported(table, **{name: getattr(first.settings, name) for name in first.settings.__struct_fields__})
    assert again.components == first.components
    assert again.questions == ()


@pytest.mark.parametrize("locale", ["de-DE", "es-US", "fr-CA", "en-GB", "en-US"])
def test_an_import_reads_the_same_in_every_locale(locale: str) -> None:
    table = "Date,Item,Amount\n2025-03-04,Stove,12.50\n"
    here, there = imported(table, locale, currency="USD"), imported(table, currency="USD")
    assert here.components == there.components


def test_a_refund_is_for_whole_units_to_less_than_a_cent_each() -> None:
    """Three for 30.00 are 10.00 each, with tax 10.80: 10.01 is off by a cent, 20.01 by half a cent each."""
    lamps = Purchase("lamp", 2, "Lamp", date(2025, 3, 1), Decimal(3), Decimal(30), Decimal("32.40"))
    paid = ("10.00", "10.01", "20.01", "20.02", "21.60", "30.00", "40.00", "0.00")
    assert [lamps.units_for(Decimal(money)) for money in paid] == [1, None, 2, None, 2, 3, None, None]


def test_an_amount_that_is_not_there_and_one_that_is_none() -> None:
    table = (
        "Date,Item,Amount\n2026-02-14,frame,640\n2026-02-14,lamp,\n2026-02-15,sink,free\n"
        "2026-02-16,pump,90\n2026-02-17,hose,12\n"
    )
    assert faults(table) == [("C3", "No amount stands here"), ("C4", "Not a value of its column")]


def test_one_wrong_quantity_is_one_fault_and_does_not_change_what_the_other_rows_mean() -> None:
    # 1 x 640 + 128 tax = 768, 2 x 50 + 20 = 120: the tax comes on top. The row with "six" says nothing of that.
    table = (
        "Date,Shop,Item,Qty,Price,Tax,Total\n2026-02-14,Bits,frame,1,640,128,768\n2026-02-14,Bits,lamp,six,10,12,72\n"
        "2026-02-15,Bits,sink,2,50,20,120\n"
    )
    assert faults(table) == [("D3", "Not a value of its column")]
    assert costs(table.replace("six", "6")) == ["640.00", "10.00", "50.00"]
    # A slip in a total is a fault of that row alone: 6 x 10 + 12 = 72.
    assert faults(table.replace("six", "6").replace("72", "79")) == [("G3", "Not the quantity times the price")]


TOTALS = (
    "Date,Shop,Item,Total\n2026-02-14,Bits,frame,640\n2026-02-14,Bits,lamp,60\n,,Sub-total Feb,700\n"
    "2026-02-15,Bits,sink,20\n,,Total Mar,20\n,,Page total,720\n,,Total of all that I paid up to here,720\n"
)


def test_totals_without_a_day_are_known_by_what_they_say_or_by_their_amount() -> None:
    # 640 + 60 = 700; 20 since then; 720 in all. The last one says total among other words, and adds up.
    result = imported(TOTALS)
    assert [part.description for part in result.components] == ["frame", "lamp", "sink"]
    assert [row.reason for row in result.rows if row.outcome == "left_out"] == ["total"] * 4
    assert "total_differs" not in notes(result)
    # One that does not add up and says something else may be a purchase: its day is missing.
    (fault, *more) = faults(TOTALS.replace("to here,720", "to here,721"))
    assert fault == ("A8", "Nothing stands here")
    assert not more
    assert "total_differs" in notes(imported(TOTALS.replace("Total Mar,20", "Total Mar,21")))


def test_totals_may_count_rows_that_are_left_out() -> None:
    # Row 3, 60, is no part of the trailer and is left out; the stated totals count it still.
    result = imported(TOTALS, leave_out=[3])
    assert [part.description for part in result.components] == ["frame", "sink"]
    assert "total_differs" not in notes(result)
    # Corrected totals do not: 640 and 660. A subtotal that is left out counts nowhere.
    assert "total_differs" not in notes(imported(TOTALS.replace("700", "640").replace("720", "660"), leave_out=[3]))
    assert "total_differs" not in notes(imported(TOTALS, leave_out=[3, 4]))
    assert "total_differs" in notes(imported(TOTALS.replace("700", "710"), leave_out=[3]))


SHARED = (
    "Date,Store,Item,Amount,Receipt\n2026-05-30,Barn,Jigsaw,80.00,R1\n2026-05-30,Barn,Plywood sheet,20.00,R1\n"
    "2026-05-30,Barn,Shipping,10.00,R1\n2026-05-30,Barn,Sales tax,9.00,R1\n"
)


def test_a_row_that_is_left_out_keeps_its_share_of_what_its_receipt_splits() -> None:
    """Of 10.00 and 9.00 the plywood has 20 of 100: 2.00 and 1.80, whether the jigsaw is in the build or not."""
    part = part_named(imported(SHARED, leave_out=[2]), "Plywood sheet")
    assert (part.unit_cost, part.freight, part.tax) == (Decimal(20), Decimal(2), Decimal("1.80"))
    assert part == part_named(imported(SHARED), "Plywood sheet")
    nothing = imported(SHARED, leave_out=[2, 3])
    assert nothing.components == ()


def test_a_discount_of_a_row_that_is_left_out_goes_with_it() -> None:
    """20.39 over 84.90 and 119.00, of 203.90 in all: 8.49 for the first, so 76.41."""
    table = (
        "Datum,Händler,Artikel,Menge,Einzelpreis,Gesamt inkl. 19 % MwSt,Beleg-Nr.\n"
        '9.5.2026,Baumarkt,XPS Dämmung 30 mm,10,"8,49","84,90",57230\n'
        '9.5.2026,Baumarkt,Akkuschrauber,1,"119,00","119,00",57230\n'
        '9.5.2026,Baumarkt,10 % Rabatt,1,"-20,39","-20,39",57230\n'
    )
    part = part_named(imported(table, "de-DE", leave_out=[3]), "XPS Dämmung 30 mm")
    assert part.quantity * part.unit_cost == Decimal("76.41")


def test_a_total_that_differs_is_compared_with_all_rows_above() -> None:
    """20 and 30 are 50, also where the 30 are left out: 49 differs by 1."""
    table = "Date,Item,Amount\n2026-05-01,Lamp,20.00\n2026-05-02,Lunch,30.00\n,Total,49.00\n"
    (note,) = (note for note in imported(table, leave_out=[3]).notes if note.code == "total_differs")
    assert note.parameters == {"stated": "49.00", "sum": "50.00"}
    assert "total_differs" not in notes(imported(table.replace("49.00", "50.00"), leave_out=[3]))


@pytest.mark.parametrize("field", ["quantity", "tax", "exchange_rate", "amount"])
@pytest.mark.parametrize(
    ("number", "detail"),
    [
        ("many", "Not a number"),
        ("0,72", "Not a number"),
        ("NaN", "Not a number"),
        ("1e999999999", "Not a number"),
        ("1e-999999999", "Not a number"),
        ("1" * 22, "Not a number"),
        ("-5", "Number is out of range"),
        ("1e10", "Number is out of range"),
    ],
)
def test_what_is_set_for_a_field_of_numbers_is_one_that_it_can_hold(field: str, number: str, detail: str) -> None:
    with pytest.raises(InvalidInputError) as raised:
        imported("Date,Item,Price\n2026-05-02,Hinge,8.00\n", constants={field: number})
    assert [(fault.detail, fault.found) for fault in raised.value.faults] == [(detail, number)]


def test_a_constant_fills_empty_cells_and_no_others() -> None:
    table = "Date,Item,Amount\n04/25/26,Tape,9.00\n,Hinge,8.00\n05/09/26,Stove,7.00\n"
    read = imported(table, constants={"acquired_on": "2026-05-02"})
    days = [str(part.acquired_on) for part in read.components]
    assert days == ["2026-04-25", "2026-05-02", "2026-05-09"]
    assert read.settings.columns["Date"] == "acquired_on"


def test_an_order_of_dates_is_recognized_of_dates_only() -> None:
    without = imported("Item,Amount\nHinge,8.00\n", constants={"acquired_on": "2026-05-02"})
    assert without.settings.date_order is None


PAID = "Quand,Quoi,Payé\n2026-05-01,Lampe,20.00\n2026-05-02,Tôle,30.00\n"


def test_what_was_paid_is_taken_as_paid_with_tax_where_none_stands_beside_it() -> None:
    result = imported(PAID, "fr-CA")
    assert {part.price_includes for part in result.components} == {"all"}
    assert "tax_within_amounts" in notes(result)
    on_top = imported(PAID, "fr-CA", tax_in_amount="added")
    assert {part.price_includes for part in on_top.components} == {None}
    assert "tax_within_amounts" not in notes(on_top)


def test_amounts_that_are_said_to_include_tax_include_it() -> None:
    table = PAID.replace("Payé", "Montant")
    assert {part.price_includes for part in imported(table, "fr-CA").components} == {None}
    said = imported(table, "fr-CA", tax_in_amount="included")
    assert {part.price_includes for part in said.components} == {"all"}
    assert "tax_within_amounts" in notes(said)


def test_what_was_paid_is_asked_about_where_some_receipts_show_their_tax() -> None:
    table = PAID + "2026-05-02,TPS,1.50\n"
    assert asked(table, "fr-CA") == [("paid_with_tax", ["included", "added"])]
    lamp, sheet = imported(table, "fr-CA", tax_in_amount="included").components
    assert (lamp.price_includes, lamp.tax) == ("all", None)
    assert (sheet.price_includes, sheet.tax, sheet.unit_cost) == (None, Decimal("1.50"), Decimal(30))


def test_a_total_whose_header_names_the_tax_in_it_includes_it_beside_prices_too() -> None:
    table = "Datum,Artikel,Menge,Einzelpreis,Gesamt inkl. 19 % MwSt\n3.4.2026,Platte,4,20,80\n14.4.2026,Holz,2,5,10\n"
    assert {part.price_includes for part in imported(table, "de-DE").components} == {"all"}
    plain = table.replace(" inkl. 19 % MwSt", "")
    assert {part.price_includes for part in imported(plain, "de-DE", currency="EUR").components} == {None}


def test_the_shipping_that_goes_with_what_came_back_is_told() -> None:
    """Of 12.28 for two windows, 6.14 is for the one that came back."""
    table = (
        "Date,Store,Item,Qty,Price,Total\n2026-04-18,Camp,Window,2,129.00,258.00\n2026-04-18,Camp,Shipping,1,12.28,12.28\n"
        "2026-04-25,Camp,RETURN Window,-1,129.00,-129.00\n"
    )
    (note,) = (note for note in imported(table).notes if note.code == "freight_taken_back")
    assert note.parameters == {"row": "4", "description": "Window", "amount": "6.14"}


def test_columns_and_quantities_of_a_french_table_are_known_by_their_words() -> None:
    table = (
        "Quand,Quoi,Combien,Payé,Où\n2026-04-25,vis,2 boîtes,41.98,Coin\n2026-04-26,contreplaqué,5 pcs,100.00,Coin\n"
        "2026-04-27,serrures,une paire,30.00,Coin\n2026-04-28,isolant,6 feuilles,90.00,Coin\n"
    )
    parts = imported(table, "fr-CA").components
    assert [(str(part.quantity), part.unit) for part in parts] == [
        ("2", "boîtes"),
        ("5", "pcs"),
        ("1", "paire"),
        ("6", "feuilles"),
    ]
    assert {part.supplier for part in parts} == {"Coin"}


def test_of_words_in_two_languages_those_of_the_locale_say_the_category() -> None:
    table = "Date,Item,Amount\n2026-02-14,stove Kabel,5.00\n"
    assert [imported(table, locale, currency="USD").components[0].category for locale in ("en-US", "de-DE")] == [
        *("stove", "wiring"),
    ]


def test_a_column_without_a_header_is_named_where_some_of_its_cells_are_filled() -> None:
    table = "Date,,Item,Amount\n2026-02-14,,Stove,5.00\n2026-02-15,for Ann,Sink,6.00\n"
    column = imported(table, currency="USD").columns[1]
    assert (column.column, column.field, column.example) == ("B", None, "for Ann")
