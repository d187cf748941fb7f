"""The builder's comparison: what each policy pays for each loss, then for each its terms, causes of the gap, steps."""

from collections.abc import Iterable, Iterator, Sequence
from decimal import Decimal

from hitchworth.localization.gap_statements import assumed_terms, summary
from hitchworth.localization.localizer import capital
from hitchworth.localization.settlements import avoided_text
from hitchworth.model.policy import Policy
from hitchworth.model.settlement import Cause, Settlement
from hitchworth.reports.answers import recorded_answers
from hitchworth.reports.content import (
    AnyBlock,
    Caution,
    Column,
    Group,
    GroupedTable,
    Heading,
    Listing,
    Paragraph,
    Table,
)
from hitchworth.reports.context import UNVERIFIED, ReportContext
from hitchworth.reports.matrix import full_matrix, per_table
from hitchworth.reports.policy_comparison import policy_comparison
from hitchworth.reports.policy_terms import policy_terms
from hitchworth.reports.questions import all_questions
from hitchworth.reports.waterfall_chart import gap_waterfall

INDENT = "\u2003"


def comparison(context: ReportContext) -> tuple[AnyBlock, ...]:
    """Return the matrix of policies and losses, and every settlement so that you can check it by hand.

    It is for the builder alone: it has the terms and premiums of every policy.
    """
    settlements = context.statement.settlements
    worst = max(settlements, key=lambda settlement: settlement.gap, default=None)
    return (
        Heading(context.format("settlements")),
        *((_not_to_hand_over(context),) if context.policies else ()),
        Paragraph(summary(context.statement, context.localizer, whole=False)),
        *_assumptions(context),
        *((gap_waterfall(context, worst, "largest-gap"),) if worst is not None else ()),
        *((Paragraph(context.format("settlements_intro")),) if settlements else ()),
        *full_matrix(context),
        *policy_comparison(context),
        *(
            block
            for policy in context.policies
            for block in _policy_section(context, policy, tuple(s for s in settlements if s.policy == policy.name))
        ),
        *all_questions(context),
        *recorded_answers(context),
    )


def _not_to_hand_over(context: ReportContext) -> Caution:
    return Caution(context.format("for_yourself"), (context.format("not_to_hand_over"),))


def _assumptions(context: ReportContext) -> tuple[AnyBlock, ...]:
    """Return what is not known, policy by policy."""
    assumed = assumed_terms(context.statement, context.localizer)
    return (Paragraph(context.format("assumed_in_short")), Listing(assumed)) if assumed else ()


def _policy_section(
    context: ReportContext, policy: Policy, settlements: tuple[Settlement, ...]
) -> tuple[AnyBlock, ...]:
    """Return the terms of a policy and, where losses are entered, what it pays for them."""
    terms = (Heading(context.format("policy_heading", policy=policy.name), level=2), policy_terms(context, policy))
    if not settlements:
        return terms
    return (
        *terms,
        *_notes(settlements),
        *_avoided(context, settlements),
        *(_payments(context, policy, some) for some in per_table(settlements)),
        settlement_steps(context, settlements),
    )


def _notes(settlements: tuple[Settlement, ...]) -> tuple[AnyBlock, ...]:
    """Return the assumptions and the notes, once each."""
    notes = dict.fromkeys(note.text for s in settlements for note in (*s.assumed, *s.notes))
    return (Listing(tuple(notes)),) if notes else ()


def _avoided(context: ReportContext, settlements: tuple[Settlement, ...]) -> tuple[AnyBlock, ...]:
    """Return what is left if the insurer avoids the policy: apart from every payment, and the same for each loss."""
    avoided = (each.if_avoided for each in settlements if each.if_avoided is not None)
    texts = dict.fromkeys(avoided_text(each, context.localizer, UNVERIFIED) for each in avoided)
    return (Paragraph(context.format("avoided_caption")), Listing(tuple(texts))) if texts else ()


def _payments(context: ReportContext, policy: Policy, settlements: Sequence[Settlement]) -> Table:
    """Return the way from replacement cost through the causes of the gap to the payment, a column for each loss."""
    rows = (
        _row(context, "replacement_cost", [settlement.replacement_cost for settlement in settlements]),
        *_causes(context, settlements),
        _row(context, "gap", [settlement.gap for settlement in settlements]),
        *_payments_over_time(context, settlements),
        (context.format("covered"), *(context.percent(settlement.share_covered) for settlement in settlements)),
    )
    return Table(
        context.format("paid_caption", policy=policy.name),
        (
            Column(context.format("cause"), width=1),
            *(Column(_loss_title(context, settlement), align="right") for settlement in settlements),
        ),
        rows,
        _row(context, "payable", [settlement.payable for settlement in settlements]),
    )


def _row(context: ReportContext, title: str, amounts: Iterable[Decimal]) -> tuple[str, ...]:
    return (context.format(title), *map(context.amount, amounts))


def _loss_title(context: ReportContext, settlement: Settlement) -> str:
    return f"{capital(settlement.loss)} ({context.localizer.label('extent', settlement.extent)})"


def _causes(context: ReportContext, settlements: Sequence[Settlement]) -> Iterator[tuple[str, ...]]:
    labels: dict[Cause, str] = {part.cause: part.label for s in settlements for part in s.gap_breakdown}
    by_loss = [{part.cause: part.amount for part in settlement.gap_breakdown} for settlement in settlements]
    for cause, label in labels.items():
        yield (INDENT + label, *(context.amount(parts.get(cause, Decimal(0))) for parts in by_loss))


def _payments_over_time(context: ReportContext, settlements: Sequence[Settlement]) -> Iterator[tuple[str, ...]]:
    """Yield what is paid at once, and what is paid after replacement with the last day to claim it."""
    if any(settlement.recoverable_depreciation for settlement in settlements):
        yield _row(context, "payable_now", [settlement.payable_now for settlement in settlements])
        yield (
            context.format("recoverable_depreciation"),
            *(_recoverable(context, settlement) for settlement in settlements),
        )


def _recoverable(context: ReportContext, settlement: Settlement) -> str:
    amount, until = context.amount(settlement.recoverable_depreciation), settlement.recoverable_until
    if not settlement.recoverable_depreciation or until is None:
        return amount
    return f"{amount}\n{context.format('claim_by', until=until)}"


def _with_same_steps(settlements: tuple[Settlement, ...]) -> list[list[Settlement]]:
    """Group the settlements whose steps are the same to the cent: they are printed once."""
    groups: dict[object, list[Settlement]] = {}
    for settlement in settlements:
        groups.setdefault(tuple((step.label, step.amount) for step in settlement.steps), []).append(settlement)
    return list(groups.values())


def settlement_steps(context: ReportContext, settlements: tuple[Settlement, ...]) -> GroupedTable:
    """Return a group for each loss, or for several losses with the same steps. Its last row is the payment."""
    return GroupedTable(
        context.format("steps_caption"),
        (
            Column(context.format("step"), width=1),
            Column(context.format("amount"), align="right"),
            Column(context.format("running"), align="right"),
        ),
        tuple(
            Group(capital(", ".join(settlement.loss for settlement in same)), _step_rows(context, same[0]))
            for same in _with_same_steps(settlements)
        ),
    )


def _step_rows(context: ReportContext, settlement: Settlement) -> tuple[tuple[str, str, str], ...]:
    steps = ((step.label, context.amount(step.amount), context.amount(step.running)) for step in settlement.steps)
    return (*steps, (context.format("payable"), "", context.amount(settlement.payable)))
