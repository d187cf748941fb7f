"""`hitchworth sheet`: the conversation sheet as a file."""

from argparse import Namespace

from hitchworth.cli.exit_codes import UsageError, usage_errors
from hitchworth.cli.request_file import request_from_file
from hitchworth.model.request import GapRequest
from hitchworth.operations.appraisals import create_conversation_sheet
from hitchworth.operations.renderings import AS_SHEET

SUFFIXES = {"html": ".html", "pdf": ".pdf", "markdown": ".md", "docx": ".docx"}
"""The suffix of a file in each format of the sheet."""


def run(arguments: Namespace) -> None:
    """Write the sheet in the format that the name of the file asks for."""
    renderings = {SUFFIXES[rendering.name]: rendering for rendering in AS_SHEET}
    rendering = renderings.get(arguments.output.suffix.lower())
    if rendering is None:
        raise UsageError(f"{arguments.output} must end in one of {', '.join(renderings)}")
    sheet = create_conversation_sheet(request_from_file(GapRequest, arguments))
    with usage_errors():
        arguments.output.write_bytes(rendering.render(sheet))
