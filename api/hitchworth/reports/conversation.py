"""The conversation sheet: what to have in front of you when you talk to the insurer."""

from hitchworth.localization.localizer import localizer_for
from hitchworth.localization.texts import texts
from hitchworth.model.build import Build
from hitchworth.model.gap import GapStatement
from hitchworth.model.policy import Policy
from hitchworth.reports.after_loss import after_loss
from hitchworth.reports.class_comparison import class_comparison
from hitchworth.reports.content import (
    AnyBlock,
    Caution,
    Content,
    Fact,
    Facts,
    Heading,
    Listing,
    Paper,
    Paragraph,
    default_paper,
)
from hitchworth.reports.context import ReportContext
from hitchworth.reports.first_page import first_page
from hitchworth.reports.inventory import inventory
from hitchworth.reports.protection import protection
from hitchworth.reports.questions import questions
from hitchworth.reports.settlement_tables import settlement_tables

MAX_FOOTER_NAME = 48
"""Characters of the build's name in the footer, so that the footer fits on one line."""


def conversation_sheet(
    build: Build,
    policies: tuple[Policy, ...],
    statement: GapStatement,
    locale: str,
    paper: Paper | None = None,
) -> Content:
    """Return the sheet for a statement that is already localized. Default paper: that of the locale's region."""
    localizer = localizer_for(locale, build.currency)
    context = ReportContext(build, policies, statement, localizer)
    return Content(
        title=build.name,
        subtitle=context.format("valued_on", as_of=statement.as_of),
        language=localizer.locale.texts,
        paper=paper or default_paper(localizer.formats.locale.territory),
        dated=statement.as_of,
        footer=_footer(context),
        blocks=(
            *first_page(context),
            *questions(context),
            *settlement_tables(context),
            *class_comparison(context),
            *protection(context),
            *after_loss(context),
            *inventory(context),
            *_closing(context),
        ),
    )


def _footer(context: ReportContext) -> str:
    name, statement = context.build.name, context.statement
    if len(name) > MAX_FOOTER_NAME:
        name = f"{name[: MAX_FOOTER_NAME - 1]}…"
    return context.format(
        "footer", name=name, title=context.format("title"), as_of=statement.as_of, digest=statement.digest
    )


def _closing(context: ReportContext) -> tuple[AnyBlock, ...]:
    """Return the cautions, the glossary, the sources and the digest of the data."""
    translate = context.localizer.translate
    glossary = tuple(Fact(translate(entry.term), translate(entry.meaning)) for entry in texts().glossary)
    return (
        Caution(context.format("cautions"), context.statement.cautions),
        Heading(context.format("glossary")),
        Facts(glossary),
        *_sources(context),
        Heading(context.format("revision"), level=2),
        Paragraph(context.format("digest", digest=context.statement.digest)),
    )


def _sources(context: ReportContext) -> tuple[AnyBlock, ...]:
    """List the sources of the questions, once each; everything else names its source next to it."""
    listed = tuple(dict.fromkeys(question.source for question in context.statement.questions if question.source))
    intro = Paragraph(context.format("sources_intro"))
    return (Heading(context.format("sources")), intro, *((Listing(listed),) if listed else ()))
