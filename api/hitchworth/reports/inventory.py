"""The inventory: how the total comes about, the categories, every line, and what proves it."""

from hitchworth.localization.estimates import indirect_cost_labels
from hitchworth.model.estimate import CategoryTotal, Estimate, EstimateLine, Totals
from hitchworth.reports.content import AnyBlock, Column, Group, GroupedTable, Heading, Listing, Table
from hitchworth.reports.context import ReportContext
from hitchworth.reports.schedules_applied import schedule_name, schedules_applied
from hitchworth.reports.uncertainty import uncertainty
from hitchworth.reports.whole import whole
from hitchworth.reports.work import work
from hitchworth.reports.workings import workings


def inventory(context: ReportContext) -> tuple[AnyBlock, ...]:
    """Totals, categories, evidence, then a table of lines for each category. Every table adds up on paper."""
    estimate = context.statement.estimate
    notes = tuple(dict.fromkeys(note.text for note in estimate.notes))
    return (
        Heading(context.format("inventory")),
        _totals(context, estimate),
        _categories(context, estimate),
        _evidence(context, estimate),
        *uncertainty(context),
        *work(context),
        *whole(context),
        *((Listing(notes),) if notes else ()),
        *_lines(context, estimate),
        *schedules_applied(context),
        *workings(context),
    )


def _totals(context: ReportContext, estimate: Estimate) -> Table:
    totals = estimate.totals
    parts = {
        "direct_cost": context.format("direct_cost"),
        **indirect_cost_labels(estimate.indirect_costs, context.localizer),
    }
    return Table(
        context.format("totals_caption"),
        (Column("", width=1), Column(context.format("amount"), align="right")),
        tuple((label, context.amount(getattr(totals, part))) for part, label in parts.items()),
        (context.format("replacement_cost"), context.amount(totals.replacement_cost)),
    )


def _categories(context: ReportContext, estimate: Estimate) -> Table:
    totals, amounts = estimate.totals, ("replacement_cost", "depreciation", "actual_cash_value")
    return Table(
        context.format("categories_caption"),
        (
            Column(context.format("category"), width=1),
            *(Column(context.format(amount), align="right") for amount in amounts),
        ),
        tuple(
            (
                context.localizer.heading("category", category.category),
                *(context.amount(getattr(category, amount)) for amount in amounts),
            )
            for category in estimate.categories
        ),
        (context.format("total"), *(context.amount(getattr(totals, amount)) for amount in amounts)),
    )


def _evidence(context: ReportContext, estimate: Estimate) -> Table:
    return Table(
        context.format("evidence_caption"),
        (Column(context.format("evidence"), width=1), Column(context.format("replacement_cost"), align="right")),
        tuple(
            (context.localizer.heading("evidence", grade), context.amount(getattr(estimate.documentation, grade)))
            for grade in ("receipt", "written_quote", "own_estimate")
        ),
    )


def _lines(context: ReportContext, estimate: Estimate) -> tuple[AnyBlock, ...]:
    """Every line, a group for each category with its sums."""
    if not estimate.lines:
        return ()
    titles = ("age", "percent_good", "paid", "replacement_cost", "actual_cash_value")
    words = (Column(context.format("item"), width=5), Column(context.format("schedule"), width=3))
    columns = (*words, *(Column(context.format(title), align="right") for title in titles))
    groups = tuple(_group(context, category, estimate.lines) for category in estimate.categories)
    foot = (context.format("total"), *_sums(context, estimate.totals))
    return (GroupedTable(context.format("lines_caption"), columns, groups, foot),)


def _group(context: ReportContext, category: CategoryTotal, lines: tuple[EstimateLine, ...]) -> Group:
    serials = {component.id: component.serial_number for component in context.build.components}
    return Group(
        context.localizer.heading("category", category.category),
        tuple(_line(context, line, serials.get(line.id)) for line in lines if line.category == category.category),
        _sums(context, category),
    )


def _sums(context: ReportContext, sums: CategoryTotal | Totals) -> tuple[str, ...]:
    amounts = (context.amount(sums.replacement_cost), context.amount(sums.actual_cash_value))
    return ("", "", "", "", *amounts)


def _line(context: ReportContext, line: EstimateLine, serial: str | None) -> tuple[str, ...]:
    described = line.description
    if serial is not None:
        described = context.format("serial_number", description=line.description, serial=serial)
    return (
        described,
        schedule_name(context, line.schedule),
        context.localizer.formats.number(line.age_years, 1, 1),
        context.percent(line.percent_good),
        context.amount(line.historic_cost),
        context.amount(line.replacement_cost),
        context.amount(line.actual_cash_value),
    )
