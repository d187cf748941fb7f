"""Policy by loss: what is paid, the gap, and the payment at best."""

from collections.abc import Sequence
from typing import TypeVar

from hitchworth.localization.localizer import capital
from hitchworth.model.settlement import Settlement
from hitchworth.reports.content import Column, Table
from hitchworth.reports.context import ReportContext

T = TypeVar("T")

LOSSES_PER_TABLE = 4
"""Columns of amounts that fit next to each other on a page."""


def full_matrix(context: ReportContext) -> tuple[Table, ...]:
    """Return payment, share, gap, and the payment at best; as many tables as the losses need."""
    policies = _policies(context)
    return tuple(_table(context, policies, losses) for losses in per_table(_losses(context)))


def per_table(items: Sequence[T]) -> tuple[Sequence[T], ...]:
    """Return the items in groups of as many as fit next to each other in one table."""
    return tuple(items[start : start + LOSSES_PER_TABLE] for start in range(0, len(items), LOSSES_PER_TABLE))


def _policies(context: ReportContext) -> tuple[str, ...]:
    return tuple(dict.fromkeys(settlement.policy for settlement in context.statement.settlements))


def _losses(context: ReportContext) -> tuple[str, ...]:
    return tuple(dict.fromkeys(settlement.loss for settlement in context.statement.settlements))


def _table(context: ReportContext, policies: Sequence[str], losses: Sequence[str]) -> Table:
    by_pair = {(settlement.policy, settlement.loss): settlement for settlement in context.statement.settlements}
    return Table(
        context.format("matrix_caption"),
        (Column(context.format("policy"), width=1), *(Column(capital(loss), align="right") for loss in losses)),
        tuple((capital(policy), *(_cell(context, by_pair[policy, loss]) for loss in losses)) for policy in policies),
    )


def _cell(context: ReportContext, settlement: Settlement) -> str:
    lines = [*_paid(context, settlement), context.format("gap_of", gap=settlement.gap)]
    if settlement.payable_at_best > settlement.payable:
        lines.append(context.format("at_best", best=settlement.payable_at_best))
    return "\n".join(lines)


def _paid(context: ReportContext, settlement: Settlement) -> tuple[str, ...]:
    """Return the payment and its share of the replacement cost."""
    if not settlement.payable:
        return (context.format("nothing"),)
    share = context.percent(settlement.share_covered)
    return (context.money(settlement.payable), context.format("share_covered", share=share))
