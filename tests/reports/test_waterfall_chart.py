"""The waterfall chart of the gap: well-formed, described in words, its numbers those of the settlement."""

from decimal import Decimal
from xml.etree import ElementTree

import pytest
from msgspec.structs import replace

from demo_sheet import demo_statement, localized_demo_statement, report_context
from hitchworth.demo import demo_request
from hitchworth.localization.localizer import localizer_for
from hitchworth.model.settlement import GapPart, Settlement
from hitchworth.reports.content import Figure
from hitchworth.reports.waterfall_chart import Bar, gap_waterfall, waterfall_svg

SVG = "{http://www.w3.org/2000/svg}"
PAIRS = tuple((policy.name, loss.name) for policy in demo_request().policies for loss in demo_request().losses)


def settlement(policy: str = PAIRS[0][0], loss: str = PAIRS[0][1]) -> Settlement:
    settlements = localized_demo_statement().settlements
    return next(each for each in settlements if (each.policy, each.loss) == (policy, loss))


def chart(of: Settlement) -> Figure:
    return gap_waterfall(report_context(demo_statement()), of, "x")


def texts(svg: str) -> list[str]:
    return [node.text or "" for node in ElementTree.fromstring(svg).iter(f"{SVG}text")]


def bar_ends(svg: str) -> list[tuple[float, float]]:
    """The left and right end of each bar."""
    bars = [node for node in ElementTree.fromstring(svg).iter(f"{SVG}rect") if node.get("x")]
    return [(float(bar.get("x") or 0), float(bar.get("x") or 0) + float(bar.get("width") or 0)) for bar in bars]


@pytest.mark.parametrize(("policy", "loss"), PAIRS)
def test_the_numbers_are_those_of_the_settlement(policy: str, loss: str) -> None:
    of, money = settlement(policy, loss), localizer_for("en-US", "USD").money
    shown = [text for text in texts(chart(of).svg) if "$" in text]
    parts = [money(-part.amount).replace("-", "−") for part in of.gap_breakdown]
    assert shown == [money(of.replacement_cost), *parts, money(of.payable)]
    assert of.replacement_cost - sum(part.amount for part in of.gap_breakdown) == of.payable


def test_a_part_that_adds_to_the_payment_is_a_bar_to_the_right() -> None:
    """An agreed value of 12,000 on a replacement cost of 10,000, less a deductible of 500, pays 11,500.

    12,000 is the largest balance, so it is 342 units wide: the plot of 680 - 210 - 120 less a margin of 8. The bars
    start at 210: 10,000 ends at 210 + 285 = 495, 12,000 at 552, 11,500 at 210 + 327.75 = 537.75.
    """
    of = replace(
        settlement(),
        gap_breakdown=(
            GapPart(cause="amount", amount=Decimal(-2000), label="Agreed value or stated amount"),
            GapPart(cause="deductible", amount=Decimal(500), label="Deductible"),
        ),
        replacement_cost=Decimal(10000),
        payable=Decimal(11500),
        payable_now=Decimal(11500),
        recoverable_depreciation=Decimal(0),
        gap=Decimal(-1500),
    )
    svg = chart(of).svg
    assert [text for text in texts(svg) if "$" in text] == ["$10,000.00", "$2,000.00", "−$500.00", "$11,500.00"]
    assert bar_ends(svg) == [(210, 495), (495, 552), (537.75, 552), (210, 537.75)]
    fills = [node.get("fill") for node in ElementTree.fromstring(svg).iter(f"{SVG}rect") if node.get("x")]
    assert fills == ["#27496b", "url(#x-more)", "url(#x-less)", "#27496b"]


def test_what_is_paid_later_has_a_bar_of_its_own() -> None:
    of = replace(
        settlement(),
        gap_breakdown=(GapPart(cause="deductible", amount=Decimal(500), label="Deductible"),),
        replacement_cost=Decimal(9000),
        payable=Decimal(8500),
        payable_now=Decimal(6000),
        recoverable_depreciation=Decimal(2500),
        gap=Decimal(500),
    )
    shown = texts(chart(of).svg)
    assert [text for text in shown if "$" in text] == ["$9,000.00", "−$500.00", "$2,500.00", "$6,000.00"]
    assert "Recoverable depreciation" in shown


def test_the_chart_is_described_in_words() -> None:
    figure = chart(settlement())
    root = ElementTree.fromstring(figure.svg)
    assert root.get("role") == "img"
    assert root.findtext(f"{SVG}desc") == figure.description
    assert root.findtext(f"{SVG}title") == figure.caption
    assert all(part.label in figure.description for part in settlement().gap_breakdown)


def test_bars_stay_within_the_chart_and_differ_without_color() -> None:
    bars = (
        Bar("a", Decimal(0), Decimal(100), "100", "total"),
        Bar("b", Decimal(100), Decimal(30), "-70", "less"),
        Bar("c", Decimal(30), Decimal(150), "120", "more"),
        Bar("d", Decimal(150), Decimal(90), "60", "later"),
    )
    root = ElementTree.fromstring(waterfall_svg(bars, "t", "d", "n"))
    width = Decimal((root.get("viewBox") or "").split()[2])
    rectangles = [node for node in root.iter(f"{SVG}rect") if node.get("x")]
    assert len({node.get("fill") for node in rectangles}) == 4
    for node in rectangles:
        assert 0 <= Decimal(node.get("x") or "-1") <= width - Decimal(node.get("width") or "0")
    # Rows of 27 with a bar of 17 in the middle, after a margin of 4: 4 + 5 = 9, then 36, 63, 90; a margin of 4 below.
    assert [node.get("y") for node in rectangles] == ["9.00", "36.00", "63.00", "90.00"]
    assert (root.get("viewBox") or "").split()[3] == str(4 * 27 + 4 + 4)


@pytest.mark.parametrize(
    ("label", "lines", "heights"),
    [
        ("Deductible", ["Deductible"], [21.8]),
        ("The deductible of the policy in force", ["The deductible of the", "policy in force"], [15.6, 28.0]),
        ("Deductible " * 5, ["Deductible Deductible", "Deductible Deductible…"], [15.6, 28.0]),
    ],
)
def test_a_label_stands_at_the_height_of_its_amount(label: str, lines: list[str], heights: list[float]) -> None:
    """The bar from 9 to 26 has its middle at 17.5, and text its baseline 4.3 below. Two lines are 12.4 apart."""
    root = ElementTree.fromstring(waterfall_svg((Bar(label, Decimal(0), Decimal(1), "1", "total"),), "t", "d", "n"))
    *labels, amount = [(node.text, float(node.get("y") or 0)) for node in root.iter(f"{SVG}text")]
    assert amount == ("1", 21.8)
    assert labels == list(zip(lines, heights, strict=True))


def test_hostile_and_long_labels_stay_text() -> None:
    bars = (Bar("<script>&" + "long " * 40, Decimal(0), Decimal(1), '"</svg>', "total"),)
    svg = waterfall_svg(bars, "<b>", "</desc>", "n")
    assert ElementTree.fromstring(svg) is not None
    assert "<script" not in svg


def test_a_loss_of_nothing_has_a_chart_too() -> None:
    assert (
        ElementTree.fromstring(waterfall_svg((Bar("a", Decimal(0), Decimal(0), "0", "total"),), "t", "d", "n"))
        is not None
    )
