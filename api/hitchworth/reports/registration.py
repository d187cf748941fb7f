"""The registration of a trailer with its papers, and the answers on record: who said what, and when."""

from hitchworth.model.evidence import IDENTIFICATION_PLATE, OWNERSHIP
from hitchworth.reports.answers import recorded_answers
from hitchworth.reports.content import AnyBlock, Facts, Heading, Paragraph
from hitchworth.reports.context import ReportContext
from hitchworth.reports.conversation import owner_facts, trailer
from hitchworth.reports.evidence_tables import evidence_of


def registration(context: ReportContext) -> tuple[AnyBlock, ...]:
    """Return what the trailer is registered as, the evidence of it, and every answer with its date and name."""
    answers = recorded_answers(context)
    papers = evidence_of(context, context.claim_of().evidence, OWNERSHIP, IDENTIFICATION_PLATE)
    return (
        Heading(context.format("registration")),
        Facts((*owner_facts(context), *trailer(context, with_verdict=False)), columns=2),
        Heading(context.format("registration_papers"), level=2),
        *(papers or (Paragraph(context.format("registration_no_papers")),)),
        Heading(context.format("registration_answers"), level=2),
        *(answers or (Paragraph(context.format("registration_no_answers")),)),
    )
