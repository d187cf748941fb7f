"""Every printed cell of a small example, compared with a figure worked by hand (see worked_report)."""

import re
from io import BytesIO
from typing import TypeVar

from docx import Document
from msgspec.structs import replace

from hitchworth.model.options import Options
from hitchworth.model.request import GapRequest
from hitchworth.operations.reports import create_report
from hitchworth.reports import docx, html, markdown
from hitchworth.reports.content import Block, Figure, GroupedTable, Paragraph, Table
from worked_report import AS_OF, BUILD, worked_report

B = TypeVar("B", bound=Block)


def blocks(kind: type[B]) -> list[B]:
    return [block for block in worked_report("all").blocks if isinstance(block, kind)]


def table(caption: str) -> Table:
    return next(block for block in blocks(Table) if block.caption.startswith(caption))


def test_the_inventory_has_cost_paid_replacement_cost_and_actual_cash_value_in_this_order() -> None:
    (lines,) = (block for block in blocks(GroupedTable) if block.caption == "Every line, by category")
    assert [column.title for column in lines.columns] == [
        "Item",
        "Schedule",
        "Age, years",
        "Percent good",
        "Cost paid",
        "Replacement cost new",
        "Actual cash value",
    ]
    assert {group.title: (group.rows, group.subtotals) for group in lines.groups} == {
        "Appliances": (
            (
                ("Stove", "Straight line", "4.0", "60.0%", "$1,000.00", "$1,100.00", "$660.00"),
                ("Oven", "Straight line", "2.0", "80.0%", "$500.00", "$550.00", "$440.00"),
            ),
            ("", "", "", "", "$1,650.00", "$1,100.00"),
        ),
        "Tires": (
            (("Tires", "Straight line", "4.0", "50.0%", "$320.00", "$352.00", "$176.00"),),
            ("", "", "", "", "$352.00", "$176.00"),
        ),
    }
    assert lines.foot == ("Total", "", "", "", "", "$2,002.00", "$1,276.00")


def test_the_value_by_category_has_replacement_cost_depreciation_and_actual_cash_value() -> None:
    categories = table("Value by category")
    assert [column.title for column in categories.columns[1:]] == [
        "Replacement cost new",
        "Depreciation",
        "Actual cash value",
    ]
    assert categories.rows == (
        ("Appliances", "$1,650.00", "$550.00", "$1,100.00"),
        ("Tires", "$352.00", "$176.00", "$176.00"),
    )
    assert categories.foot == ("Total", "$2,002.00", "$726.00", "$1,276.00")


def test_the_totals_lead_from_parts_to_replacement_cost() -> None:
    totals = table("From parts and labor")
    assert totals.rows == (
        ("Parts and labor at the latest prices known by that day", "$1,820.00"),
        ("Overhead, 10% of $1,820.00", "$182.00"),
        ("Profit", "–"),
        ("Sales tax", "–"),
    )
    assert totals.foot == ("Replacement cost new", "$2,002.00")


def test_the_first_page_has_the_value_by_group_and_what_is_asked() -> None:
    """Stove and oven are appliances, the tires running gear; nothing says that there are receipts."""
    value = table("Value by part of the trailer, Jan 1, 2026")
    assert value.rows == (
        ("Frame and running gear", "$352.00", "$176.00", "Not stated 100%"),
        ("Gas, water and appliances", "$1,650.00", "$1,100.00", "Not stated 100%"),
    )
    assert value.foot == ("Total", "$2,002.00", "$1,276.00", "")
    asked = [block.text for block in blocks(Paragraph) if block.text.startswith("Please insure")]
    assert asked == ["Please insure this trailer on an actual cash value basis, with a limit of at least $1,276."]


def test_the_last_page_says_what_the_policy_would_pay() -> None:
    assert table("What the policy would pay").rows == (
        ("Burned", "$2,002.00", "$1,176.00", "$1,176.00", "$826.00"),
        ("Hailed", "$352.00", "$76.00", "$76.00", "$276.00"),
    )


def test_the_matrix_has_payment_share_and_gap() -> None:
    assert table("Payment by policy and loss").rows == (
        ("Basic", "$1,176.00\n58.7% covered\ngap $826.00", "$76.00\n21.6% covered\ngap $276.00"),
        ("Better", "$1,500.00\n74.9% covered\ngap $502.00", "$302.00\n85.8% covered\ngap $50.00"),
    )


