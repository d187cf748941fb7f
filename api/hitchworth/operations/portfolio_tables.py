"""The revalued builds of a run as a table, a row each: CSV, Parquet or newline-delimited JSON, as the file is named."""

import csv
from collections.abc import Callable, Iterable, Mapping
from importlib import import_module
from pathlib import Path
from typing import Any

import msgspec

from hitchworth.model.portfolio import PortfolioRow, RevaluedBuild
from hitchworth.operations.result_tables import portfolio_row
from hitchworth.operations.tables import inert

FORMATS = (".ndjson", ".csv", ".parquet")


def write_table(builds: Iterable[RevaluedBuild], path: Path) -> None:
    """Write a table. The file is there whole or not at all.

    Raises ValueError for a name that ends in no format, OSError, and ModuleNotFoundError where Parquet needs polars.
    """
    write = _WRITERS.get(path.suffix.lower())
    if write is None:
        raise ValueError(f"{path.name} ends in none of {', '.join(FORMATS)}")
    new = path.with_name(f"{path.name}.new")
    try:
        write(map(portfolio_row, builds), new)
        new.replace(path)
    finally:
        new.unlink(missing_ok=True)


def _write_lines(rows: Iterable[PortfolioRow], path: Path) -> None:
    encode = msgspec.json.Encoder().encode
    with path.open("wb") as file:
        file.writelines(encode(row) + b"\n" for row in rows)


def _write_csv(rows: Iterable[PortfolioRow], path: Path) -> None:
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file)
        writer.writerow(PortfolioRow.__struct_fields__)
        for row in rows:
            cells = msgspec.structs.astuple(row)
            writer.writerow([inert(cell) if isinstance(cell, str) else cell for cell in cells])


def _write_parquet(rows: Iterable[PortfolioRow], path: Path) -> None:
    polars: Any = import_module("polars")  # an extra
    written = {
        name: polars.col(name).cast(polars.Decimal(38, 4))
        if "Decimal" in str(kind)
        else polars.col(name).str.to_date("%Y-%m-%d")
        if "date" in str(kind)
        else polars.col(name)
        for name, kind in PortfolioRow.__annotations__.items()
    }
    lines = path.with_name(f"{path.name}.lines")
    try:
        _write_lines(rows, lines)
        texts = polars.scan_ndjson(lines, schema=dict.fromkeys(written, polars.String))
        texts.with_columns(**written).sink_parquet(path)
    finally:
        lines.unlink(missing_ok=True)


_WRITERS: Mapping[str, Callable[[Iterable[PortfolioRow], Path], None]] = {
    ".ndjson": _write_lines,
    ".csv": _write_csv,
    ".parquet": _write_parquet,
}
