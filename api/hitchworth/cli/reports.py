"""`hitchworth sheet`, `report` and `letter`: write pages into a file whose name chooses the format."""

from argparse import ArgumentParser, Namespace
from base64 import b64encode
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any, get_args

from hitchworth.cli import settings
from hitchworth.cli.exit_codes import UsageError, usage_errors
from hitchworth.cli.options import (
    add_date,
    add_document,
    add_force,
    add_locale,
    add_output,
    add_quiet,
    add_server,
)
from hitchworth.cli.request_file import input_errors, request_from_file
from hitchworth.cli.server_client import connected, for_client
from hitchworth.cli.terminal import waiting
from hitchworth.cli.written_files import require_leave, tell_written, write_whole
from hitchworth.model.request import GapRequest, QuoteRequest
from hitchworth.operations.quotes import create_quote_report
from hitchworth.operations.renderings import AS_LETTER, AS_REPORT, Rendering
from hitchworth.operations.reports import Printing, create_conversation_sheet, create_letter, create_report
from hitchworth.operations.workshop import SETTINGS, with_workshop
from hitchworth.reports.catalog import ReportName
from hitchworth.reports.content import Content
from hitchworth.reports.letters import LetterName
from hitchworth.reports.quote_catalog import QuoteReportName

_PRINTING = ("for_policy", "include_unverified")
"""The options of how a report is printed."""

SUFFIXES = {"html": ".html", "pdf": ".pdf", "markdown": ".md", "docx": ".docx", "text": ".txt"}
"""The suffix of a file in each format of a report or letter."""


def add_sheet(parser: ArgumentParser) -> None:
    """Add the options of `hitchworth sheet`."""
    _add_report_options(parser, run_sheet)


def add_report(parser: ArgumentParser) -> None:
    """Add the options of `hitchworth report`."""
    names = (*get_args(ReportName), *get_args(QuoteReportName))
    parser.add_argument("report", metavar="NAME", choices=names, help=", ".join(names))
    _add_report_options(parser, run_report)
    settings.add_options(parser, *SETTINGS)


def add_letter(parser: ArgumentParser) -> None:
    """Add the options of `hitchworth letter`."""
    names = get_args(LetterName)
    parser.add_argument("letter", metavar="NAME", choices=names, help=", ".join(names))
    _add_page_options(parser, "a .txt or .docx file")
    parser.set_defaults(run=run_letter)


def _add_report_options(parser: ArgumentParser, run: Callable[[Namespace], None]) -> None:
    _add_page_options(parser, "a .html, .pdf, .docx or .md file")
    parser.add_argument("--photo", type=Path, metavar="IMAGE", help="a photo of the trailer: JPEG, PNG or WebP")
    parser.set_defaults(run=run)


def _add_page_options(parser: ArgumentParser, files: str) -> None:
    add_document(parser)
    add_date(parser)
    add_locale(parser)
    parser.add_argument(
        "--for-policy", metavar="NAME", help="the policy it is about; default: the one with the most money at stake"
    )
    parser.add_argument(
        "--include-unverified",
        action="store_true",
        help="print what was not compared with the published text too, with a mark",
    )
    add_output(parser, files)
    add_force(parser)
    add_server(parser)
    add_quiet(parser)


def run_sheet(arguments: Namespace) -> None:
    """Write the conversation sheet."""
    _write(arguments, create_conversation_sheet)


def run_report(arguments: Namespace) -> None:
    """Write one of the other reports, or all of them; or a report of a quote, from the request of a quote."""
    if arguments.report not in get_args(QuoteReportName):
        return _write(arguments, create_report, arguments.report)
    if arguments.for_policy is not None:
        raise UsageError(f"--for-policy is not for the report {arguments.report}")
    return _write(arguments, create_quote_report, arguments.report, kind=QuoteRequest)


def run_letter(arguments: Namespace) -> None:
    """Write a letter."""
    _write(arguments, create_letter, arguments.letter, formats=AS_LETTER)


def _write(
    arguments: Namespace,
    create: Callable[..., Content],
    *name: str,
    kind: type[GapRequest] | type[QuoteRequest] = GapRequest,
    formats: Sequence[Rendering] = AS_REPORT,
) -> None:
    """Write a report in the format that the name of the file asks for."""
    rendering = _rendering(arguments, formats)
    require_leave(arguments.output, None, arguments)
    with waiting(f"{arguments.command}: {arguments.output}", arguments.quiet):
        request: Any = request_from_file(kind, arguments, arguments.file, photo=_photo(arguments))
        if isinstance(request, QuoteRequest):
            request = with_workshop(request, settings.workshop_of_settings(arguments))
        how = {} if kind is QuoteRequest else {option: getattr(arguments, option) for option in _PRINTING}
        with input_errors(arguments.file):  # a report may be too long for its format
            if arguments.server is None:
                printed = rendering.render(create(request, *name, **({"printing": Printing(**how)} if how else {})))
            else:
                printed = _from_server(arguments, create.__name__, *name, request, rendering.media_type, **how)
    write_whole(arguments.output, printed)
    tell_written(arguments.output, arguments.quiet)


def _from_server(arguments: Namespace, method: str, *values: Any, **how: Any) -> bytes:
    """Return what a method of the client answers: a report as text or as bytes."""
    with connected(arguments.server, arguments.key) as client:
        answer = getattr(client, method)(*map(for_client, values), **how)
    return answer.encode() if isinstance(answer, str) else bytes(answer)


def _rendering(arguments: Namespace, formats: Sequence[Rendering]) -> Rendering:
    renderings = {SUFFIXES[rendering.name]: rendering for rendering in formats}
    rendering = renderings.get(arguments.output.suffix.lower())
    if rendering is None:
        raise UsageError(f"{arguments.output} must end in one of {', '.join(renderings)}")
    return rendering


def _photo(arguments: Namespace) -> str | None:
    """Return the photo as it stands in a request: in base64."""
    if getattr(arguments, "photo", None) is None:
        return None
    with usage_errors():
        return b64encode(arguments.photo.read_bytes()).decode()
