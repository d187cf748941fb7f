"""The revalued builds of a run as a table, a row each: CSV, Parquet or newline-delimited JSON, as the file is named."""

import csv
from collections.abc import Callable, Iterable, Mapping
from datetime import date
from decimal import Decimal
from importlib import import_module
from pathlib import Path
from typing import Any

import msgspec
from msgspec import Struct

from hitchworth.model.portfolio import PortfolioLimit, RevaluedBuild
from hitchworth.operations.tables import inert

FORMATS = (".ndjson", ".csv", ".parquet")


class PortfolioRow(Struct, frozen=True, kw_only=True):
    """A revalued build without a list in it: of its limits, the first to be outgrown."""

    id: str
    document: str
    name: str | None
    currency: str | None
    replacement_cost: Decimal | None
    actual_cash_value: Decimal | None
    gap: Decimal | None
    gap_policy: str | None
    gap_loss: str | None
    limit_policy: str | None
    limit_state: str | None
    limit_since: date | None
    limit_lacking: Decimal | None
    problem: str | None


def row_of(build: RevaluedBuild) -> PortfolioRow:
    """Return the row of a build."""
    limit = min(build.limits, key=_order, default=None)
    fields = {name: getattr(build, name) for name in PortfolioRow.__struct_fields__ if not name.startswith("limit_")}
    return PortfolioRow(
        **fields,
        limit_policy=None if limit is None else limit.policy,
        limit_state=None if limit is None else limit.state,
        limit_since=None if limit is None else limit.since,
        limit_lacking=None if limit is None else limit.lacking,
    )


def _order(limit: PortfolioLimit) -> tuple[bool, date]:
    return limit.state != "exceeded", limit.since or date.min


def write_table(builds: Iterable[RevaluedBuild], path: Path) -> None:
    """Write a table. The file is there whole or not at all.

    Raises ValueError for a name that ends in no format, OSError, and ModuleNotFoundError where Parquet needs polars.
    """
    write = _WRITERS.get(path.suffix.lower())
    if write is None:
        raise ValueError(f"{path.name} ends in none of {', '.join(FORMATS)}")
    new = path.with_name(f"{path.name}.new")
    try:
        write(map(row_of, builds), new)
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
    kinds: Mapping[str, Any] = {
        name: polars.Decimal(38, 4) if "Decimal" in str(kind) else polars.Date if "date" in str(kind) else polars.String
        for name, kind in PortfolioRow.__annotations__.items()
    }
    lines = path.with_name(f"{path.name}.lines")
    try:
        _write_lines(rows, lines)
        texts = polars.scan_ndjson(lines, schema=dict.fromkeys(kinds, polars.String))
        texts.with_columns(polars.col(name).cast(kind) for name, kind in kinds.items()).sink_parquet(path)
    finally:
        lines.unlink(missing_ok=True)


_WRITERS: Mapping[str, Callable[[Iterable[PortfolioRow], Path], None]] = {
    ".ndjson": _write_lines,
    ".csv": _write_csv,
    ".parquet": _write_parquet,
}
