"""Conversation sheets: the gap statement as a paper to hold while talking to the insurer."""

from typing import Annotated, Final

from msgspec import Meta

from hitchworth import appraisal
from hitchworth.model.request import GapRequest
from hitchworth.reports import docx, html, markdown, pdf
from hitchworth.reports.content import Content, Paper
from hitchworth.reports.conversation import conversation_sheet
from hitchworth.web.clock import today
from hitchworth.web.content_negotiation import Rendering
from hitchworth.web.operation import Operation


def create_conversation_sheet(
    request: GapRequest,
    paper: Annotated[Paper | None, Meta(description="Default: what the locale's region prints on.")] = None,
) -> Content:
    """Make the sheet for the conversation with the insurer.

    The questions with room for the answers, what each policy pays, the policies compared, class and use, protection,
    the first day after a loss, the inventory and the sources; to print, to read on a screen, or to work on. Its
    digest is that of the gap statement.
    """
    statement = appraisal.gap_statement(request, request.as_of or today())
    return conversation_sheet(request.build, request.policies, statement, request.locale, paper)


DOCX: Final = "application/vnd.openxmlformats-officedocument.wordprocessingml.document"
"""As registered with IANA for the documents of ISO/IEC 29500."""

OPERATIONS = (
    Operation(
        method="POST",
        path="/v1/conversation-sheets",
        tag="Appraisal",
        function=create_conversation_sheet,
        renderings=(
            Rendering("html", "text/html", lambda sheet: html.render(sheet).encode()),
            Rendering("pdf", "application/pdf", pdf.render),
            Rendering("markdown", "text/markdown", lambda sheet: markdown.render(sheet).encode()),
            Rendering("docx", DOCX, docx.render),
        ),
        example="gap-statement",
        run_in_thread=True,
    ),
)
