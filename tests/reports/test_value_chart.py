"""The chart of a value curve: described in words, within its frame, legible without color."""

from datetime import date
from decimal import Decimal
from itertools import pairwise
from xml.etree import ElementTree

import pytest

from hitchworth import appraisal
from hitchworth.demo import demo_request
from hitchworth.localization.localize import localize
from hitchworth.localization.localizer import localizer_for
from hitchworth.model.build import Build
from hitchworth.model.entry import Component
from hitchworth.model.request import ValueCurveRequest
from hitchworth.model.value_curve import ValueCurve
from hitchworth.reports.value_chart import value_chart

SVG = "{http://www.w3.org/2000/svg}"
EMPTY = Build(name="Nothing yet", currency="USD")
QUARTERS = tuple(date(2026 + place // 4, place % 4 * 3 + 1, 1) for place in range(24))
LOCALIZER = localizer_for("en-US", "USD")


def curve(build: Build, *dates: date, limit: str | None = "60000") -> ValueCurve:
    request = ValueCurveRequest(build=build, dates=dates, limit=None if limit is None else Decimal(limit))
    return localize(appraisal.value_curve(request), "en-US")


def parsed(of: ValueCurve) -> ElementTree.Element:
    return ElementTree.fromstring(value_chart(of, LOCALIZER))


def test_it_is_described_in_words() -> None:
    of = curve(demo_request().build, *QUARTERS)
    drawing = parsed(of)
    assert drawing.get("role") == "img"
    assert drawing.get("aria-labelledby") == "value-curve-title value-curve-desc"
    assert drawing.findtext(f"{SVG}title") == "Value over time, USD"
    described = drawing.findtext(f"{SVG}desc") or ""
    assert of.statement in described
    assert LOCALIZER.money(of.points[-1].actual_cash_value) in described


def test_each_line_has_its_name_and_a_stroke_of_its_own() -> None:
    drawing = parsed(curve(demo_request().build, *QUARTERS))
    lines = list(drawing.iter(f"{SVG}polyline"))
    assert len({line.get("stroke-dasharray") for line in lines}) == len(lines) == 3
    texts = [node.text for node in drawing.iter(f"{SVG}text")]
    assert {"Replacement cost new", "Actual cash value", "Limit"} <= set(texts)


def test_the_names_do_not_lie_upon_each_other() -> None:
    """On the first date cost, value and limit are nearly one."""
    day = date(2026, 11, 1)
    of = curve(demo_request().build, day, limit="71000")
    names = {"Replacement cost new", "Actual cash value", "Limit"}
    places = sorted(float(node.get("y") or 0) for node in parsed(of).iter(f"{SVG}text") if node.text in names)
    assert all(below - above >= 14 for above, below in pairwise(places))


def test_the_day_that_outgrows_the_limit_is_marked() -> None:
    of = curve(demo_request().build, *QUARTERS)
    assert of.limit_exceeded_on is not None
    assert LOCALIZER.formats.day(of.limit_exceeded_on) in [node.text for node in parsed(of).iter(f"{SVG}text")]
    assert len(list(parsed(curve(demo_request().build, *QUARTERS, limit=None)).iter(f"{SVG}polyline"))) == 2


def test_a_purchase_is_drawn_as_a_step() -> None:
    """One purchase of 1,000 between two dates: level, upright on its day, level."""
    part = Component(
        id="a",
        description="a",
        category="stove",
        quantity=Decimal(1),
        unit_cost=Decimal(1000),
        acquired_on=date(2023, 7, 1),
    )
    of = curve(Build(name="a", currency="USD", components=(part,)), date(2022, 1, 1), date(2026, 1, 1), limit=None)
    cost = next(parsed(of).iter(f"{SVG}polyline")).get("points") or ""
    (x0, y0), (x1, y1), (x2, y2), (x3, y3) = (point.split(",") for point in cost.split())
    assert y0 == y1 != y2 == y3
    assert float(x0) < float(x1) == float(x2) < float(x3)


def test_one_value_is_drawn_as_a_short_level_line() -> None:
    """A point alone would not be seen."""
    cost = next(parsed(curve(demo_request().build, QUARTERS[0], limit=None)).iter(f"{SVG}polyline")).get("points") or ""
    (x0, y0), (x1, y1) = ([float(number) for number in point.split(",")] for point in cost.split())
    assert (x1 - x0, y1 - y0) == (12, 0)


@pytest.mark.parametrize("limit", [None, "0", "0.01", "7", "60000", "1000000000"])
@pytest.mark.parametrize("dates", [QUARTERS, QUARTERS[:1], (date.min, date.max)])
@pytest.mark.parametrize("build", [EMPTY, demo_request().build], ids=["empty", "demo"])
def test_everything_lies_within_the_frame(build: Build, dates: tuple[date, ...], limit: str | None) -> None:
    drawing = parsed(curve(build, *dates, limit=limit))
    width, height = map(float, (drawing.get("viewBox") or "").split()[2:])
    for line in drawing.iter(f"{SVG}polyline"):
        for point in (line.get("points") or "").split():
            x, y = map(float, point.split(","))
            assert 0 <= x <= width
            assert 0 <= y <= height