def test_the_payments_lead_from_replacement_cost_to_what_is_paid() -> None:
    paid = table("What “better” pays")
    assert {row[0].strip(): row[1:] for row in paid.rows} == {
        "Replacement cost new": ("$2,002.00", "$352.00"),
        "Deductible": ("$200.00", "$50.00"),
        "Limit": ("$302.00", "–"),
        "Gap": ("$502.00", "$50.00"),
        "Paid now": ("$1,076.00", "$126.00"),
        "Recoverable depreciation": ("$424.00", "$176.00"),
        "Share covered": ("74.9%", "85.8%"),
    }
    assert paid.foot == ("Paid", "$1,500.00", "$302.00")


def test_the_steps_have_amount_and_balance_and_name_the_deductible_of_the_peril() -> None:
    basic, better = (block for block in blocks(GroupedTable) if block.caption.startswith("Step by step"))
    assert {group.title: group.rows for group in basic.groups} == {
        "Burned": (
            ("Replacement cost new of what was lost", "$2,002.00", "$2,002.00"),
            ("Depreciation of parts", "−$726.00", "$1,276.00"),
            ("Deductible", "−$100.00", "$1,176.00"),
            ("Paid", "", "$1,176.00"),
        ),
        "Hailed": (
            ("Replacement cost new of what was lost", "$352.00", "$352.00"),
            ("Depreciation of parts", "−$176.00", "$176.00"),
            ("Deductible", "−$100.00", "$76.00"),
            ("Paid", "", "$76.00"),
        ),
    }
    assert {group.title: group.rows for group in better.groups} == {
        "Burned": (
            ("Replacement cost new of what was lost", "$2,002.00", "$2,002.00"),
            ("Deductible", "−$200.00", "$1,802.00"),
            ("Beyond the limit of $1,500.00", "−$302.00", "$1,500.00"),
            ("Paid", "", "$1,500.00"),
        ),
        "Hailed": (
            ("Replacement cost new of what was lost", "$352.00", "$352.00"),
            ("Deductible for hail", "−$50.00", "$302.00"),
            ("Paid", "", "$302.00"),
        ),
    }


def test_the_break_even_has_premium_and_chance_for_each_loss() -> None:
    assert table("The yearly chance").rows == (
        ("Better\ncompared with basic", "$80.00", "24.7%\nonce in 4.1 years", "35.4%\nonce in 2.8 years"),
    )


STOVE = ("Stove", "Straight line", "4.0", "60.0%", "$1,000.00", "$1,100.00", "$660.00")


def test_the_page_has_the_cells_of_a_line_in_their_order() -> None:
    row = next(row for row in re.findall("<tr>.*?</tr>", html.render(worked_report("all"))) if ">$1,000.00<" in row)
    assert tuple(re.findall(r"<t[hd][^>]*>(.*?)</t[hd]>", row)) == STOVE


def test_the_markdown_has_the_cells_of_a_line_in_their_order() -> None:
    """In a cell no figure is the number of a list item, so no point is escaped."""
    cells = "| Stove | Straight line | 4.0 | 60.0% | $1,000.00 | $1,100.00 | $660.00 |"
    assert cells in markdown.render(worked_report("all"))


def test_the_word_document_has_the_cells_of_a_line_in_their_order() -> None:
    tables = Document(BytesIO(docx.render(worked_report("all")))).tables
    rows = [tuple(cell.text for cell in row.cells) for table in tables for row in table.rows]
    assert STOVE in rows


def test_the_chart_shows_the_settlement_with_the_largest_gap() -> None:
    """Basic leaves 826 after the fire, more than any other settlement."""
    (chart,) = blocks(Figure)
    assert chart.description == (
        "Bars from the top down: replacement cost new $2,002.00; Depreciation of parts −$726.00; Deductible −$100.00; "
        "paid $1,176.00. The gap is $826.00."
    )


def test_the_share_that_is_documented_is_printed() -> None:
    """Receipts for the stove (1,100 of 2,002 is 54.9 %), a serial number on the tires (352 of 2,002 is 17.6 %)."""
    stove, oven, tires = BUILD.components
    build = replace(
        BUILD, components=(replace(stove, evidence_grade="receipt"), oven, replace(tires, serial_number="T1"))
    )
    request = GapRequest(build=build, options=Options(day_count="complete_years"), as_of=AS_OF)
    texts = [block.text for block in create_report(request, "inventory").blocks if isinstance(block, Paragraph)]
    assert "Of the replacement cost of the parts, 54.9% has a receipt and 17.6% a serial number on record." in texts
