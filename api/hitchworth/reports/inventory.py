"""The inventory: how the total comes about, and every line with its evidence and depreciation."""

from collections.abc import Iterator, Sequence
from decimal import Decimal

from hitchworth.documentation.register import by_subject
from hitchworth.localization.estimates import indirect_cost_labels
from hitchworth.localization.localizer import capital
from hitchworth.model.build import Component, Labor
from hitchworth.model.estimate import (
    CategoryTotal,
    EstimateLine,
    LaborDepreciationRule,
    LaborSummary,
    LaborTotal,
    Totals,
)
from hitchworth.model.evidence import NUMBER, Evidence
from hitchworth.reports.content import (
    AnyBlock,
    Column,
    Group,
    GroupedTable,
    Heading,
    Listing,
    Paragraph,
    Table,
    Thumbnail,
)
from hitchworth.reports.context import ReportContext, was_read
from hitchworth.reports.depreciation_tables import schedule_label
from hitchworth.reports.documentation import documentation
from hitchworth.reports.pictures import SMALL, Pictured, Wanted, is_picture, pictured
from hitchworth.reports.value_groups import evidence_labels
from hitchworth.valuation.labor_rates import grade_of_rate
from hitchworth.valuation.spread import grade_of_cost

LINES_TO_PROVE = 5
"""Rows of the table of lines that need better evidence."""


def inventory(context: ReportContext) -> tuple[AnyBlock, ...]:
    """Return totals, categories, evidence and labor, then a table of all lines. Every table adds up on paper."""
    notes = tuple(dict.fromkeys(note.text for note in context.statement.estimate.notes))
    if not context.statement.estimate.lines:
        return (Heading(context.format("inventory")), *map(Paragraph, notes))
    pictures = pictured(context, _wanted(context))
    return (
        Heading(context.format("inventory")),
        _totals(context),
        _categories(context),
        _evidence(context),
        *documentation(context),
        *_lines_to_prove(context),
        *_labor(context),
        *_both_ends(context),
        *((Listing(notes),) if notes else ()),
        _lines(context, pictures),
        *pictures.remarks,
    )


def _amount_columns(context: ReportContext, *titles: str) -> tuple[Column, ...]:
    return tuple(Column(context.format(title), align="right") for title in titles)


def _totals(context: ReportContext) -> Table:
    estimate, totals = context.statement.estimate, context.statement.estimate.totals
    parts = {
        "direct_cost": context.format("direct_cost"),
        **indirect_cost_labels(estimate.indirect_costs, context.localizer),
    }
    return Table(
        context.format("totals_caption"),
        (Column("", width=1), *_amount_columns(context, "amount")),
        tuple((label, context.amount(getattr(totals, part))) for part, label in parts.items()),
        (context.format("replacement_cost"), context.amount(totals.replacement_cost)),
    )


def _categories(context: ReportContext) -> Table:
    estimate, amounts = context.statement.estimate, ("replacement_cost", "depreciation", "actual_cash_value")
    rows = tuple(
        (
            context.localizer.heading("category", category.category),
            *(context.amount(getattr(category, amount)) for amount in amounts),
        )
        for category in estimate.categories
    )
    return Table(
        context.format("categories_caption"),
        (Column(context.format("category"), width=1), *_amount_columns(context, *amounts)),
        rows,
        (context.format("total"), *(context.amount(getattr(estimate.totals, amount)) for amount in amounts)),
    )


def _evidence(context: ReportContext) -> Table:
    grades = {component.id: component.evidence_grade for component in context.build.components}
    costs = dict.fromkeys(evidence_labels(context), Decimal(0))
    for line in context.statement.estimate.lines:
        if line.kind == "component":
            costs[grades[line.id]] += line.replacement_cost
    return Table(
        context.format("evidence_caption"),
        (Column(context.format("evidence"), width=1), *_amount_columns(context, "replacement_cost")),
        tuple(
            (capital(label), context.amount(costs[grade]))
            for grade, label in evidence_labels(context).items()
            if grade is not None or costs[grade]
        ),
    )


def _lines_to_prove(context: ReportContext) -> tuple[AnyBlock, ...]:
    """Return the lines that widen the range of the replacement cost most: the receipts to find first."""
    entries: dict[tuple[str, str], Component | Labor] = {
        ("component", part.id): part for part in context.build.components
    }
    entries |= {("labor", labor.id): labor for labor in context.build.labor}
    lines = sorted(context.statement.estimate.lines, key=lambda line: line.variance_share, reverse=True)
    rows = tuple(
        (line.description, _evidence_grade(context, entries[line.kind, line.id]), context.percent(line.variance_share))
        for line in lines[:LINES_TO_PROVE]
        if line.variance_share
    )
    columns = (
        Column(context.format("item"), width=1),
        Column(context.format("evidence")),
        *_amount_columns(context, "variance_share"),
    )
    return (Table(context.format("variance_caption"), columns, rows),) if rows else ()


def _evidence_grade(context: ReportContext, entry: Component | Labor) -> str:
    if entry.evidence_grade is not None:
        return context.localizer.heading("evidence", entry.evidence_grade)
    counted = grade_of_cost(entry) if isinstance(entry, Component) else grade_of_rate(entry)
    return capital(context.format("not_stated_counted_as", grade=counted))


def _labor(context: ReportContext) -> tuple[AnyBlock, ...]:
    """Return hours and cost, the value under each labor rule, and the jurisdiction's published rule if there is one."""
    estimate = context.statement.estimate
    labor, rule = estimate.labor, estimate.labor_depreciation_rule
    if not (labor.own.hours or labor.hired.hours):
        return ()
    return (
        _hours(context, labor),
        Paragraph(context.format("own_labor_added", amount=labor.own_labor_added)),
        _value_by_labor_rule(context),
        *(_published_labor_rule(context, each) for each in context.shown(() if rule is None else (rule,))),
    )


