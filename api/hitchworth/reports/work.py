"""The work in the trailer: own and hired hours, and what each rule of labor depreciation makes of them."""

from hitchworth.model.estimate import LaborDepreciationRule, LaborSummary, Work
from hitchworth.reports.content import AnyBlock, Column, Paragraph, Table
from hitchworth.reports.context import ReportContext

RULES = ("none", "with_component", "own")


def work(context: ReportContext) -> tuple[AnyBlock, ...]:
    """Hours and their cost, the three rules side by side, and the published rule of the place where there is one."""
    estimate = context.statement.estimate
    labor, rule = estimate.labor, estimate.labor_depreciation_rule
    if not (labor.own.hours or labor.hired.hours):
        return ()
    return (
        _hours(context, labor),
        Paragraph(context.format("own_labor_added", amount=labor.own_labor_added)),
        _rules(context),
        *((_published(context, rule),) if rule is not None else ()),
    )


def _hours(context: ReportContext, labor: LaborSummary) -> Table:
    titles = ("hours", "paid", "at_market", "replacement_cost")
    columns = (
        Column(context.format("work"), width=1),
        *(Column(context.format(title), align="right") for title in titles),
    )
    return Table(
        context.format("labor_caption"),
        columns,
        (_row(context, "own_hours", labor.own), _row(context, "hired_hours", labor.hired)),
    )


def _row(context: ReportContext, kind: str, done: Work) -> tuple[str, ...]:
    amounts = (done.paid, done.at_market, done.replacement_cost)
    return (context.format(kind), context.localizer.formats.number(done.hours), *map(context.money, amounts))


def _rules(context: ReportContext) -> Table:
    values = context.statement.estimate.value_by_labor_rule
    return Table(
        context.format("labor_rules_caption"),
        (Column(context.format("labor_rule"), width=1), Column(context.format("actual_cash_value"), align="right")),
        tuple(
            (context.localizer.heading("labor_depreciation", rule), context.money(getattr(values, rule)))
            for rule in RULES
        ),
    )


def _published(context: ReportContext, rule: LaborDepreciationRule) -> Paragraph:
    text = "labor_depreciation_rule" if rule.provenance == "published" else "labor_rule_not_verified"
    return Paragraph(
        context.format(text, jurisdiction=rule.jurisdiction, law=rule.law, text=rule.text, citation=rule.citation)
    )
