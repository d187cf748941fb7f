"""The answers of a batch as a table: a row for each line in their order, the problem of a wrong one in columns."""

from collections.abc import Iterable, Iterator
from datetime import date
from typing import TypeAlias

import msgspec
from msgspec import Struct

from hitchworth.model.estimate import Totals
from hitchworth.model.fault import Fault
from hitchworth.model.numbers import RoundedAmount
from hitchworth.model.problem import Problem
from hitchworth.operations.tables import ResultTable, csv_head, csv_rows


class EstimateRow(Struct, frozen=True, kw_only=True):
    """The answer to a line of a batch of estimates; what it does not have is null."""

    line: int
    id: str | int | None
    as_of: date | None
    currency: str | None
    totals: Totals | None
    problem: Problem | None
    fault: Fault | None
    """The first of the problem."""


class GreatestGap(Struct, frozen=True, kw_only=True):
    """The settlement that leaves the greatest gap, the first of equal ones."""

    policy: str
    loss: str
    gap: RoundedAmount


class GapStatementRow(Struct, frozen=True, kw_only=True):
    """The answer to a line of a batch of gap statements; what it does not have is null."""

    line: int
    id: str | int | None
    as_of: date | None
    currency: str | None
    totals: Totals | None
    greatest_gap: GreatestGap | None
    problem: Problem | None
    fault: Fault | None
    """The first of the problem."""


class _Estimate(Struct):
    """What a row needs of an estimate."""

    as_of: date
    currency: str
    totals: Totals


class _GapStatement(Struct):
    """What a row needs of a gap statement."""

    estimate: _Estimate
    settlements: tuple[GreatestGap, ...]


class _Answer(Struct):
    """An answer, whichever it is."""

    line: int
    id: str | int | None
    estimate: _Estimate | None = None
    gap_statement: _GapStatement | None = None
    problem: Problem | None = None


Row: TypeAlias = EstimateRow | GapStatementRow
_read = msgspec.json.Decoder(_Answer).decode


def _table(record: type[Row], description: str) -> ResultTable:
    return ResultTable(
        name="answers",
        description=f"a row for each line: {description}, or its problem with the first fault",
        record=record,
        rows=lambda answers: tuple(_row(_read(answer), record) for answer in answers),
    )


ESTIMATE_BATCH = _table(EstimateRow, "the totals of its estimate")
GAP_STATEMENT_BATCH = _table(GapStatementRow, "the totals of its estimate and its greatest gap")


def batch_csv(answers: Iterable[bytes], table: ResultTable, locale: str) -> Iterator[bytes]:
    """Yield the answers of a batch as CSV: the names of the columns, then a row for each answer."""
    yield csv_head(table.record, locale).encode()
    rows = (row for answer in answers for row in table.rows([answer]))
    for line in csv_rows(table.record, rows, locale):
        yield line.encode()


def _row(answer: _Answer, record: type[Row]) -> Row:
    statement, problem = answer.gap_statement, answer.problem
    estimate = answer.estimate if statement is None else statement.estimate
    shared = {
        "line": answer.line,
        "id": answer.id,
        "as_of": None if estimate is None else estimate.as_of,
        "currency": None if estimate is None else estimate.currency,
        "totals": None if estimate is None else estimate.totals,
        "problem": problem,
        "fault": problem.errors[0] if problem is not None and problem.errors else None,
    }
    if record is EstimateRow:
        return EstimateRow(**shared)  # type: ignore[arg-type]
    settlements = () if statement is None else statement.settlements
    greatest = max(settlements, key=lambda each: each.gap, default=None)
    return GapStatementRow(**shared, greatest_gap=greatest)  # type: ignore[arg-type]
