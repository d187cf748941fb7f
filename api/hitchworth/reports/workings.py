"""The workings of every line, where the estimate was asked for them: the same formulas as in the API."""

from hitchworth.model.estimate import EstimateLine, Figure
from hitchworth.reports.content import AnyBlock, Column, Group, GroupedTable
from hitchworth.reports.context import ReportContext

TITLES: dict[Figure, str] = {"historic_cost": "paid", "age_years": "age"}
"""Where a figure goes by another name on the sheet."""


def workings(context: ReportContext) -> tuple[AnyBlock, ...]:
    """A group of formulas for each line."""
    lines = [line for line in context.statement.estimate.lines if line.workings]
    columns = (
        Column(context.format("figure")),
        Column(context.format("formula"), width=1),
        Column(context.format("rule"), width=1),
    )
    groups = tuple(_group(context, line) for line in lines)
    return (GroupedTable(context.format("workings_caption"), columns, groups),) if groups else ()


def _group(context: ReportContext, line: EstimateLine) -> Group:
    rows = tuple(
        (context.format(TITLES.get(working.figure, working.figure)), working.formula, working.text)
        for working in line.workings
    )
    return Group(line.description, rows)
