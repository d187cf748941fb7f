"""What the core found, as tables for a terminal of 80 columns and more, in the words of the sheets."""

from collections.abc import Iterable, Iterator, Sequence
from decimal import Decimal
from itertools import groupby

from rich.console import Group, RenderableType
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from hitchworth.cli.layout import BELOW, amount_columns, plain_table, points, said
from hitchworth.model.assessment import Assessment
from hitchworth.model.estimate import Estimate
from hitchworth.model.gap import GapStatement, Question
from hitchworth.model.note import Note
from hitchworth.model.settlement import Settlement
from hitchworth.wording.estimates import on_cost_labels
from hitchworth.wording.voice import Voice

TOP_QUESTIONS = 5


def gap_report(statement: GapStatement, voice: Voice) -> Group:
    """A whole gap statement, short enough to read on a screen."""
    settlements = statement.settlements
    parts = (
        Text(statement.statement, style="bold"),
        value_table(statement.estimate, voice, (note for note in statement.estimate.notes if not note.about)),
        payable_table(settlements, voice),
        *gap_tables(settlements, voice),
        assumption_list(settlements, voice),
        question_list(statement.questions, voice),
        points(said(voice, "cautions"), statement.cautions),
    )
    return Group(*(Padding(part, BELOW) for part in parts))


def assumption_list(settlements: Sequence[Settlement], voice: Voice) -> RenderableType:
    """What was assumed of terms that are not known, and what else the reader should know about the settlements."""
    notes = (note.text for row in settlements for note in (*row.assumed, *row.notes))
    return points(said(voice, "settlements_intro"), notes)


def value_table(estimate: Estimate, voice: Voice, notes: Iterable[Note]) -> RenderableType:
    """Replacement cost and actual cash value by category, with the band and the notes below."""
    table = plain_table(voice, "categories_caption", "category")
    amount_columns(table, *(said(voice, key) for key in ("replacement_cost", "depreciation", "actual_cash_value")))
    for row in estimate.categories:
        amounts = (row.replacement_cost, row.depreciation, row.actual_cash_value)
        table.add_row(voice.heading("category", row.category), *map(voice.money, amounts))
    totals, band = estimate.totals, estimate.band
    table.add_section()
    sums = (totals.replacement_cost, totals.depreciation, totals.actual_cash_value)
    table.add_row(said(voice, "total"), *map(voice.money, sums), style="bold")
    spread = said(voice, "band_value", low=band.low, high=band.high, confidence=band.confidence)
    return Group(table, points(f"{said(voice, 'band')}: {spread}", (note.text for note in notes)))


def total_table(estimate: Estimate, voice: Voice) -> Table:
    """From parts and labor to replacement cost: each on-cost with its rate and base."""
    table = plain_table(voice, "totals_caption", "total")
    amount_columns(table, said(voice, "amount"))
    table.add_row(said(voice, "direct_cost"), voice.money(estimate.totals.direct_cost))
    for name, label in on_cost_labels(estimate.on_costs, voice).items():
        table.add_row(label, voice.money(getattr(estimate.totals, name)))
    table.add_section()
    table.add_row(said(voice, "replacement_cost"), voice.money(estimate.totals.replacement_cost), style="bold")
    return table


def line_table(estimate: Estimate, voice: Voice) -> Table:
    """Every line of an estimate."""
    table = plain_table(voice, "inventory", "item")
    amount_columns(
        table, *(said(voice, key) for key in ("replacement_cost", "age", "percent_good", "actual_cash_value"))
    )
    for line in estimate.lines:
        table.add_row(
            line.description,
            voice.money(line.replacement_cost),
            voice.formats.number(line.age_years, 1, 1),
            voice.formats.percent(line.percent_good, 0),
            voice.money(line.actual_cash_value),
        )
    return table


