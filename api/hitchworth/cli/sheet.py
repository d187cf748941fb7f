"""`hitchworth sheet`: the conversation sheet as a file."""

from argparse import Namespace

from hitchworth.cli.exit_codes import UsageError, usage_errors
from hitchworth.cli.request_file import chosen_request
from hitchworth.model.request import GapRequest
from hitchworth.web.conversation_sheets import DOCX, OPERATIONS, create_conversation_sheet

ENDINGS = {"text/html": ".html", "application/pdf": ".pdf", "text/markdown": ".md", DOCX: ".docx"}
"""What the name of a file ends in, by the form of the sheet in it."""

RENDERINGS = {ENDINGS[rendering.media_type]: rendering.render for rendering in OPERATIONS[0].renderings}


def run(chosen: Namespace) -> None:
    """Write the sheet in the form that the name of the file asks for."""
    render = RENDERINGS.get(chosen.output.suffix.lower())
    if render is None:
        raise UsageError(f"{chosen.output} ends in none of {', '.join(RENDERINGS)}")
    sheet = create_conversation_sheet(chosen_request(chosen, GapRequest))
    with usage_errors():
        chosen.output.write_bytes(render(sheet))
