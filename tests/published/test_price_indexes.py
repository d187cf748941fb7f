"""The price indexes compared with the package that they were extracted from, and with published values."""

import sqlite3
from contextlib import closing
from decimal import Decimal
from importlib.util import module_from_spec, spec_from_file_location
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

from hitchworth.reference.price_indexes import price_indexes

API = Path(__file__).parents[2] / "api"


def script(name: str) -> ModuleType:
    """A script that lies beside the package."""
    spec = spec_from_file_location(name, API / f"{name}.py")
    assert spec is not None
    assert spec.loader is not None
    module = module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


EXTRACTION: Any = script("extract_price_indexes")


def test_the_script_gives_the_file() -> None:
    assert EXTRACTION.document() == EXTRACTION.TARGET.read_text("utf-8")


@pytest.mark.parametrize("name", price_indexes())
def test_every_month_is_the_packages(name: str) -> None:
    series = price_indexes()[name]
    months = {row.month: row.value for row in series.months}
    with closing(sqlite3.connect(f"file:{EXTRACTION.database()}?mode=ro", uri=True)) as figures:
        rows = figures.execute(
            "select year || '-' || substr(period, 2), value from indexes where series = ? and length(period) = 3",
            (series.series,),
        )
        known = {month: Decimal(repr(value)) for month, value in rows if month[-2:] <= "12" and month >= min(months)}
    assert months == known


# U.S. Bureau of Labor Statistics, CPI-U: the values that its releases of July 2019 and July 2023 print
@pytest.mark.parametrize(
    ("name", "month", "value"),
    [
        ("us_all_items", "2019-06", "256.143"),
        ("us_all_items", "2023-06", "305.109"),
        ("us_vehicle_accessories", "2019-06", "175.514"),
        ("us_vehicle_accessories", "2023-06", "218.695"),
        ("us_major_appliances", "2019-06", "85.377"),
        ("us_major_appliances", "2023-06", "94.327"),
    ],
)
def test_a_printed_value(name: str, month: str, value: str) -> None:
    series = price_indexes()[name]
    assert next(row.value for row in series.months if row.month == month) == Decimal(value)


@pytest.mark.parametrize("name", price_indexes())
def test_a_series_rises_by_month_and_says_where_it_is_from(name: str) -> None:
    series = price_indexes()[name]
    months = [row.month for row in series.months]
    assert months == sorted(set(months))
    assert all(row.value > 0 for row in series.months)
    assert series.provenance == "published"
    assert series.series.startswith("CUUR0000")
    assert "Bureau of Labor Statistics" in series.source
    assert months[-1] <= series.vintage
