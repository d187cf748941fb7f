"""What each policy pays for each loss: the matrix, then policy by policy the terms, the causes and the steps."""

from collections.abc import Sequence
from decimal import Decimal

from hitchworth.model.policy import Policy
from hitchworth.model.settlement import Cause, Settlement
from hitchworth.sheets.content import AnyBlock, Column, Group, GroupedTable, Heading, Listing, Paragraph, Table
from hitchworth.sheets.matrix import abreast, full_matrix
from hitchworth.sheets.policy_comparison import policy_comparison
from hitchworth.sheets.policy_terms import policy_terms
from hitchworth.sheets.subject import Subject


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
        _payments(subject, policy, settlements),
        *(_causes(subject, some) for some in abreast(settlements) if any(s.waterfall for s in some)),
        _steps(subject, settlements),
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
                *(_amount(subject, settlement, title) for title in titles),
                subject.percent(settlement.share_covered),
            )
            for settlement in settlements
        ),
    )


def _amount(subject: Subject, settlement: Settlement, title: str) -> str:
    """An amount of the settlement; below what is held back, the last day on which it can be claimed."""
    amount, until = getattr(settlement, title), settlement.recoverable_until
    if title == "recoverable_later" and amount and until is not None:
        return f"{subject.money(amount)}\n{subject.say('claim_by', until=until)}"
    return subject.amount(amount)


def _loss(subject: Subject, settlement: Settlement) -> str:
    return f"{settlement.loss} ({subject.voice.label('extent', settlement.extent)})"


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
            (label, *(subject.amount(parts.get(cause, Decimal(0))) for parts in by_loss))
            for cause, label in labels.items()
        ),
        (subject.say("gap"), *(subject.amount(settlement.gap) for settlement in settlements)),
    )


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
