"""What each policy pays for each loss: the matrix, then policy by policy the terms, the causes and the steps."""

from collections.abc import Sequence
from decimal import Decimal
from typing import TypeVar

from hitchworth.model.policy import Policy
from hitchworth.model.settlement import Cause, Settlement
from hitchworth.sheets.content import AnyBlock, Column, Heading, Listing, Paragraph, Table
from hitchworth.sheets.policy_terms import policy_terms
from hitchworth.sheets.subject import Subject

T = TypeVar("T")

LOSSES_ABREAST = 4
"""As many columns of money stand side by side on a page."""


def settlement_tables(subject: Subject) -> tuple[AnyBlock, ...]:
    """The matrix of policies and losses, and every settlement so that a person can redo it by hand."""
    settlements = subject.statement.settlements
    if not settlements:
        return ()
    return (
        Heading(subject.say("settlements")),
        Paragraph(subject.say("settlements_intro")),
        *_matrix(subject, settlements),
        *(
            block
            for policy in subject.policies
            for block in _of_policy(subject, policy, tuple(s for s in settlements if s.policy == policy.name))
        ),
    )


def _matrix(subject: Subject, settlements: tuple[Settlement, ...]) -> tuple[Table, ...]:
    losses = tuple(dict.fromkeys(settlement.loss for settlement in settlements))
    found = {(settlement.policy, settlement.loss): settlement for settlement in settlements}

    def cell(policy: str, loss: str) -> str:
        settlement = found[policy, loss]
        return subject.say("matrix_cell", payable=settlement.payable, gap=settlement.gap)

    return tuple(
        Table(
            subject.say("matrix_caption"),
            (Column(subject.say("policy"), width=1), *(Column(loss, align="right") for loss in some)),
            tuple((policy.name, *(cell(policy.name, loss) for loss in some)) for policy in subject.policies),
        )
        for some in _in_groups(losses)
    )


def _of_policy(subject: Subject, policy: Policy, settlements: tuple[Settlement, ...]) -> tuple[AnyBlock, ...]:
    if not settlements:
        return ()
    return (
        Heading(subject.say("policy_heading", policy=policy.name), level=2),
        policy_terms(subject, policy),
        *_remarks(subject, settlements),
        _payments(subject, policy, settlements),
        *(_causes(subject, some) for some in _in_groups(settlements) if any(s.waterfall for s in some)),
        *(_steps(subject, alike) for alike in _alike(settlements)),
    )


def _remarks(subject: Subject, settlements: tuple[Settlement, ...]) -> tuple[AnyBlock, ...]:
    """What was assumed and what else is to be known, once each."""
    notes = dict.fromkeys(note.text for s in settlements for note in (*s.assumed, *s.notes))
    return (Listing(tuple(notes)),) if notes else ()


def _payments(subject: Subject, policy: Policy, settlements: tuple[Settlement, ...]) -> Table:
    later = any(settlement.recoverable_later for settlement in settlements)
    amounts = ("payable_now", "recoverable_later", "payable") if later else ("payable",)
    titles = ("replacement_cost", *amounts, "gap")
    return Table(
        subject.say("paid_caption", policy=policy.name),
        (
            Column(subject.say("loss"), width=1),
            *(Column(subject.say(title), align="right") for title in (*titles, "covered")),
        ),
        tuple(
            (
                _loss(subject, settlement),
                *(subject.money(getattr(settlement, title)) for title in titles),
                subject.percent(_covered(settlement)),
            )
            for settlement in settlements
        ),
    )


def _loss(subject: Subject, settlement: Settlement) -> str:
    return f"{settlement.loss} ({subject.voice.label('extent', settlement.extent)})"


def _covered(settlement: Settlement) -> Decimal:
    return settlement.payable / settlement.replacement_cost if settlement.replacement_cost else Decimal(0)


def _causes(subject: Subject, settlements: Sequence[Settlement]) -> Table:
    labels: dict[Cause, str] = {part.cause: part.label for s in settlements for part in s.waterfall}
    by_loss = [{part.cause: part.amount for part in settlement.waterfall} for settlement in settlements]
    return Table(
        subject.say("causes_caption"),
        (
            Column(subject.say("cause"), width=1),
            *(Column(settlement.loss, align="right") for settlement in settlements),
        ),
        tuple(
            (label, *(subject.money(parts[cause]) if cause in parts else "–" for parts in by_loss))
            for cause, label in labels.items()
        ),
        (subject.say("gap"), *(subject.money(settlement.gap) for settlement in settlements)),
    )


def _alike(settlements: tuple[Settlement, ...]) -> list[list[Settlement]]:
    """Settlements whose steps are the same to the cent, together: they are printed once."""
    groups: dict[object, list[Settlement]] = {}
    for settlement in settlements:
        groups.setdefault(tuple((step.label, step.amount) for step in settlement.steps), []).append(settlement)
    return list(groups.values())


def _steps(subject: Subject, alike: list[Settlement]) -> Table:
    last = alike[0]
    return Table(
        subject.say("steps_caption", losses=", ".join(settlement.loss for settlement in alike)),
        (
            Column(subject.say("step"), width=1),
            Column(subject.say("amount"), align="right"),
            Column(subject.say("running"), align="right"),
        ),
        tuple((step.label, subject.money(step.amount), subject.money(step.running)) for step in last.steps),
        (subject.say("payable"), "", subject.money(last.payable)),
    )


def _in_groups(items: Sequence[T]) -> tuple[Sequence[T], ...]:
    return tuple(items[start : start + LOSSES_ABREAST] for start in range(0, len(items), LOSSES_ABREAST))
