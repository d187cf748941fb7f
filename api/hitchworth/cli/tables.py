"""Estimates, assessments, settlements and gap statements as tables for a terminal of at least 80 columns."""

from collections.abc import Iterator, Sequence
from decimal import Decimal
from itertools import groupby

from rich.console import Group, RenderableType
from rich.styled import Styled
from rich.table import Table

from hitchworth.cli.layout import add_amount_columns, bullet_list, plain_table, sheet_text, stacked
from hitchworth.localization.estimates import indirect_cost_labels
from hitchworth.localization.gap_statements import paid_by_answer
from hitchworth.localization.localizer import Localizer
from hitchworth.model.assessment import Assessment, DefinitionResult, WorkingReading
from hitchworth.model.estimate import Estimate
from hitchworth.model.gap import GapStatement, Question
from hitchworth.model.settlement import Settlement, Settlements

TOP_QUESTIONS = 5


def estimate_report(estimate: Estimate, localizer: Localizer) -> Group:
    """Lay out an estimate: its lines, its totals, its categories and its notes; without lines only the notes."""
    if not estimate.lines:
        return Group(*(note.text for note in estimate.notes))
    return stacked(line_table(estimate, localizer), total_table(estimate, localizer), value_table(estimate, localizer))


def settlement_report(settlements: Settlements, localizer: Localizer) -> Group:
    """Lay out the steps of every settlement, what is paid in short, and what was assumed."""
    rows = settlements.settlements
    if not rows:
        return Group(*(note.text for note in settlements.notes))
    return stacked(
        *(_step_table(row, localizer) for row in rows),
        payable_table(rows, localizer),
        assumption_list(rows, localizer),
    )


def gap_report(statement: GapStatement, localizer: Localizer) -> Group:
    """Lay out a gap statement, short enough to read on a screen."""
    parts = (
        Styled(statement.statement, "bold"),
        *((value_table(statement.estimate, localizer),) if statement.estimate.lines else ()),
        *_settled(statement.settlements, localizer),
        *((question_list(statement.questions, localizer),) if not _nothing_to_ask(statement) else ()),
        bullet_list(sheet_text(localizer, "cautions"), statement.cautions),
    )
    return stacked(*parts)


def _nothing_to_ask(statement: GapStatement) -> bool:
    """Return whether there is no question for the insurer because policies or losses are missing: that is said."""
    return bool(statement.notes) and all(question.to != "insurer" for question in statement.questions)


def _settled(settlements: Sequence[Settlement], localizer: Localizer) -> Iterator[RenderableType]:
    """Yield what is paid and why not more; nothing where nothing is settled: the statement says why."""
    if settlements:
        yield payable_table(settlements, localizer)
        yield from gap_tables(settlements, localizer)
        yield assumption_list(settlements, localizer)
        yield from avoided_list(settlements, localizer)


def assumption_list(settlements: Sequence[Settlement], localizer: Localizer) -> RenderableType:
    """List what was assumed for terms that are not known, and the other notes on the settlements."""
    notes = (note.text for row in settlements for note in (*row.assumed, *row.notes))
    return bullet_list(sheet_text(localizer, "settlements_intro"), notes)


def avoided_list(settlements: Sequence[Settlement], localizer: Localizer) -> Iterator[RenderableType]:
    """Yield what is left of each policy if the insurer avoids it; nothing where no policy can be avoided for that."""
    lines = dict.fromkeys(
        sheet_text(localizer, "avoided_line", policy=row.policy, text=row.if_avoided.text)
        for row in settlements
        if row.if_avoided is not None
    )
    if lines:
        yield bullet_list(sheet_text(localizer, "avoided_caption"), lines)


