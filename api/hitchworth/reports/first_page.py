"""The first page: who, what, the gap in one picture, the five questions to ask first, and what each policy pays."""

from decimal import Decimal

from hitchworth.localization.gap_statements import assumed_terms, summary
from hitchworth.model.build import Build
from hitchworth.reports.content import AnyBlock, Blanks, Column, Fact, Facts, Heading, Listing, Paragraph, Table
from hitchworth.reports.context import ReportContext
from hitchworth.reports.gap_picture import gap_picture
from hitchworth.reports.matrix import short_matrix
from hitchworth.reports.place import place


def first_page(context: ReportContext) -> tuple[AnyBlock, ...]:
    """All that has to be at hand in the first minute of the conversation."""
    worst = max(context.statement.settlements, key=lambda settlement: settlement.gap, default=None)
    return (
        Facts(_facts(context, context.build), columns=2),
        Blanks(tuple(context.format(f"speak_{what}") for what in ("insurer", "policy_number", "person", "date"))),
        Heading(context.format("in_short")),
        Paragraph(summary(context.statement, context.localizer, whole=False)),
        *_assumptions(context),
        *((gap_picture(context, worst, "largest-gap"),) if worst is not None else ()),
        _questions(context),
        *short_matrix(context),
    )


def _assumptions(context: ReportContext) -> tuple[AnyBlock, ...]:
    """What is not known, policy by policy."""
    assumed = assumed_terms(context.statement, context.localizer)
    return (Paragraph(context.format("assumed_in_short")), Listing(assumed)) if assumed else ()


def _facts(context: ReportContext, build: Build) -> tuple[Fact, ...]:
    estimate, localizer = context.statement.estimate, context.localizer
    band, unknown = estimate.band, context.format("not_known")
    registered = localizer.heading("class", build.registered_class) if build.registered_class else unknown
    return (
        Fact(context.format("replacement_cost"), context.money(estimate.totals.replacement_cost)),
        Fact(context.format("registered_as"), registered),
        Fact(context.format("actual_cash_value"), context.money(estimate.totals.actual_cash_value)),
        Fact(context.format("comparison"), localizer.heading("verdict", context.statement.assessment.verdict)),
        Fact(
            context.format("band"),
            context.format("band_value", low=band.low, high=band.high, confidence=band.confidence),
        ),
        Fact(context.format("registered_in"), place(context, build.jurisdiction) if build.jurisdiction else unknown),
        Fact(context.format("base"), build.base.kind if build.base else unknown),
        Fact(context.format("identification_number"), build.vin or unknown),
    )


def _questions(context: ReportContext) -> AnyBlock:
    questions = context.statement.questions[:5]
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
            (str(number), question.text, _stake(context, question.money_at_stake.high))
            for number, question in enumerate(questions, 1)
        ),
    )


def _stake(context: ReportContext, high: Decimal) -> str:
    return context.format("up_to", high=high) if high else "–"
