"""The policies against one another: break-evens, average years, what they pay together, and expenses beside it."""

from collections.abc import Iterable, Sequence
from decimal import Decimal

from hitchworth.model.settlement import BreakEven
from hitchworth.sheets.content import AnyBlock, Column, Heading, Listing, Paragraph, Table
from hitchworth.sheets.matrix import abreast
from hitchworth.sheets.subject import Subject


def policy_comparison(subject: Subject) -> tuple[AnyBlock, ...]:
    """What there is to compare; nothing where neither premiums nor chances nor a sharing were given."""
    blocks = (*_break_evens(subject), *_expected_costs(subject), *_combined(subject), *_expenses(subject))
    return (Heading(subject.say("compared"), level=2), *blocks) if blocks else ()


def _break_evens(subject: Subject) -> tuple[AnyBlock, ...]:
    """A row for each two policies of which the dearer one pays more for some loss; the others in a sentence."""
    by_pair: dict[tuple[str, str], list[BreakEven]] = {}
    for each in subject.statement.comparison.break_evens:
        by_pair.setdefault((each.cheaper, each.dearer), []).append(each)
    if not by_pair:
        return ()
    worth = [pair for pair in by_pair.values() if any(each.extra_payable > 0 for each in pair)]
    never = tuple(_never(subject, pair[0]) for pair in by_pair.values() if pair not in worth)
    losses = tuple(dict.fromkeys(each.loss for pair in worth for each in pair))
    return (
        *(_break_even_table(subject, worth, some) for some in abreast(losses)),
        *((Paragraph(subject.say("break_even_meaning")),) if worth else ()),
        *((Listing(never),) if never else ()),
    )


def _break_even_table(subject: Subject, pairs: Iterable[Sequence[BreakEven]], losses: Sequence[str]) -> Table:
    return Table(
        subject.say("break_even_caption"),
        (
            Column(subject.say("dearer_policy"), width=1),
            Column(subject.say("extra_premium"), align="right"),
            *(Column(loss, align="right") for loss in losses),
        ),
        tuple(_break_even_row(subject, pair, losses) for pair in pairs),
    )


def _break_even_row(subject: Subject, pair: Sequence[BreakEven], losses: Sequence[str]) -> tuple[str, ...]:
    first, by_loss = pair[0], {each.loss: each.probability for each in pair}
    return (
        subject.say("dearer_than", dearer=first.dearer, cheaper=first.cheaper),
        subject.money(first.extra_premium),
        *(_chance(subject, by_loss.get(loss)) for loss in losses),
    )


def _chance(subject: Subject, probability: Decimal | None) -> str:
    """The yearly chance, and in how many years that is once."""
    if not probability:
        return "–"
    years = subject.voice.formats.number(1 / probability, 0 if probability < Decimal("0.1") else 1)
    return f"{subject.percent(probability)}\n{subject.say('once_in', years=years)}"


def _never(subject: Subject, pair: BreakEven) -> str:
    return subject.say("never_worth", dearer=pair.dearer, cheaper=pair.cheaper, extra=pair.extra_premium)


def _expected_costs(subject: Subject) -> tuple[AnyBlock, ...]:
    """Premium and gaps of an average year, by the chances that the user entered."""
    costs = subject.statement.comparison.expected_costs
    if not costs:
        return ()
    amounts = ("annual_premium", "expected_gap", "expected_cost")
    columns = (
        Column(subject.say("policy"), width=1),
        *(Column(subject.say(amount), align="right") for amount in amounts),
    )
    rows = tuple((cost.policy, *(_amount(subject, getattr(cost, amount)) for amount in amounts)) for cost in costs)
    return (Table(subject.say("expected_caption"), columns, rows),)


def _combined(subject: Subject) -> tuple[AnyBlock, ...]:
    """What the policies pay together for each loss, and how much of it each."""
    combined = subject.statement.combined
    if not combined:
        return ()
    policies = tuple(dict.fromkeys(share.policy for each in combined for share in each.shares))
    titles = (*policies, *(subject.say(title) for title in ("paid_together", "replacement_cost", "gap")))
    columns = (Column(subject.say("loss"), width=1), *(Column(title, align="right") for title in titles))
    rows = []
    for each in combined:
        paid = {share.policy: share.payable for share in each.shares}
        sums = (each.payable, each.replacement_cost, each.gap)
        rows.append((each.loss, *(_amount(subject, amount) for amount in (*map(paid.get, policies), *sums))))
    return (Table(subject.say("combined_caption", method=combined[0].method), columns, tuple(rows)),)


def _expenses(subject: Subject) -> tuple[AnyBlock, ...]:
    """Towing, storage and loss of use: what they cost and what is paid of them."""
    columns = (
        Column(subject.say("policy"), width=1),
        Column(subject.say("loss"), width=1),
        Column(subject.say("expense"), width=1),
        Column(subject.say("incurred"), align="right"),
        Column(subject.say("payable"), align="right"),
    )
    rows = tuple(
        (
            settlement.policy,
            settlement.loss,
            subject.voice.heading("expense", expense.kind),
            subject.amount(expense.incurred),
            subject.amount(expense.payable),
        )
        for settlement in subject.statement.settlements
        for expense in settlement.expenses
    )
    return (Table(subject.say("expenses_caption"), columns, rows),) if rows else ()


def _amount(subject: Subject, amount: Decimal | None) -> str:
    return subject.amount(amount or Decimal(0))
