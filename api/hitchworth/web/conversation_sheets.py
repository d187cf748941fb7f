"""Conversation sheets: the gap statement as a paper to hold while talking to the insurer."""

from typing import Annotated

from msgspec import Meta

from hitchworth import appraisal
from hitchworth.model.request import GapRequest
from hitchworth.sheets import conversation, html, markdown, pdf
from hitchworth.sheets.content import Content, Paper
from hitchworth.web.clock import today
from hitchworth.web.media import Rendering
from hitchworth.web.operations import Operation


def create_conversation_sheet(
    request: GapRequest,
    paper: Annotated[Paper | None, Meta(description="Default: what the locale's region prints on.")] = None,
) -> Content:
    """Make the sheet for the conversation with the insurer.

    The questions with room for the answers, the figures that hang on them, the comparison of class and use, the
    inventory and the sources; to print, or to read on a screen.
    """
    statement = appraisal.gap_statement(request, request.as_of or today())
    return conversation.content(request.build, request.policies, statement, request.locale, paper)


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
        ),
        example="gap-statement",
        slow=True,
    ),
)
