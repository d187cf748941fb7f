"""Policy by loss: the payments, in short on the first page and in full before the settlements."""

from collections.abc import Callable, Sequence
from typing import TypeVar

from hitchworth.model.settlement import Settlement
from hitchworth.reports.content import Column, Table
from hitchworth.reports.context import ReportContext

T = TypeVar("T")

LOSSES_PER_TABLE = 4
"""Columns of amounts that fit next to each other on a page."""

FIRST_PAGE_POLICIES = 6
"""Policies that the first page has room for."""


def first_page_matrix(context: ReportContext) -> tuple[Table, ...]:
    """Return payment and share of the replacement cost, for as many policies and losses as the first page holds."""
    policies, losses = _policies(context), _losses(context)
    if not losses:
        return ()
    shown = policies[:FIRST_PAGE_POLICIES], losses[:LOSSES_PER_TABLE]
    caption = "short_matrix" if shown == (policies, losses) else "short_matrix_cut"
    return (_table(context, caption, *shown, _short_cell),)


def full_matrix(context: ReportContext) -> tuple[Table, ...]:
    """Return payment, share, gap, and the payment at best; as many tables as the losses need."""
    policies = _policies(context)
    return tuple(
        _table(context, "matrix_caption", policies, losses, _full_cell) for losses in per_table(_losses(context))
    )


def per_table(items: Sequence[T]) -> tuple[Sequence[T], ...]:
    """Return the items in groups of as many as fit next to each other in one table."""
    return tuple(items[start : start + LOSSES_PER_TABLE] for start in range(0, len(items), LOSSES_PER_TABLE))


def _policies(context: ReportContext) -> tuple[str, ...]:
    return tuple(dict.fromkeys(settlement.policy for settlement in context.statement.settlements))


def _losses(context: ReportContext) -> tuple[str, ...]:
    return tuple(dict.fromkeys(settlement.loss for settlement in context.statement.settlements))


def _table(
    context: ReportContext,
    caption: str,
    policies: Sequence[str],
    losses: Sequence[str],
    cell: Callable[[ReportContext, Settlement], str],
) -> Table:
    by_pair = {(settlement.policy, settlement.loss): settlement for settlement in context.statement.settlements}
    return Table(
        context.format(caption),
        (Column(context.format("policy"), width=1), *(Column(loss, align="right") for loss in losses)),
        tuple((policy, *(cell(context, by_pair[policy, loss]) for loss in losses)) for policy in policies),
    )


def _short_cell(context: ReportContext, settlement: Settlement) -> str:
    if not settlement.payable:
        return context.format("nothing")
    share = context.percent(settlement.share_covered)
    return f"{context.money(settlement.payable)}\n{context.format('share_covered', share=share)}"


def _full_cell(context: ReportContext, settlement: Settlement) -> str:
    lines = [_short_cell(context, settlement), context.format("gap_of", gap=settlement.gap)]
    if settlement.payable_at_best > settlement.payable:
        lines.append(context.format("at_best", best=settlement.payable_at_best))
    return "\n".join(lines)
