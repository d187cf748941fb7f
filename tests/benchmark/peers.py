"""The same job in other tools: parts on one straight line over ten years, from the same body to the same figures.

Each returns the replacement cost and the actual cash value of every part, in cents, and a test compares them with those
of this program. They check nothing, know one method only and say nothing in words.
"""

import json
import sqlite3
from collections.abc import Callable, Iterator, Sequence
from datetime import date
from decimal import ROUND_HALF_UP, Decimal
from pathlib import Path
from shutil import which
from tempfile import TemporaryDirectory
from typing import TypeAlias

import msgspec
import polars

from benchmark import bodies
from benchmark.computations import FLOOR, floor
from benchmark.start import time_of_children
from benchmark.timing import Job
from hitchworth.model.request import EstimateRequest
from hitchworth.operations.appraisals import create_estimate
from hitchworth.operations.requests import read_request
from spreadsheet import recalculated

Cents: TypeAlias = list[tuple[int, int]]
"""The replacement cost and the actual cash value of each part."""

AMOUNTS = ("unit_cost", "tax", "freight")
CENT = Decimal("0.01")
LIFE = 14610
"""Ten years in quarters of a day: four times 3,652.5 days."""


def this_program(body: bytes) -> Cents:
    """The estimate, as a caller gets it."""
    answered = json.loads(msgspec.json.encode(create_estimate(read_request(body, EstimateRequest))))
    return [(_cents(line["replacement_cost"]), _cents(line["actual_cash_value"])) for line in answered["lines"]]


def decimal_loop(body: bytes) -> Cents:
    """A loop over decimals, as in a textbook."""
    request, found = json.loads(body), []
    as_of = date.fromisoformat(request["as_of"])
    for part in request["build"]["components"]:
        cost = Decimal(part["quantity"]) * Decimal(part["unit_cost"]) + Decimal(part["tax"]) + Decimal(part["freight"])
        cost = cost.quantize(CENT, ROUND_HALF_UP)
        years = Decimal((as_of - date.fromisoformat(part["acquired_on"])).days) / Decimal("365.25")
        wear = (cost * min(years / 10, Decimal(1))).quantize(CENT, ROUND_HALF_UP)
        found.append((int(cost * 100), int((cost - wear) * 100)))
    return found


def data_frame(body: bytes) -> Cents:
    """Columns of whole numbers in a data frame."""
    request = json.loads(body)
    column = polars.col
    frame = polars.DataFrame(request["build"]["components"], schema_overrides=dict.fromkeys(AMOUNTS, polars.String))
    days = polars.lit(date.fromisoformat(request["as_of"])) - column("acquired_on").str.to_date()
    cents = {name: (column(name).cast(polars.Float64) * 100).round().cast(polars.Int64) for name in AMOUNTS}
    costed = frame.select(
        cost=column("quantity").cast(polars.Int64) * cents["unit_cost"] + cents["tax"] + cents["freight"],
        age=polars.min_horizontal(4 * days.dt.total_days(), polars.lit(LIFE)),
    )
    wear = (2 * column("cost") * column("age") + LIFE) // (2 * LIFE)
    return [(cost, value) for cost, value in costed.select(column("cost"), value=column("cost") - wear).rows()]


def sql(body: bytes) -> Cents:
    """A table in an SQL database in memory."""
    request = json.loads(body)
    with sqlite3.connect(":memory:") as database:
        database.execute("CREATE TABLE part (quantity INT, price INT, tax INT, freight INT, bought TEXT)")
        database.executemany(
            "INSERT INTO part VALUES (?, ?, ?, ?, ?)",
            (
                (
                    int(part["quantity"]),
                    *(_cents(part[name]) for name in ("unit_cost", "tax", "freight")),
                    part["acquired_on"],
                )
                for part in request["build"]["components"]
            ),
        )
        return database.execute(
            """
            WITH costed AS (
              SELECT quantity * price + tax + freight AS cost,
                     min(4 * CAST(julianday(:as_of) - julianday(bought) AS INT), :life) AS age
              FROM part
            )
            SELECT cost, cost - (2 * cost * age + :life) / (2 * :life) FROM costed
            """,
            {"as_of": request["as_of"], "life": LIFE},
        ).fetchall()


def office(body: bytes) -> Cents:
    """A sheet that an office program recalculates without a window: its start is in the time."""
    request = json.loads(body)
    as_of = date.fromisoformat(request["as_of"])
    rows: list[list[float | str]] = [
        [
            *(float(part[name]) for name in ("quantity", "unit_cost", "tax", "freight")),
            float((as_of - date.fromisoformat(part["acquired_on"])).days),
            f"=ROUND([.A{row}]*[.B{row}]+[.C{row}]+[.D{row}];2)",
            f"=[.F{row}]-ROUND([.F{row}]*MIN(4*[.E{row}]/{LIFE};1);2)",
        ]
        for row, part in enumerate(request["build"]["components"], start=1)
    ]
    with TemporaryDirectory() as folder:
        return [(round(100 * float(row[5])), round(100 * float(row[6]))) for row in recalculated(rows, Path(folder))]


IN_PROCESS: dict[str, Callable[[bytes], Cents]] = {
    "this program, as a caller gets it": this_program,
    "a loop over decimals": decimal_loop,
    "a data frame (polars)": data_frame,
    "SQL (SQLite in memory)": sql,
}


def peers(sizes: Sequence[int], *, with_office: bool) -> Iterator[Job]:
    """The same job in each tool, by the number of parts."""
    for size in sizes:
        new = bodies.renewed(bodies.request(bodies.plain_build(size)))
        yield Job(name=FLOOR, size=size, prepare=new, run=floor(EstimateRequest))
        for name, run in IN_PROCESS.items():
            yield Job(name=name, size=size, prepare=new, run=run)
        if with_office and which("soffice"):
            name = "an office program without a window"
            yield Job(name=name, size=size, prepare=new, run=office, clock=time_of_children, most_rounds=1)


def _cents(amount: str) -> int:
    return round(100 * float(amount))
