"""Policy by loss: what is paid, in short on the first page and in full before the settlements."""

from collections.abc import Callable, Sequence
from typing import TypeVar

from hitchworth.model.settlement import Settlement
from hitchworth.reports.content import Column, Table
from hitchworth.reports.context import ReportContext

T = TypeVar("T")

LOSSES_ABREAST = 4
"""As many columns of money stand side by side on a page."""

FIRST_POLICIES = 6
"""As many policies as the first page has room for."""


def short_matrix(context: ReportContext) -> tuple[Table, ...]:
    """Paid and its share of the replacement cost, for as many policies and losses as the first page holds."""
    policies, losses = _policies(context), _losses(context)
    if not losses:
        return ()
    some, shown = policies[:FIRST_POLICIES], losses[:LOSSES_ABREAST]
    caption = "short_matrix" if (some, shown) == (policies, losses) else "short_matrix_cut"
    return (_table(context, caption, some, shown, _short),)


def full_matrix(context: ReportContext) -> tuple[Table, ...]:
    """Paid, its share, the gap, and what would be paid at best; as many tables as the losses need."""
    policies = _policies(context)
    return tuple(_table(context, "matrix_caption", policies, losses, _full) for losses in abreast(_losses(context)))


def abreast(items: Sequence[T]) -> tuple[Sequence[T], ...]:
    """The items, as many at a time as stand side by side."""
    return tuple(items[start : start + LOSSES_ABREAST] for start in range(0, len(items), LOSSES_ABREAST))


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
    found = {(settlement.policy, settlement.loss): settlement for settlement in context.statement.settlements}
    return Table(
        context.format(caption),
        (Column(context.format("policy"), width=1), *(Column(loss, align="right") for loss in losses)),
        tuple((policy, *(cell(context, found[policy, loss]) for loss in losses)) for policy in policies),
    )


def _short(context: ReportContext, settlement: Settlement) -> str:
    if not settlement.payable:
        return context.format("nothing")
    share = context.percent(settlement.share_covered)
    return f"{context.money(settlement.payable)}\n{context.format('share_covered', share=share)}"


def _full(context: ReportContext, settlement: Settlement) -> str:
    lines = [_short(context, settlement), context.format("gap_of", gap=settlement.gap)]
    if settlement.payable_at_best > settlement.payable:
        lines.append(context.format("at_best", best=settlement.payable_at_best))
    return "\n".join(lines)
