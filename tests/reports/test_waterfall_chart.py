"""The drawing of the gap: well-formed, told in words, its numbers those of the settlement."""

from decimal import Decimal
from xml.etree import ElementTree

import pytest
from msgspec.structs import replace

from demo_sheet import demo_statement
from hitchworth.demo import demo_request
from hitchworth.localization.localize import localize
from hitchworth.localization.localizer import localizer_for
from hitchworth.model.settlement import GapPart, Settlement
from hitchworth.reports.context import ReportContext
from hitchworth.reports.gap_picture import gap_picture
from hitchworth.reports.waterfall_chart import Bar, drawn

SVG = "{http://www.w3.org/2000/svg}"
SETTLEMENTS = localize(demo_statement(), "en-US").settlements


def context() -> ReportContext:
    request = demo_request()
    localizer = localizer_for("en-US", "USD")
    return ReportContext(request.build, request.policies, localize(demo_statement(), "en-US"), localizer)


def texts(svg: str) -> list[str]:
    return [node.text or "" for node in ElementTree.fromstring(svg).iter(f"{SVG}text")]


@pytest.mark.parametrize("settlement", SETTLEMENTS, ids=lambda s: f"{s.policy}, {s.loss}")
def test_the_numbers_are_those_of_the_settlement(settlement: Settlement) -> None:
    money = localizer_for("en-US", "USD").money
    shown = [text for text in texts(gap_picture(context(), settlement, "x").svg) if "$" in text]
    parts = [money(-part.amount) for part in settlement.gap_breakdown]
    assert shown == [money(settlement.replacement_cost), *parts, money(settlement.payable)]
    assert settlement.replacement_cost - sum(p.amount for p in settlement.gap_breakdown) == settlement.payable


def test_what_is_paid_later_has_a_bar_of_its_own() -> None:
    settlement = replace(
        SETTLEMENTS[0],
        gap_breakdown=(GapPart(cause="deductible", amount=Decimal(500), label="Deductible"),),
        replacement_cost=Decimal(9000),
        payable=Decimal(8500),
        payable_now=Decimal(6000),
        recoverable_depreciation=Decimal(2500),
        gap=Decimal(500),
    )
    shown = texts(gap_picture(context(), settlement, "x").svg)
    assert [text for text in shown if "$" in text] == ["$9,000.00", "-$500.00", "$2,500.00", "$6,000.00"]
    assert "Paid after replacement" in shown


def test_the_drawing_is_told_in_words() -> None:
    figure = gap_picture(context(), SETTLEMENTS[0], "x")
    root = ElementTree.fromstring(figure.svg)
    assert root.get("role") == "img"
    assert root.findtext(f"{SVG}desc") == figure.described
    assert root.findtext(f"{SVG}title") == figure.caption
    assert all(part.label in figure.described for part in SETTLEMENTS[0].gap_breakdown)


def test_bars_lie_within_the_drawing_and_differ_without_color() -> None:
    bars = (
        Bar("a", Decimal(0), Decimal(100), "100", "total"),
        Bar("b", Decimal(100), Decimal(30), "-70", "less"),
        Bar("c", Decimal(30), Decimal(150), "120", "more"),
        Bar("d", Decimal(150), Decimal(90), "60", "later"),
    )
    root = ElementTree.fromstring(drawn(bars, "t", "d", "n"))
    width = Decimal((root.get("viewBox") or "").split()[2])
    drawn_bars = [node for node in root.iter(f"{SVG}rect") if node.get("x")]
    assert len({node.get("fill") for node in drawn_bars}) == 4
    for node in drawn_bars:
        assert 0 <= Decimal(node.get("x") or "-1") <= width - Decimal(node.get("width") or "0")


def test_hostile_and_long_labels_stay_text() -> None:
    bars = (Bar("<script>&" + "long " * 40, Decimal(0), Decimal(1), '"</svg>', "total"),)
    svg = drawn(bars, "<b>", "</desc>", "n")
    assert ElementTree.fromstring(svg) is not None
    assert "<script" not in svg


def test_nothing_lost_is_drawn_too() -> None:
    assert ElementTree.fromstring(drawn((Bar("a", Decimal(0), Decimal(0), "0", "total"),), "t", "d", "n")) is not None
