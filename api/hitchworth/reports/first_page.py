"""The first page: the build, the largest gap as a chart, the five most important questions, and the payments."""

from itertools import islice

from hitchworth.localization.gap_statements import assumed_terms, summary
from hitchworth.reports.content import AnyBlock, Blanks, Column, Fact, Facts, Heading, Listing, Paragraph, Table
from hitchworth.reports.context import ReportContext
from hitchworth.reports.matrix import first_page_matrix
from hitchworth.reports.questions import short_stake
from hitchworth.reports.waterfall_chart import gap_waterfall

FIRST_QUESTIONS = 5


def first_page(context: ReportContext) -> tuple[AnyBlock, ...]:
    """Return everything that you need in the first minute of the conversation."""
    worst = max(context.statement.settlements, key=lambda settlement: settlement.gap, default=None)
    return (
        Facts(_facts(context), columns=2),
        Blanks(tuple(context.format(f"speak_{what}") for what in ("insurer", "policy_number", "person", "date"))),
        Heading(context.format("in_short")),
        Paragraph(summary(context.statement, context.localizer, whole=False)),
        *_assumptions(context),
        *((gap_waterfall(context, worst, "largest-gap"),) if worst is not None else ()),
        _questions(context),
        *first_page_matrix(context),
    )


def _assumptions(context: ReportContext) -> tuple[AnyBlock, ...]:
    """Return what is not known, policy by policy."""
    assumed = assumed_terms(context.statement, context.localizer)
    return (Paragraph(context.format("assumed_in_short")), Listing(assumed)) if assumed else ()


def _facts(context: ReportContext) -> tuple[Fact, ...]:
    build, estimate, localizer = context.build, context.statement.estimate, context.localizer
    band, unknown = estimate.band, context.format("not_known")
    values = {
        "replacement_cost": context.money(estimate.totals.replacement_cost),
        "registered_as": localizer.heading("class", build.registered_class) if build.registered_class else unknown,
        "actual_cash_value": context.money(estimate.totals.actual_cash_value),
        **_both_ends(context),
        "comparison": localizer.heading("verdict", context.statement.assessment.verdict),
        "band": context.format("band_value", low=band.low, high=band.high, confidence=band.confidence),
        "registered_in": context.jurisdiction_label(build.jurisdiction) if build.jurisdiction else unknown,
        "base": build.base.kind if build.base else unknown,
        "identification_number": build.vin or unknown,
    }
    return tuple(Fact(context.format(label), value) for label, value in values.items())


def _both_ends(context: ReportContext) -> dict[str, str]:
    """Return between which ends the actual cash value lies, however an insurer finds it, where they differ."""
    found = context.statement.estimate.value_range
    if found is None or found.low == found.high:
        return {}
    return {"value_range": context.format("value_range_value", low=found.low, high=found.high)}


def _questions(context: ReportContext) -> AnyBlock:
    to_insurer = (question for question in context.statement.questions if question.to == "insurer")
    questions = tuple(islice(to_insurer, FIRST_QUESTIONS))
    if not questions:
        return Paragraph(context.format("no_questions"))
    return Table(
        context.format("first_questions"),
        (
            Column(context.format("number")),
            Column(context.format("question"), width=1),
            Column(context.format("money_at_stake"), align="right"),
        ),
        tuple(
            (str(number), question.text, short_stake(context, question.money_at_stake))
            for number, question in enumerate(questions, 1)
        ),
    )