def value_table(estimate: Estimate, localizer: Localizer) -> RenderableType:
    """Return replacement cost and actual cash value by category, with the band and the notes below."""
    table = plain_table(localizer, "categories_caption", "category")
    add_amount_columns(
        table, *(sheet_text(localizer, key) for key in ("replacement_cost", "depreciation", "actual_cash_value"))
    )
    for row in estimate.categories:
        amounts = (row.replacement_cost, row.depreciation, row.actual_cash_value)
        table.add_row(localizer.heading("category", row.category), *map(localizer.money, amounts))
    totals, band = estimate.totals, estimate.band
    table.add_section()
    sums = (totals.replacement_cost, totals.depreciation, totals.actual_cash_value)
    table.add_row(sheet_text(localizer, "total"), *map(localizer.money, sums), style="bold")
    if band.not_priced:
        spread = sheet_text(localizer, "band_not_given", count=str(len(band.not_priced)))
    else:
        spread = sheet_text(localizer, "band_value", low=band.low, high=band.high, confidence=band.confidence)
    return Group(
        table,
        *_both_ends(estimate, localizer),
        bullet_list(f"{sheet_text(localizer, 'band')}: {spread}", (note.text for note in estimate.notes)),
    )


def _both_ends(estimate: Estimate, localizer: Localizer) -> Iterator[RenderableType]:
    """Yield the ends between which the actual cash value lies, and how each is found."""
    found = estimate.value_range
    if found is not None and found.low < found.high:
        span = sheet_text(localizer, "value_range_value", low=found.low, high=found.high)
        ends = (sheet_text(localizer, "value_end", found_by=end.found_by, value=end.value) for end in found.ends)
        yield bullet_list(f"{sheet_text(localizer, 'value_range')} {span}", ends)


def total_table(estimate: Estimate, localizer: Localizer) -> Table:
    """Return the sum from parts and labor to replacement cost: each indirect cost with its rate and base."""
    table = plain_table(localizer, "totals_caption", "total")
    add_amount_columns(table, sheet_text(localizer, "amount"))
    table.add_row(sheet_text(localizer, "direct_cost"), localizer.money(estimate.totals.direct_cost))
    for name, label in indirect_cost_labels(estimate.indirect_costs, localizer).items():
        table.add_row(label, localizer.money(getattr(estimate.totals, name)))
    table.add_section()
    table.add_row(
        sheet_text(localizer, "replacement_cost"), localizer.money(estimate.totals.replacement_cost), style="bold"
    )
    return table


def line_table(estimate: Estimate, localizer: Localizer) -> Table:
    """Return every line of an estimate."""
    table = plain_table(localizer, "inventory", "item")
    add_amount_columns(
        table, *(sheet_text(localizer, key) for key in ("replacement_cost", "age", "percent_good", "actual_cash_value"))
    )
    for line in estimate.lines:
        table.add_row(
            line.description,
            localizer.money(line.replacement_cost),
            localizer.formats.number(line.age_years, 1, 1),
            localizer.formats.percent(line.percent_good, 0),
            localizer.money(line.actual_cash_value),
        )
    return table


def payable_table(settlements: Sequence[Settlement], localizer: Localizer) -> Table:
    """Return what each policy pays for each loss, and what it pays at best if terms are not known."""
    costs = {settlement.loss: settlement.replacement_cost for settlement in settlements}
    table = plain_table(localizer, "settlements", "policy")
    add_amount_columns(table, *costs)
    table.add_row(sheet_text(localizer, "replacement_cost"), *map(localizer.money, costs.values()), style="dim")
    table.add_section()
    for policy, group in groupby(settlements, key=lambda row: row.policy):
        rows = tuple(group)
        table.add_row(policy, *(localizer.money(row.payable) for row in rows))
        if any(row.payable_at_best > row.payable for row in rows):
            best = (localizer.money(row.payable_at_best) for row in rows)
            table.add_row(f"  {sheet_text(localizer, 'at_best_row')}", *best, style="dim")
    return table


def gap_tables(settlements: Sequence[Settlement], localizer: Localizer) -> Iterator[Table]:
    """Yield a table for each policy: the gap of each loss by cause."""
    for policy, rows in groupby(settlements, key=lambda row: row.policy):
        yield _gap_table(policy, tuple(rows), localizer)


def _gap_table(policy: str, rows: Sequence[Settlement], localizer: Localizer) -> Table:
    table = plain_table(localizer, "causes_caption", "cause")
    table.title = f"{sheet_text(localizer, 'policy_heading', policy=policy)}. {table.title}"
    add_amount_columns(table, *(row.loss for row in rows))
    labels = {part.cause: part.label for row in rows for part in row.gap_breakdown}
    for cause, label in labels.items():
        table.add_row(label, *(_amount(_part(row, cause), localizer) for row in rows))
    table.add_section()
    table.add_row(sheet_text(localizer, "gap"), *(localizer.money(row.gap) for row in rows), style="bold")
    return table


