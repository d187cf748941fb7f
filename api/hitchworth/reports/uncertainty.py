"""Which lines widen the range of the replacement cost most: the receipts to find first."""

from hitchworth.model.build import Component
from hitchworth.reports.content import AnyBlock, Column, Table
from hitchworth.reports.context import ReportContext

MOST = 5


def uncertainty(context: ReportContext) -> tuple[AnyBlock, ...]:
    """The lines with the greatest part of the variance, with the evidence that there is."""
    evidence = {part.id: part for part in context.build.components}
    lines = sorted(context.statement.estimate.lines, key=lambda line: line.variance_share, reverse=True)[:MOST]
    rows = tuple(
        (line.description, _evidence(context, evidence.get(line.id)), context.percent(line.variance_share))
        for line in lines
        if line.variance_share
    )
    columns = (
        Column(context.format("item"), width=1),
        Column(context.format("evidence")),
        Column(context.format("variance_share"), align="right"),
    )
    return (Table(context.format("variance_caption"), columns, rows),) if rows else ()


def _evidence(context: ReportContext, part: Component | None) -> str:
    return context.format("work") if part is None else context.localizer.heading("evidence", part.evidence_grade)