def _hours(context: ReportContext, labor: LaborSummary) -> Table:
    return Table(
        context.format("labor_caption"),
        (
            Column(context.format("work"), width=1),
            *_amount_columns(context, "hours", "paid", "at_market", "replacement_cost"),
        ),
        (_hours_row(context, "own_hours", labor.own), _hours_row(context, "hired_hours", labor.hired)),
    )


def _hours_row(context: ReportContext, title: str, total: LaborTotal) -> tuple[str, ...]:
    amounts = (total.paid, total.at_market, total.replacement_cost)
    return (context.format(title), context.localizer.formats.number(total.hours), *map(context.money, amounts))


def _value_by_labor_rule(context: ReportContext) -> Table:
    values = context.statement.estimate.value_by_labor_rule
    return Table(
        context.format("labor_rules_caption"),
        (Column(context.format("labor_rule"), width=1), *_amount_columns(context, "actual_cash_value")),
        tuple(
            (context.localizer.heading("labor_depreciation", rule), context.money(getattr(values, rule)))
            for rule in ("none", "with_component", "own")
        ),
    )


def _both_ends(context: ReportContext) -> tuple[AnyBlock, ...]:
    """Return between which ends the actual cash value lies, and how each is found, where they differ."""
    found = context.statement.estimate.value_range
    if found is None or found.low == found.high:
        return ()
    ends = (context.format("value_end", found_by=end.found_by, value=end.value) for end in found.ends)
    return (Paragraph(context.format("value_range")), Listing(tuple(ends)))


def unread_labor_rule(context: ReportContext) -> int:
    """Return 1 where the rule on the depreciation of labor was not compared with the published text, otherwise 0."""
    rule = context.statement.estimate.labor_depreciation_rule
    return int(rule is not None and not was_read(rule))


def _published_labor_rule(context: ReportContext, rule: LaborDepreciationRule) -> Paragraph:
    citation = context.cite(rule.citation, verified=rule.provenance == "published")
    return Paragraph(
        context.format(
            "labor_depreciation_rule",
            jurisdiction=rule.jurisdiction,
            law=rule.law,
            text=rule.text,
            citation=citation,
        )
    )


def _lines(context: ReportContext, pictures: Pictured) -> GroupedTable:
    """Return every line, a group with subtotals for each category."""
    estimate = context.statement.estimate
    columns = (
        Column(context.format("item"), width=5),
        Column(context.format("schedule"), width=3),
        *_amount_columns(context, "age", "percent_good", "paid", "replacement_cost", "actual_cash_value"),
    )
    groups = tuple(_category_group(context, category, pictures) for category in estimate.categories)
    foot = (context.format("total"), *_subtotals(context, estimate.totals))
    return GroupedTable(context.format("lines_caption"), columns, groups, foot)


def _category_group(context: ReportContext, category: CategoryTotal, pictures: Pictured) -> Group:
    serial_numbers = {component.id: component.serial_number for component in context.build.components}
    lines = [line for line in context.statement.estimate.lines if line.category == category.category]
    return Group(
        context.localizer.heading("category", category.category),
        tuple(_line(context, line, serial_numbers.get(line.id)) for line in lines),
        _subtotals(context, category),
        pictures=_pictures_of_lines(context, lines, pictures),
    )


def _pictures_of_lines(
    context: ReportContext, lines: Sequence[EstimateLine], pictures: Pictured
) -> tuple[tuple[Thumbnail, ...], ...]:
    """Return the picture of each line that has one; nothing at all where none has."""
    photos = _photos(context)
    found = (pictures.thumbnails.get(photos[line.id].id) if line.id in photos else None for line in lines)
    rows = tuple(() if thumbnail is None else (thumbnail,) for thumbnail in found)
    return rows if any(rows) else ()


def _photos(context: ReportContext) -> dict[str, Evidence]:
    """Return the first photo of each line, by its id: of the thing itself before that of its number."""
    tied = by_subject(each for each in context.evidence if each.kind == "photo" and is_picture(each))
    lines = (line.id for line in context.statement.estimate.lines)
    return {line: photos[0] for line in lines if (photos := tied.get(line) or tied.get(f"{NUMBER}{line}"))}


def _wanted(context: ReportContext) -> Iterator[Wanted]:
    """Yield the photo of each line, in the order in which the lines are printed."""
    photos, estimate = _photos(context), context.statement.estimate
    order = {category.category: place for place, category in enumerate(estimate.categories)}
    for line in sorted(estimate.lines, key=lambda line: order[line.category]):
        if line.id in photos:
            photo = photos[line.id]
            text = context.format("picture_of", item=line.description, file=photo.file_name or photo.id)
            yield Wanted(photo, text, SMALL)


def _subtotals(context: ReportContext, sums: CategoryTotal | Totals) -> tuple[str, ...]:
    return ("", "", "", "", context.amount(sums.replacement_cost), context.amount(sums.actual_cash_value))


def _line(context: ReportContext, line: EstimateLine, serial_number: str | None) -> tuple[str, ...]:
    item = line.description
    if serial_number is not None:
        item = context.format("serial_number", description=line.description, serial=serial_number)
    return (
        item,
        capital(schedule_label(context, line.schedule)),
        context.localizer.formats.number(line.age_years, 1, 1),
        context.percent(line.percent_good),
        context.amount(line.historical_cost),
        context.amount(line.replacement_cost),
        context.amount(line.actual_cash_value),
    )
