"""What each policy pays for each loss: the matrix, then policy by policy the terms, the causes and the steps."""

from collections.abc import Iterable, Iterator, Sequence
from decimal import Decimal

from hitchworth.model.policy import Policy
from hitchworth.model.settlement import Cause, Settlement
from hitchworth.sheets.content import AnyBlock, Column, Group, GroupedTable, Heading, Listing, Paragraph, Table
from hitchworth.sheets.matrix import abreast, full_matrix
from hitchworth.sheets.policy_comparison import policy_comparison
from hitchworth.sheets.policy_terms import policy_terms
from hitchworth.sheets.subject import Subject

INDENT = "\u2003"


def settlement_tables(subject: Subject) -> tuple[AnyBlock, ...]:
    """The matrix of policies and losses, and every settlement so that a person can redo it by hand."""
    settlements = subject.statement.settlements
    if not settlements:
        return ()
    return (
        Heading(subject.say("settlements")),
        Paragraph(subject.say("settlements_intro")),
        *full_matrix(subject),
        *policy_comparison(subject),
        *(
            block
            for policy in subject.policies
            for block in _of_policy(subject, policy, tuple(s for s in settlements if s.policy == policy.name))
        ),
    )


def _of_policy(subject: Subject, policy: Policy, settlements: tuple[Settlement, ...]) -> tuple[AnyBlock, ...]:
    if not settlements:
        return ()
    return (
        Heading(subject.say("policy_heading", policy=policy.name), level=2),
        policy_terms(subject, policy),
        *_remarks(subject, settlements),
        *(_payments(subject, policy, some) for some in abreast(settlements)),
        _steps(subject, settlements),
    )


def _remarks(subject: Subject, settlements: tuple[Settlement, ...]) -> tuple[AnyBlock, ...]:
    """What was assumed and what else is to be known, once each."""
    notes = dict.fromkeys(note.text for s in settlements for note in (*s.assumed, *s.notes))
    return (Listing(tuple(notes)),) if notes else ()


def _payments(subject: Subject, policy: Policy, settlements: Sequence[Settlement]) -> Table:
    """From the replacement cost through the causes of the gap down to what is paid, a column for each loss."""
    rows = (
        _row(subject, "replacement_cost", [settlement.replacement_cost for settlement in settlements]),
        *_causes(subject, settlements),
        _row(subject, "gap", [settlement.gap for settlement in settlements]),
        *_in_two_payments(subject, settlements),
        (subject.say("covered"), *(subject.percent(settlement.share_covered) for settlement in settlements)),
    )
    return Table(
        subject.say("paid_caption", policy=policy.name),
        (
            Column(subject.say("cause"), width=1),
            *(Column(_loss(subject, settlement), align="right") for settlement in settlements),
        ),
        rows,
        _row(subject, "payable", [settlement.payable for settlement in settlements]),
    )


def _row(subject: Subject, title: str, amounts: Iterable[Decimal]) -> tuple[str, ...]:
    return (subject.say(title), *map(subject.amount, amounts))


def _loss(subject: Subject, settlement: Settlement) -> str:
    return f"{settlement.loss} ({subject.voice.label('extent', settlement.extent)})"


def _causes(subject: Subject, settlements: Sequence[Settlement]) -> Iterator[tuple[str, ...]]:
    labels: dict[Cause, str] = {part.cause: part.label for s in settlements for part in s.waterfall}
    by_loss = [{part.cause: part.amount for part in settlement.waterfall} for settlement in settlements]
    for cause, label in labels.items():
        yield (INDENT + label, *(subject.amount(parts.get(cause, Decimal(0))) for parts in by_loss))


def _in_two_payments(subject: Subject, settlements: Sequence[Settlement]) -> Iterator[tuple[str, ...]]:
    """What is paid at once, and what once the trailer has been replaced, with the last day on which to claim it."""
    if any(settlement.recoverable_later for settlement in settlements):
        yield _row(subject, "payable_now", [settlement.payable_now for settlement in settlements])
        yield (subject.say("recoverable_later"), *(_later(subject, settlement) for settlement in settlements))


def _later(subject: Subject, settlement: Settlement) -> str:
    amount, until = subject.amount(settlement.recoverable_later), settlement.recoverable_until
    if not settlement.recoverable_later or until is None:
        return amount
    return f"{amount}\n{subject.say('claim_by', until=until)}"


def _alike(settlements: tuple[Settlement, ...]) -> list[list[Settlement]]:
    """Settlements whose steps are the same to the cent, together: they are printed once."""
    groups: dict[object, list[Settlement]] = {}
    for settlement in settlements:
        groups.setdefault(tuple((step.label, step.amount) for step in settlement.steps), []).append(settlement)
    return list(groups.values())


def _steps(subject: Subject, settlements: tuple[Settlement, ...]) -> GroupedTable:
    """A group for each loss, or for several whose steps are the same, with what is paid as its last row."""
    return GroupedTable(
        subject.say("steps_caption"),
        (
            Column(subject.say("step"), width=1),
            Column(subject.say("amount"), align="right"),
            Column(subject.say("running"), align="right"),
        ),
        tuple(
            Group(", ".join(settlement.loss for settlement in alike), _of_loss(subject, alike[0]))
            for alike in _alike(settlements)
        ),
    )


def _of_loss(subject: Subject, settlement: Settlement) -> tuple[tuple[str, str, str], ...]:
    steps = ((step.label, subject.amount(step.amount), subject.amount(step.running)) for step in settlement.steps)
    return (*steps, (subject.say("payable"), "", subject.amount(settlement.payable)))
