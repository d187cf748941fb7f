"""The pages as they are printed: how full they are, and that they look as they did, in all locales and on both papers.

They are set by the template of the PDF and measured as small pictures. The fonts come with the package and nothing of
the machine is used, so that the pictures are the same everywhere, up to the rounding of a shade of gray.
"""

from typing import get_args

import pytest
from PIL import Image, ImageChops, ImageStat

from demo_sheet import demo_content
from hitchworth.localization.locales import available
from hitchworth.reports.catalog import CONVERSATION_SHEET, ReportName
from hitchworth.reports.content import Content, Paper
from longest_build import longest_content
from printed_pages import PICTURED, picture_of, printed_pages, strip

REPORTS = (CONVERSATION_SHEET, *(name for name in get_args(ReportName) if name != "all"))
LEAST_FILLED, LEAST_FILLED_LAST = 0.6, 0.06
"""How far down the text of a page goes at least: of every page but the last; of the last, where that is three lines."""

MEAN_DIFFERENCE = 1.0
"""Shades of gray of 255 by which a picture may differ on average; a line of text that moves makes more."""


def assert_well_filled(content: Content) -> None:
    *pages, last = (page.filled for page in printed_pages(content))
    assert [(number, filled) for number, filled in enumerate(pages, 1) if filled < LEAST_FILLED] == []
    assert last > LEAST_FILLED_LAST


@pytest.mark.parametrize("paper", get_args(Paper))
@pytest.mark.parametrize("locale", available())
@pytest.mark.parametrize("report", REPORTS)
def test_no_page_of_the_demo_is_half_empty(report: str, locale: str, paper: Paper) -> None:
    assert_well_filled(demo_content(locale, paper, report))


@pytest.mark.parametrize("locale", available())
@pytest.mark.parametrize("report", ["comparison", "inventory", "after-loss"])
def test_no_page_of_the_longest_build_is_half_empty(report: str, locale: str) -> None:
    assert_well_filled(longest_content(locale, None, report))


@pytest.mark.parametrize("paper", get_args(Paper))
@pytest.mark.parametrize("locale", available())
def test_the_sheet_has_four_pages_however_long_the_names(locale: str, paper: Paper) -> None:
    assert len(printed_pages(longest_content(locale, paper, CONVERSATION_SHEET))) == 4


@pytest.mark.parametrize(("report", "locale"), PICTURED)
def test_it_looks_as_it_did(report: str, locale: str) -> None:
    """After a change that is meant to be seen, look at the pages, then keep them: python tests/printed_pages.py."""
    found = strip(printed_pages(demo_content(locale, None, report)))
    kept = Image.open(picture_of(report, locale)).convert("L")
    assert found.size == kept.size
    assert ImageStat.Stat(ImageChops.difference(found, kept)).mean[0] < MEAN_DIFFERENCE
