"""Write reference/data/price_indexes.yaml: monthly consumer price indexes that fit the parts of a trailer.

The figures come from the database inside the package `cpi` (dev only; a copy of what the U.S. Bureau of Labor
Statistics publishes, in the public domain). Nothing of the package is run. The same release gives the same file.

    python api/extract_price_indexes.py            write the file
"""

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from importlib.util import find_spec
from pathlib import Path
from typing import NamedTuple

TARGET = Path(__file__).parent / "hitchworth" / "reference" / "data" / "price_indexes.yaml"
SINCE = "2016-08"
"""Ten years: what was bought before is best priced by a quote."""

PUBLISHER = "U.S. Bureau of Labor Statistics, Consumer Price Index for All Urban Consumers"
SOURCE = f"{PUBLISHER}, U.S. city average, not seasonally adjusted"
ALL_ITEMS = "CUUR0000SA0"


class Chosen(NamedTuple):
    """A series that is shipped: its name here, the publisher's code, and what it suits (common practice)."""

    name: str
    series: str
    title: str
    suits: str


CHOSEN = (
    Chosen("us_all_items", ALL_ITEMS, "All items", "whatever has no closer series"),
    Chosen("us_vehicle_parts", "CUUR0000SETC", "Motor vehicle parts and equipment", "chassis, axles, brakes"),
    Chosen(
        "us_vehicle_accessories",
        "CUUR0000SETC02",
        "Vehicle accessories other than tires",
        "hitch, lighting, running gear",
    ),
    Chosen("us_tires", "CUUR0000SETC01", "Tires", "tires"),
    Chosen("us_tools_hardware", "CUUR0000SEHM01", "Tools, hardware and supplies", "fasteners, fittings, sealant"),
    Chosen("us_major_appliances", "CUUR0000SEHK01", "Major appliances", "refrigerator, stove, heater"),
    Chosen("us_other_appliances", "CUUR0000SEHK02", "Other appliances", "small kitchen appliances, fans"),
    Chosen("us_furniture_bedding", "CUUR0000SEHJ", "Furniture and bedding", "cabinets, mattress"),
    Chosen("us_floor_coverings", "CUUR0000SEHH01", "Floor coverings", "floor"),
    Chosen("us_window_coverings", "CUUR0000SEHH02", "Window coverings", "curtains, blinds"),
    Chosen("us_linens", "CUUR0000SEHH03", "Other linens", "bedding, towels"),
    Chosen("us_cookware", "CUUR0000SEHL04", "Nonelectric cookware and tableware", "kitchenware"),
    Chosen("us_audio_equipment", "CUUR0000SERA05", "Audio equipment", "radio, speakers"),
    Chosen("us_sports_equipment", "CUUR0000SERC02", "Sports equipment", "tent, loose camping equipment"),
    Chosen("us_vehicle_repair", "CUUR0000SETD", "Motor vehicle maintenance and repair", "hired labor on vehicles"),
    Chosen("us_vehicle_body_work", "CUUR0000SETD01", "Motor vehicle body work", "hired labor on the body"),
)


def database() -> Path:
    """The package's database. Raises ModuleNotFoundError without the package."""
    found = find_spec("cpi")
    if found is None or found.origin is None:
        raise ModuleNotFoundError("the package cpi is not installed")
    return Path(found.origin).with_name("cpi.db")


def document() -> str:
    """The whole file."""
    with closing(sqlite3.connect(f"file:{database()}?mode=ro", uri=True)) as figures:
        vintage = list(_months(figures, ALL_ITEMS))[-1][0]
        return "\n".join(_head(vintage)) + "\n" + "\n".join(_entry(figures, one, vintage) for one in CHOSEN)


def _head(vintage: str) -> Iterator[str]:
    yield "# Monthly consumer price indexes for trending a price from the month it was paid to the valuation date."
    yield f"# Source of every series: {PUBLISHER} (CPI-U), U.S. city average, not"
    yield f"# seasonally adjusted; a work of the federal government, in the public domain. Vintage: {vintage}."
    yield "# A month that was not published is left out. `suits` is common practice, not part of the source."
    yield "# written by api/extract_price_indexes.py; do not edit"


def _entry(figures: sqlite3.Connection, one: Chosen, vintage: str) -> str:
    months = [f'{{month: {month}, value: "{value}"}}' for month, value in _months(figures, one.series)]
    rows = ",\n     ".join(", ".join(row) for row in _threes(months))
    return f"""
- name: {one.name}
  title: {one.title}
  series: {one.series}
  jurisdiction: US
  source: "{SOURCE}"
  vintage: {vintage}
  suits: {one.suits}
  provenance: published
  months:
    [{rows}]
"""


def _threes(months: list[str]) -> Iterator[list[str]]:
    return (months[start : start + 3] for start in range(0, len(months), 3))


def _months(figures: sqlite3.Connection, series: str) -> Iterator[tuple[str, float]]:
    """Month and value as published; M13, S01 and the like are averages over several months."""
    rows = figures.execute(
        "select year, period, value from indexes where series = ? and period between 'M01' and 'M12' order by 1, 2",
        (series,),
    )
    for year, period, value in rows:
        month = f"{year}-{period[1:]}"
        if month >= SINCE:
            yield month, value


if __name__ == "__main__":
    TARGET.write_text(document(), "utf-8")
