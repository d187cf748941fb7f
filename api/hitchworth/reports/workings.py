"""The workings: schedules, formulas, what is paid under each answer, the sources and the glossary."""

from hitchworth.localization.texts import texts
from hitchworth.model.estimate import EstimateLine
from hitchworth.model.workings import Figure
from hitchworth.reports.content import (
    AnyBlock,
    Column,
    Fact,
    Facts,
    Group,
    GroupedTable,
    Heading,
    Listing,
    Paragraph,
)
from hitchworth.reports.context import ReportContext
from hitchworth.reports.depreciation_tables import applied_schedules, whole_trailer
from hitchworth.reports.questions import question_notes

FIGURE_TITLES: dict[Figure, str] = {"historical_cost": "paid", "age_years": "age"}
"""Texts of figures whose text has another name."""


def workings(context: ReportContext) -> tuple[AnyBlock, ...]:
    """Return how the figures come about, so that somebody else can work them out again."""
    return (
        Heading(context.format("workings")),
        *whole_trailer(context),
        *applied_schedules(context),
        *_formulas(context),
        *question_notes(context),
        *_sources(context),
        *_glossary(context),
    )


def _sources(context: ReportContext) -> tuple[AnyBlock, ...]:
    """List the sources of the questions, once each; everything else names its source next to it."""
    listed = tuple(dict.fromkeys(question.source for question in context.statement.questions if question.source))
    if not listed:
        return ()
    return (
        Heading(context.format("sources"), level=2),
        Paragraph(context.format("sources_intro")),
        Listing(listed),
    )


def _glossary(context: ReportContext) -> tuple[AnyBlock, ...]:
    translate = context.localizer.translate
    glossary = tuple(Fact(translate(entry.term), translate(entry.meaning)) for entry in texts().glossary)
    return (Heading(context.format("glossary"), level=2), Facts(glossary))


def _formulas(context: ReportContext) -> tuple[AnyBlock, ...]:
    """Return the formulas of each line, the same as in the API, where the estimate was asked for them."""
    columns = (
        Column(context.format("figure")),
        Column(context.format("formula"), width=1),
        Column(context.format("rule"), width=1),
    )
    groups = tuple(_working_group(context, line) for line in context.statement.estimate.lines if line.workings)
    return (GroupedTable(context.format("workings_caption"), columns, groups),) if groups else ()


def _working_group(context: ReportContext, line: EstimateLine) -> Group:
    rows = tuple(
        (context.format(FIGURE_TITLES.get(working.figure, working.figure)), working.formula, working.text)
        for working in line.workings
    )
    return Group(line.description, rows)
