"""What the core found, as tables for a terminal of 80 columns and more."""

from collections.abc import Iterable, Sequence
from decimal import Decimal
from itertools import groupby

from rich import box
from rich.console import Group, RenderableType
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from hitchworth.model.assessment import Assessment
from hitchworth.model.estimate import Estimate
from hitchworth.model.gap import GapStatement, Question
from hitchworth.model.settlement import Settlement
from hitchworth.wording.voice import Voice

TOP_QUESTIONS = 5


def value_table(estimate: Estimate, voice: Voice) -> RenderableType:
    """Replacement cost and actual cash value by category, with the band below."""
    table = _table("What it costs to replace, and what it is worth after wear", "Category")
    _amount_columns(table, "Replacement cost", "Depreciation", "Actual cash value")
    for row in estimate.categories:
        amounts = (row.replacement_cost, row.depreciation, row.actual_cash_value)
        table.add_row(voice.heading("category", row.category), *map(voice.money, amounts))
    totals = estimate.totals
    table.add_section()
    sums = (totals.replacement_cost, totals.depreciation, totals.actual_cash_value)
    table.add_row("Total", *map(voice.money, sums), style="bold")
    band = estimate.band
    share = voice.formats.percent(band.confidence)
    between = f"{voice.money(band.low)} to {voice.money(band.high)}"
    return Group(table, Text(f"With {share} confidence the replacement cost lies between {between}.", style="dim"))


def payable_table(settlements: Sequence[Settlement], voice: Voice) -> Table:
    """What each policy pays for each loss, under the loss's replacement cost."""
    by_loss = _by_loss(settlements)
    table = _table("What each policy pays", "Policy")
    _amount_columns(table, *by_loss)
    table.add_row("Replacement cost", *(voice.money(rows[0].replacement_cost) for rows in by_loss.values()))
    table.add_section()
    for policy, rows in groupby(settlements, key=lambda row: row.policy):
        table.add_row(policy, *(voice.money(row.payable) for row in rows))
    return table


def gap_tables(settlements: Sequence[Settlement], voice: Voice) -> Group:
    """Where the rest goes: for each policy, the gap of each loss by cause."""
    return Group(*(_gap_table(policy, tuple(rows), voice) for policy, rows in groupby(settlements, lambda s: s.policy)))


def _gap_table(policy: str, rows: Sequence[Settlement], voice: Voice) -> Table:
    table = _table(f"The gap under {policy}, by cause", "Cause")
    _amount_columns(table, *(row.loss for row in rows))
    labels = {part.cause: part.label for row in rows for part in row.waterfall if part.amount}
    for cause, label in labels.items():
        table.add_row(label, *(_cell(_part(row, cause), voice) for row in rows))
    table.add_section()
    table.add_row("Gap", *(voice.money(row.gap) for row in rows), style="bold")
    return table


def question_list(questions: Sequence[Question], voice: Voice, most: int = TOP_QUESTIONS) -> RenderableType:
    """The questions with the most money on them."""
    if not questions:
        return Text("No open question moves what is paid.")
    parts: list[RenderableType] = [Text("What to ask first, and how much hangs on it", style="bold")]
    for place, question in enumerate(questions[:most], 1):
        parts.append(Text(f"{place}. up to {voice.money(question.money_at_stake.high)}", style="bold cyan"))
        parts.append(Padding(Text(question.text), (0, 0, 0, 3)))
        parts.append(Padding(Text(question.why, style="dim"), (0, 0, 0, 3)))
    return Group(*parts)


def line_table(estimate: Estimate, voice: Voice) -> Table:
    """Every line of an estimate."""
    table = _table(f"Lines, valued on {voice.formats.long_day(estimate.as_of)}", "Line")
    _amount_columns(table, "Replacement cost", "Age", "Good", "Actual cash value")
    for line in estimate.lines:
        table.add_row(
            line.description,
            voice.money(line.replacement_cost),
            voice.formats.number(line.age_years, 1, 1),
            voice.formats.percent(line.percent_good, 0),
            voice.money(line.actual_cash_value),
        )
    return table


def step_tables(settlements: Sequence[Settlement], voice: Voice) -> Group:
    """The steps of each settlement, to be redone by hand."""
    return Group(*(_step_table(settlement, voice) for settlement in settlements))


def _step_table(settlement: Settlement, voice: Voice) -> Table:
    table = _table(f"{settlement.policy}: {settlement.loss}", "Step")
    _amount_columns(table, "Amount", "Running")
    for step in settlement.steps:
        table.add_row(step.label, voice.money(step.amount), voice.money(step.running))
    table.add_section()
    table.add_row("Payable", "", voice.money(settlement.payable), style="bold")
    return table


def assessment_table(assessment: Assessment) -> RenderableType:
    """The verdict, and every definition that was tried."""
    table = _table("Published definitions", "Definition")
    for heading in ("Citation", "Holds"):
        table.add_column(heading)
    for result in assessment.built:
        table.add_row(result.title, result.citation, HOLDS[result.holds])
    missing = [Text(f"Still to find out: {fact.question} ({fact.measure})") for fact in assessment.missing_facts]
    return Group(Text(assessment.statement, style="bold"), table, *missing)


def gap_report(statement: GapStatement, voice: Voice) -> Group:
    """A whole gap statement, short enough to read on a screen."""
    parts = (
        Text(statement.assessment.statement),
        value_table(statement.estimate, voice),
        payable_table(statement.settlements, voice),
        gap_tables(statement.settlements, voice),
        *_assumptions(statement.settlements),
        question_list(statement.questions, voice),
        Text(statement.statement, style="bold"),
        *(Text(caution, style="dim") for caution in statement.cautions),
    )
    return Group(*(Padding(part, (0, 0, 1, 0)) for part in parts))


HOLDS = {True: "yes", False: "no", None: "not known yet"}


def _assumptions(settlements: Iterable[Settlement]) -> Iterable[Text]:
    """What was assumed, once each."""
    texts = dict.fromkeys(note.text for settlement in settlements for note in settlement.assumed)
    if texts:
        yield Text("\n".join(texts), style="dim")


def _table(title: str, first: str) -> Table:
    table = Table(title=title, title_justify="left", title_style="bold", box=box.SIMPLE_HEAD, pad_edge=False)
    table.add_column(first, overflow="fold")
    return table


def _amount_columns(table: Table, *headings: str) -> None:
    for heading in headings:
        table.add_column(heading, justify="right", no_wrap=True)


def _by_loss(settlements: Sequence[Settlement]) -> dict[str, list[Settlement]]:
    found: dict[str, list[Settlement]] = {}
    for settlement in settlements:
        found.setdefault(settlement.loss, []).append(settlement)
    return found


def _part(settlement: Settlement, cause: str) -> Decimal:
    return sum((part.amount for part in settlement.waterfall if part.cause == cause), Decimal(0))


def _cell(amount: Decimal, voice: Voice) -> str:
    return voice.money(amount) if amount else "–"
