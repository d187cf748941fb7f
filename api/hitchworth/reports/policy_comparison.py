"""The policies compared: break-even chances, average years, joint payments, and expenses after a loss."""

from collections.abc import Iterable, Sequence
from decimal import Decimal

from hitchworth.localization.localizer import capital
from hitchworth.model.settlement import BreakEven
from hitchworth.reports.content import AnyBlock, Column, Heading, Listing, Paragraph, Table
from hitchworth.reports.context import ReportContext
from hitchworth.reports.matrix import per_table

TEN_YEARS = 10
"""Above it, whole years are exact enough."""


def policy_comparison(context: ReportContext) -> tuple[AnyBlock, ...]:
    """Return the comparisons; nothing where no premiums, chances, coordination or expenses were given."""
    blocks = (*_break_evens(context), *_expected_costs(context), *_combined(context), *_expenses(context))
    return (Heading(context.format("compared"), level=2), *blocks) if blocks else ()


def _break_evens(context: ReportContext) -> tuple[AnyBlock, ...]:
    """Return a row for each pair where the higher premium pays more for some loss, and a sentence for all others."""
    by_pair: dict[tuple[str, str], list[BreakEven]] = {}
    for each in context.statement.comparison.break_evens:
        by_pair.setdefault((each.lower_premium_policy, each.higher_premium_policy), []).append(each)
    if not by_pair:
        return ()
    worth_it = [pair for pair in by_pair.values() if any(each.extra_payable > 0 for each in pair)]
    never_worth = tuple(_never_worth(context, pair[0]) for pair in by_pair.values() if pair not in worth_it)
    losses = tuple(dict.fromkeys(each.loss for pair in worth_it for each in pair))
    return (
        *(_break_even_table(context, worth_it, some) for some in per_table(losses)),
        *((Paragraph(context.format("break_even_meaning")),) if worth_it else ()),
        *((Listing(never_worth),) if never_worth else ()),
    )


def _break_even_table(context: ReportContext, pairs: Iterable[Sequence[BreakEven]], losses: Sequence[str]) -> Table:
    return Table(
        context.format("break_even_caption"),
        (
            Column(context.format("higher_premium_policy"), width=1),
            Column(context.format("extra_premium"), align="right"),
            *(Column(capital(loss), align="right") for loss in losses),
        ),
        tuple(_break_even_row(context, pair, losses) for pair in pairs),
    )


def _break_even_row(context: ReportContext, pair: Sequence[BreakEven], losses: Sequence[str]) -> tuple[str, ...]:
    first, by_loss = pair[0], {each.loss: each for each in pair}
    return (
        capital(
            context.format(
                "higher_than", higher_premium=first.higher_premium_policy, lower_premium=first.lower_premium_policy
            )
        ),
        context.money(first.extra_premium),
        *(_probability(context, by_loss.get(loss)) for loss in losses),
    )


def _probability(context: ReportContext, at: BreakEven | None) -> str:
    """Return the chance per year, and once in how many years that is: of the amounts, as the chance is rounded."""
    if at is None or not at.probability:
        return "–"
    exact = at.extra_payable / at.extra_premium
    years = context.localizer.formats.number(exact, 0 if exact > TEN_YEARS else 1)
    return f"{context.percent(at.probability)}\n{context.format('once_in', years=years)}"


def _never_worth(context: ReportContext, pair: BreakEven) -> str:
    return context.format(
        "never_worth",
        higher_premium=pair.higher_premium_policy,
        lower_premium=pair.lower_premium_policy,
        extra=pair.extra_premium,
    )


def _expected_costs(context: ReportContext) -> tuple[AnyBlock, ...]:
    """Return premium and expected gap of an average year, by the chances that the user entered."""
    costs = context.statement.comparison.expected_costs
    if not costs:
        return ()
    amounts = ("annual_premium", "expected_gap", "expected_cost")
    columns = (
        Column(context.format("policy"), width=1),
        *(Column(context.format(amount), align="right") for amount in amounts),
    )
    rows = tuple(
        (capital(cost.policy), *(_amount(context, getattr(cost, amount)) for amount in amounts)) for cost in costs
    )
    return (Table(context.format("expected_caption"), columns, rows),)


def _combined(context: ReportContext) -> tuple[AnyBlock, ...]:
    """Return what the policies pay together for each loss, and each one's part."""
    combined = context.statement.combined
    if not combined:
        return ()
    policies = tuple(dict.fromkeys(share.policy for each in combined for share in each.shares))
    titles = (
        *map(capital, policies),
        *(context.format(title) for title in ("paid_together", "replacement_cost", "gap")),
    )
    columns = (Column(context.format("loss"), width=1), *(Column(title, align="right") for title in titles))
    rows = []
    for each in combined:
        paid = {share.policy: share.payable for share in each.shares}
        sums = (each.payable, each.replacement_cost, each.gap)
        rows.append((capital(each.loss), *(_amount(context, amount) for amount in (*map(paid.get, policies), *sums))))
    return (Table(context.format("combined_caption", method=combined[0].method), columns, tuple(rows)),)


def _expenses(context: ReportContext) -> tuple[AnyBlock, ...]:
    """Return towing, storage and loss of use: what they cost and how much of it is paid."""
    columns = (
        Column(context.format("policy"), width=1),
        Column(context.format("loss"), width=1),
        Column(context.format("expense"), width=1),
        Column(context.format("incurred"), align="right"),
        Column(context.format("payable"), align="right"),
    )
    rows = tuple(
        (
            capital(settlement.policy),
            capital(settlement.loss),
            context.localizer.heading("expense", expense.kind),
            context.amount(expense.incurred),
            context.amount(expense.payable),
        )
        for settlement in context.statement.settlements
        for expense in settlement.expenses
    )
    return (Table(context.format("expenses_caption"), columns, rows),) if rows else ()


def _amount(context: ReportContext, amount: Decimal | None) -> str:
    return context.amount(amount or Decimal(0))
