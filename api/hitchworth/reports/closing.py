"""The end of a sheet: cautions, glossary, sources, and the digest of the data that it was made from."""

from hitchworth.localization.texts import texts
from hitchworth.reports.content import AnyBlock, Caution, Fact, Facts, Heading, Listing, Paragraph
from hitchworth.reports.context import ReportContext


def closing(context: ReportContext) -> tuple[AnyBlock, ...]:
    """What the reader has to beware of, what the terms mean, and where it all comes from."""
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
    """Where the questions come from, once each; what else has a source says so where it stands."""
    listed = tuple(dict.fromkeys(question.source for question in context.statement.questions if question.source))
    intro = Paragraph(context.format("sources_intro"))
    return (Heading(context.format("sources")), intro, *((Listing(listed),) if listed else ()))