def payable_table(settlements: Sequence[Settlement], voice: Voice) -> Table:
    """What each policy pays for each loss, under the loss's replacement cost; and at best, where terms are open."""
    costs = {settlement.loss: settlement.replacement_cost for settlement in settlements}
    table = plain_table(voice, "settlements", "policy")
    amount_columns(table, *costs)
    table.add_row(said(voice, "replacement_cost"), *map(voice.money, costs.values()), style="dim")
    table.add_section()
    for policy, group in groupby(settlements, key=lambda row: row.policy):
        rows = tuple(group)
        table.add_row(policy, *(voice.money(row.payable) for row in rows))
        if any(row.payable_at_best > row.payable for row in rows):
            best = (voice.money(row.payable_at_best) for row in rows)
            table.add_row(f"  {said(voice, 'at_best_row')}", *best, style="dim")
    return table


def gap_tables(settlements: Sequence[Settlement], voice: Voice) -> Iterator[Table]:
    """Where the rest goes: for each policy, the gap of each loss by cause."""
    for policy, rows in groupby(settlements, key=lambda row: row.policy):
        yield _gap_table(policy, tuple(rows), voice)


def _gap_table(policy: str, rows: Sequence[Settlement], voice: Voice) -> Table:
    table = plain_table(voice, "causes_caption", "cause")
    table.title = f"{said(voice, 'policy_heading', policy=policy)}. {table.title}"
    amount_columns(table, *(row.loss for row in rows))
    labels = {part.cause: part.label for row in rows for part in row.waterfall if part.amount}
    for cause, label in labels.items():
        table.add_row(label, *(_amount(_part(row, cause), voice) for row in rows))
    table.add_section()
    table.add_row(said(voice, "gap"), *(voice.money(row.gap) for row in rows), style="bold")
    return table


def step_tables(settlements: Sequence[Settlement], voice: Voice) -> Group:
    """The steps of each settlement, to be redone by hand."""
    return Group(*(Padding(_step_table(settlement, voice), BELOW) for settlement in settlements))


def _step_table(settlement: Settlement, voice: Voice) -> Table:
    table = plain_table(voice, "policy_heading", "step", policy=settlement.policy)
    table.title = f"{table.title}: {settlement.loss}"
    amount_columns(table, said(voice, "amount"), said(voice, "running"))
    for step in settlement.steps:
        table.add_row(step.label, voice.money(step.amount), voice.money(step.running))
    table.add_section()
    table.add_row(said(voice, "payable"), "", voice.money(settlement.payable), style="bold")
    return table


def question_list(questions: Sequence[Question], voice: Voice) -> RenderableType:
    """The questions with the most money on them."""
    if not questions:
        return Text(said(voice, "no_questions"))
    table = plain_table(voice, "first_questions", "number")
    table.leading = 1
    table.add_column(said(voice, "question"), overflow="fold")
    amount_columns(table, said(voice, "money_at_stake"))
    for place, question in enumerate(questions[:TOP_QUESTIONS], 1):
        high = question.money_at_stake.high
        stake = said(voice, "up_to", high=high) if high else "–"
        table.add_row(str(place), Group(Text(question.text), Text(question.why, style="dim")), stake)
    more = len(questions) - TOP_QUESTIONS
    return Group(table, Text(said(voice, "more_on_sheet", count=str(more)), style="dim")) if more > 0 else table


def assessment_table(assessment: Assessment, voice: Voice) -> RenderableType:
    """The verdict, every definition that was tried, and what is still to be found out."""
    table = plain_table(voice, "definitions_caption", "definition")
    for key in ("citation", "result"):
        table.add_column(said(voice, key))
    for result in assessment.built:
        cited = result.citation if result.verified else said(voice, "not_verified", citation=result.citation)
        table.add_row(result.title, cited, voice.label("holds", _HOLDS[result.holds]))
    missing = [f"{fact.question} ({fact.measure})" for fact in assessment.missing_facts]
    still = (points(said(voice, "missing_caption"), missing),) if missing else ()
    return Group(Text(assessment.statement, style="bold"), table, *still)


_HOLDS = {True: "true", False: "false", None: "unknown"}


def _part(settlement: Settlement, cause: str) -> Decimal:
    return sum((part.amount for part in settlement.waterfall if part.cause == cause), Decimal(0))


def _amount(amount: Decimal, voice: Voice) -> str:
    return voice.money(amount) if amount else "–"
