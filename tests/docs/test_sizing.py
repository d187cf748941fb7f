"""The page on sizing: its figures are computed from what was measured, and so is this, another way."""

import re

import pytest

from documents import text_of
from sizing import BUILDS, CORE_HOUR, Kind, core_hours, duration, page, per_hour, read_measured, small

PAGE = text_of("api/hitchworth/guide/sizing.md")
MEASURED = read_measured()


def test_the_page_is_printed_from_what_was_measured() -> None:
    again = "print it again: PYTHONPATH=tests .venv/bin/python tests/sizing.py > api/hitchworth/guide/sizing.md"
    assert page(MEASURED) == PAGE, again


def test_the_arithmetic_by_hand() -> None:
    kind = Kind(name="x", lines=1, policies=1, losses=1, core_milliseconds=36.0, document_bytes=1, row_bytes=1)
    assert core_hours(kind) == pytest.approx(100)  # 10,000,000 x 0.036 s = 360,000 s
    assert per_hour(kind) == 100_000  # 3,600 s / 0.036 s
    assert [duration(hours) for hours in (0.5, 2, 100)] == ["30.0 min", "2.0 h", "4.2 days"]


def test_the_factors_that_the_page_shows_make_its_results() -> None:
    """Within what the rounding of the factors shown can move the results."""
    shown = re.findall(r"10,000,000 × ([\d.]+) ms = ([\d,]+) core hours a run", PAGE)
    assert len(shown) == len(MEASURED.kinds)
    for milliseconds, hours in shown:
        assert float(hours.replace(",", "")) == pytest.approx(BUILDS * float(milliseconds) / 3.6e6, rel=0.02)
    costs = re.findall(r"([\d,]+) core hours × ([\d.]+) \(an assumed price.*?\) = ([\d,]+) a run", PAGE)
    assert len(costs) == len(MEASURED.kinds)
    for hours, price, cost in costs:
        assert price == str(CORE_HOUR)
        assert abs(float(cost.replace(",", "")) - float(hours.replace(",", "")) * float(price)) <= 1


def test_what_is_measured_has_the_lines_that_the_page_says() -> None:
    assert len(small()["build"]["components"]) == MEASURED.kinds[0].lines == 10
