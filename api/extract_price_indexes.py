"""Write reference/data/price_indexes.yaml: monthly consumer price indexes for the parts of a trailer.

The figures come from the database in the package `cpi` (a development dependency): a copy of what the U.S. Bureau of
Labor Statistics publishes, in the public domain. No code of the package runs. The same release gives the same file.

    python api/extract_price_indexes.py
"""

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from importlib.util import find_spec
from pathlib import Path
from typing import NamedTuple

TARGET = Path(__file__).parent / "hitchworth" / "reference" / "data" / "price_indexes.yaml"
SINCE = "2016-08"
"""Ten years. For an older purchase, a quote is better than an index."""

PUBLISHER = "U.S. Bureau of Labor Statistics, Consumer Price Index for All Urban Consumers"
SOURCE = f"{PUBLISHER}, U.S. city average, not seasonally adjusted"
ALL_ITEMS = "CUUR0000SA0"


class Series(NamedTuple):
    """A published series: its name here, the publisher's code, and what it suits (common practice)."""

    name: str
    code: str
    title: str
    suits: str


ALL_SERIES = (
    Series("us_all_items", ALL_ITEMS, "All items", "anything without a closer series"),
    Series("us_vehicle_parts", "CUUR0000SETC", "Motor vehicle parts and equipment", "chassis, axles, brakes"),
    Series(
        "us_vehicle_accessories",
        "CUUR0000SETC02",
        "Vehicle accessories other than tires",
        "hitch, lighting, running gear",
    ),
    Series("us_tires", "CUUR0000SETC01", "Tires", "tires"),
    Series("us_tools_hardware", "CUUR0000SEHM01", "Tools, hardware and supplies", "fasteners, fittings, sealant"),
    Series("us_major_appliances", "CUUR0000SEHK01", "Major appliances", "refrigerator, stove, heater"),
    Series("us_other_appliances", "CUUR0000SEHK02", "Other appliances", "small kitchen appliances, fans"),
    Series("us_furniture_bedding", "CUUR0000SEHJ", "Furniture and bedding", "cabinets, mattress"),
    Series("us_floor_coverings", "CUUR0000SEHH01", "Floor coverings", "floor"),
    Series("us_window_coverings", "CUUR0000SEHH02", "Window coverings", "curtains, blinds"),
    Series("us_linens", "CUUR0000SEHH03", "Other linens", "bedding, towels"),
    Series("us_cookware", "CUUR0000SEHL04", "Nonelectric cookware and tableware", "kitchenware"),
    Series("us_audio_equipment", "CUUR0000SERA05", "Audio equipment", "radio, speakers"),
    Series("us_sports_equipment", "CUUR0000SERC02", "Sports equipment", "tent, loose camping equipment"),
    Series("us_vehicle_repair", "CUUR0000SETD", "Motor vehicle maintenance and repair", "hired labor on vehicles"),
    Series("us_vehicle_body_work", "CUUR0000SETD01", "Motor vehicle body work", "hired labor on the body"),
)


def database() -> Path:
    """Return the path of the package's database. Raises ModuleNotFoundError without the package."""
    found = find_spec("cpi")
    if found is None or found.origin is None:
        raise ModuleNotFoundError("the package cpi is not installed")
    return Path(found.origin).with_name("cpi.db")


def document() -> str:
    """Return the text of the data file."""
    with closing(sqlite3.connect(f"file:{database()}?mode=ro", uri=True)) as figures:
        vintage = list(_months(figures, ALL_ITEMS))[-1][0]
        return "\n".join(_head(vintage)) + "\n" + "\n".join(_entry(figures, series, vintage) for series in ALL_SERIES)


def _head(vintage: str) -> Iterator[str]:
    yield "# Monthly consumer price indexes for trending a price from the month it was paid to the valuation date."
    yield f"# Source of every series: {PUBLISHER} (CPI-U), U.S. city average, not"
    yield f"# seasonally adjusted; a work of the federal government, in the public domain. Vintage: {vintage}."
    yield "# A month that was not published is left out. `suits` is common practice, not part of the source."
    yield "# Written by api/extract_price_indexes.py; do not edit."


def _entry(figures: sqlite3.Connection, series: Series, vintage: str) -> str:
    months = [f'{{month: {month}, value: "{value}"}}' for month, value in _months(figures, series.code)]
    rows = ",\n     ".join(", ".join(row) for row in _threes(months))
    return f"""
- name: {series.name}
  title: {series.title}
  series: {series.code}
  jurisdiction: US
  source: "{SOURCE}"
  vintage: {vintage}
  suits: {series.suits}
  provenance: published
  months:
    [{rows}]
"""


def _threes(months: list[str]) -> Iterator[list[str]]:
    return (months[start : start + 3] for start in range(0, len(months), 3))


def _months(figures: sqlite3.Connection, code: str) -> Iterator[tuple[str, float]]:
    """Yield month and value as published; M13, S01 and others are averages over several months."""
    rows = figures.execute(
        "select year, period, value from indexes where series = ? and period between 'M01' and 'M12' order by 1, 2",
        (code,),
    )
    for year, period, value in rows:
        month = f"{year}-{period[1:]}"
        if month >= SINCE:
            yield month, value


if __name__ == "__main__":
    TARGET.write_text(document(), "utf-8")
