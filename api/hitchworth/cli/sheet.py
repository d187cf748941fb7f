"""`hitchworth sheet`: the conversation sheet as a file."""

from argparse import Namespace

from hitchworth.cli.exits import UsageError, named_by_the_caller
from hitchworth.cli.source import chosen_request
from hitchworth.model.request import GapRequest
from hitchworth.web.conversation_sheets import DOCX, OPERATIONS, create_conversation_sheet

FORMS = {".html": "text/html", ".pdf": "application/pdf", ".md": "text/markdown", ".docx": DOCX}
"""The form of a sheet by the ending of its file."""


def run(chosen: Namespace) -> None:
    """Write the sheet in the form that the name of the file asks for."""
    form = FORMS.get(chosen.output.suffix.lower())
    if form is None:
        raise UsageError(f"{chosen.output} ends in none of {', '.join(FORMS)}")
    sheet = create_conversation_sheet(chosen_request(chosen, GapRequest))
    render = next(rendering.render for rendering in OPERATIONS[0].renderings if rendering.media_type == form)
    with named_by_the_caller():
        chosen.output.write_bytes(render(sheet))