def _step_table(settlement: Settlement, localizer: Localizer) -> Table:
    """Return the steps of a settlement, for a reader who checks them by hand."""
    table = plain_table(localizer, "policy_heading", "step", policy=settlement.policy)
    table.title = f"{table.title}: {settlement.loss}"
    add_amount_columns(table, sheet_text(localizer, "amount"), sheet_text(localizer, "running"))
    for step in settlement.steps:
        table.add_row(step.label, localizer.money(step.amount), localizer.money(step.running))
    table.add_section()
    table.add_row(sheet_text(localizer, "payable"), "", localizer.money(settlement.payable), style="bold")
    return table


def question_list(questions: Sequence[Question], localizer: Localizer) -> RenderableType:
    """Return the questions for the insurer with the most money at stake, and how many others there are."""
    to_insurer = [question for question in questions if question.to == "insurer"]
    if not to_insurer:
        return sheet_text(localizer, "no_questions")
    table = plain_table(localizer, "first_questions", "number")
    table.leading = 1
    table.add_column(sheet_text(localizer, "question"))
    add_amount_columns(table, sheet_text(localizer, "money_at_stake"))
    for place, question in enumerate(to_insurer[:TOP_QUESTIONS], 1):
        high = question.money_at_stake.high
        stake = sheet_text(localizer, "up_to", high=high) if high else "–"
        table.add_row(str(place), Group(question.text, *_remarks(question, localizer)), stake)
    more = len(questions) - len(to_insurer[:TOP_QUESTIONS])
    return Group(table, Styled(sheet_text(localizer, "more_in_reports", count=str(more)), "dim")) if more > 0 else table


def _remarks(question: Question, localizer: Localizer) -> Iterator[RenderableType]:
    """Yield why the question matters, and what is paid under each answer."""
    yield Styled(question.why, "dim")
    answers = paid_by_answer(question, localizer)
    if answers:
        yield Styled(answers, "dim")


def assessment_report(assessment: Assessment, localizer: Localizer) -> RenderableType:
    """Lay out an assessment: the verdict, every definition that was tested, what was preset, and the missing facts."""
    table = plain_table(localizer, "definitions_caption", "definition")
    for key in ("citation", "result"):
        table.add_column(sheet_text(localizer, key))
    for result in assessment.built:
        cited = result.citation if result.verified else sheet_text(localizer, "not_verified", citation=result.citation)
        table.add_row(result.title, cited, _finding(result, assessment.working_reading, localizer))
    number = assessment.vin_check
    to_confirm = number.notes if number is not None and number.suggested_from else ()
    remarks = (*(preset.text for preset in assessment.presets), *(note.text for note in to_confirm))
    missing = [f"{fact.question} ({fact.measure})" for fact in assessment.missing_facts]
    still = (bullet_list(sheet_text(localizer, "missing_caption"), missing),) if missing else ()
    noted = (bullet_list("", remarks),) if remarks else ()
    return stacked(Styled(assessment.statement, "bold"), table, *noted, *still)


def _finding(result: DefinitionResult, reading: WorkingReading | None, localizer: Localizer) -> str:
    """Return whether the definition is met, and what it is to the class in a working reading."""
    holds = localizer.label("holds", _HOLDS[result.holds])
    if reading is not None and result.id in reading.read_by:
        return f"{holds}; {sheet_text(localizer, 'reads_for')}"
    if reading is not None and result.holds and result.id in reading.contradicted_by:
        return f"{holds}; {sheet_text(localizer, 'reads_against')}"
    return holds


_HOLDS = {True: "true", False: "false", None: "unknown"}


def _part(settlement: Settlement, cause: str) -> Decimal:
    return sum((part.amount for part in settlement.gap_breakdown if part.cause == cause), Decimal(0))


def _amount(amount: Decimal, localizer: Localizer) -> str:
    return localizer.money(amount) if amount else "–"
