"""What the policy of a claim is expected to pay, for the insurer: its terms, each step, and what is not known.

Nothing of what is not paid, nor of any other policy: that is the builder's own business.
"""

from hitchworth.model.settlement import Settlement
from hitchworth.reports.content import AnyBlock, Column, Heading, Listing, Paragraph, Table
from hitchworth.reports.context import ReportContext
from hitchworth.reports.policy_terms import policy_terms
from hitchworth.reports.settlement_tables import settlement_steps


def expected_settlement(context: ReportContext) -> tuple[AnyBlock, ...]:
    """Return the terms that are known, those that are not, the steps, and what is to be paid when."""
    claim, (settlement,) = context.claim_of(), context.statement.settlements
    terms = policy_terms(context, claim.policy)
    return (
        Heading(context.format("expected_settlement")),
        Paragraph(context.format("settlement_intro")),
        Heading(context.format("settlement_terms", policy=claim.policy.name), level=2),
        *((terms,) if terms.rows else (Paragraph(context.format("settlement_no_terms")),)),
        *_open_terms(context, settlement),
        _payments(context, settlement),
        Heading(context.format("settlement_least" if _is_open(settlement) else "settlement_computed"), level=2),
        settlement_steps(context, (settlement,)),
        *_expenses(context, settlement),
    )


def _open_terms(context: ReportContext, settlement: Settlement) -> tuple[AnyBlock, ...]:
    """Return what was assumed, and that it accepts nothing."""
    if not settlement.assumed:
        return ()
    notes = tuple(dict.fromkeys(note.text for note in settlement.assumed))
    return (Paragraph(context.format("settlement_assumed")), Listing(notes))


def _is_open(settlement: Settlement) -> bool:
    """Return whether terms that are not known move the payment."""
    return settlement.payable_at_best > settlement.payable


def _payments(context: ReportContext, settlement: Settlement) -> Table:
    """Return the payment, between which ends it lies where terms are not known, and what of it is paid when."""
    payable = {"payable": settlement.payable}
    if _is_open(settlement):
        payable = {"paid_at_best": settlement.payable_at_best, "paid_at_worst": settlement.payable}
    amounts = {context.format(label): amount for label, amount in payable.items()}
    if settlement.recoverable_depreciation:
        amounts[context.format("payable_now")] = settlement.payable_now
        amounts[_recoverable(context, settlement)] = settlement.recoverable_depreciation
    columns = (Column("", width=1), Column(context.format("amount"), align="right"))
    rows = tuple((label, context.money(amount)) for label, amount in amounts.items())
    return Table(context.format("settlement_payments_caption"), columns, rows)


def _recoverable(context: ReportContext, settlement: Settlement) -> str:
    label, until = context.format("recoverable_depreciation"), settlement.recoverable_until
    return label if until is None else f"{label}\n{context.format('claim_by', until=until)}"


def _expenses(context: ReportContext, settlement: Settlement) -> tuple[Table, ...]:
    """Return the expenses of the loss beside the trailer, where there are any."""
    columns = (
        Column(context.format("expense"), width=1),
        *(Column(context.format(title), align="right") for title in ("incurred", "payable")),
    )
    rows = tuple(
        (
            context.localizer.heading("expense", each.kind),
            context.amount(each.incurred),
            context.amount(each.payable),
        )
        for each in settlement.expenses
    )
    return (Table(context.format("expenses_caption"), columns, rows),) if rows else ()
