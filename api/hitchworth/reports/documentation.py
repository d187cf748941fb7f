"""How the parts are documented, by money: one sentence for everybody, and for the builder what to find first."""

from hitchworth.documentation.score import documentation_score
from hitchworth.localization.localizer import capital
from hitchworth.model.documentation import DocumentationScore, RecordKind, RecordToFind
from hitchworth.reports.content import AnyBlock, Column, Heading, Paragraph, Table
from hitchworth.reports.context import ReportContext


def documentation(context: ReportContext) -> tuple[AnyBlock, ...]:
    """Return what share of the replacement cost of the parts has a receipt, a photo and a serial number on record.

    Photos are left out where the document has no evidence: then it does not say that there are none.
    """
    return _sentence(context, _score(context))


def records_to_find(context: ReportContext) -> tuple[AnyBlock, ...]:
    """Return the score and the records most worth finding first; nothing where no record is missing."""
    score = _score(context)
    if not score.records:
        return ()
    columns = (
        Column(context.format("item"), width=5),
        *(Column(context.format(title), width=3) for title in ("record_to_find", "on_record")),
        Column(context.format("replacement_cost"), align="right"),
    )
    more = score.missing - len(score.records)
    return (
        Heading(context.format("records_to_find")),
        *_sentence(context, score),
        Table(context.format("records_caption"), columns, tuple(_record(context, each) for each in score.records)),
        *((Paragraph(context.format("more_records", count=str(more))),) if more else ()),
        *_kind_not_stated(context, score),
    )


def _score(context: ReportContext) -> DocumentationScore:
    return documentation_score(context.build, context.evidence, context.statement.estimate)


def _sentence(context: ReportContext, score: DocumentationScore) -> tuple[AnyBlock, ...]:
    if not score.replacement_cost:
        return ()
    text = "documentation_with_photos" if context.evidence else "documentation"
    shares = {each.record: context.percent(each.replacement_cost / score.replacement_cost) for each in score.shares}
    return (Paragraph(context.format(text, **shares)),)


def _record(context: ReportContext, record: RecordToFind) -> tuple[str, ...]:
    on_record = ", ".join(_label(context, each) for each in record.on_record)
    return (
        record.description,
        capital(_label(context, record.record)),
        capital(on_record) or "–",
        context.amount(record.replacement_cost),
    )


def _label(context: ReportContext, record: RecordKind) -> str:
    return context.localizer.label("record_kind", record)


def _kind_not_stated(context: ReportContext, score: DocumentationScore) -> tuple[AnyBlock, ...]:
    count = score.kind_not_stated
    return (Paragraph(context.format("kind_not_stated", count=str(count))),) if count else ()
