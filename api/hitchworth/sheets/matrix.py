"""Policy by loss: what is paid, in short on the first page and in full before the settlements."""

from collections.abc import Callable, Sequence
from typing import TypeVar

from hitchworth.model.settlement import Settlement
from hitchworth.sheets.content import Column, Table
from hitchworth.sheets.subject import Subject

T = TypeVar("T")

LOSSES_ABREAST = 4
"""As many columns of money stand side by side on a page."""

FIRST_POLICIES = 6
"""As many policies as the first page has room for."""


def short_matrix(subject: Subject) -> tuple[Table, ...]:
    """Paid and its share of the replacement cost, for as many policies and losses as the first page holds."""
    policies, losses = _policies(subject), _losses(subject)
    if not losses:
        return ()
    some, shown = policies[:FIRST_POLICIES], losses[:LOSSES_ABREAST]
    caption = "short_matrix" if (some, shown) == (policies, losses) else "short_matrix_cut"
    return (_table(subject, caption, some, shown, _short),)


def full_matrix(subject: Subject) -> tuple[Table, ...]:
    """Paid, its share, the gap, and what would be paid at best; as many tables as the losses need."""
    policies = _policies(subject)
    return tuple(_table(subject, "matrix_caption", policies, losses, _full) for losses in abreast(_losses(subject)))


def abreast(items: Sequence[T]) -> tuple[Sequence[T], ...]:
    """The items, as many at a time as stand side by side."""
    return tuple(items[start : start + LOSSES_ABREAST] for start in range(0, len(items), LOSSES_ABREAST))


def _policies(subject: Subject) -> tuple[str, ...]:
    return tuple(dict.fromkeys(settlement.policy for settlement in subject.statement.settlements))


def _losses(subject: Subject) -> tuple[str, ...]:
    return tuple(dict.fromkeys(settlement.loss for settlement in subject.statement.settlements))


def _table(
    subject: Subject,
    caption: str,
    policies: Sequence[str],
    losses: Sequence[str],
    cell: Callable[[Subject, Settlement], str],
) -> Table:
    found = {(settlement.policy, settlement.loss): settlement for settlement in subject.statement.settlements}
    return Table(
        subject.say(caption),
        (Column(subject.say("policy"), width=1), *(Column(loss, align="right") for loss in losses)),
        tuple((policy, *(cell(subject, found[policy, loss]) for loss in losses)) for policy in policies),
    )


def _short(subject: Subject, settlement: Settlement) -> str:
    if not settlement.payable:
        return subject.say("nothing")
    share = subject.percent(settlement.share_covered)
    return f"{subject.money(settlement.payable)}\n{subject.say('share_covered', share=share)}"


def _full(subject: Subject, settlement: Settlement) -> str:
    lines = [_short(subject, settlement), subject.say("gap_of", gap=settlement.gap)]
    if settlement.payable_at_best > settlement.payable:
        lines.append(subject.say("at_best", best=settlement.payable_at_best))
    return "\n".join(lines)
