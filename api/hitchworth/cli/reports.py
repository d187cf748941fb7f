"""`hitchworth sheet`, `report` and `letter`: write pages into a file whose name chooses the format."""

from argparse import ArgumentParser, Namespace
from base64 import b64encode
from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path
from typing import get_args

from hitchworth.cli.exit_codes import UsageError, usage_errors
from hitchworth.cli.options import add_date, add_document, add_locale, add_output
from hitchworth.cli.request_file import input_errors, request_from_file
from hitchworth.cli.written_files import write_whole
from hitchworth.model.request import GapRequest, QuoteRequest
from hitchworth.operations.quotes import create_quote_report
from hitchworth.operations.renderings import AS_LETTER, AS_REPORT, Rendering
from hitchworth.operations.reports import Printing, create_conversation_sheet, create_letter, create_report
from hitchworth.reports.catalog import ReportName
from hitchworth.reports.content import Content
from hitchworth.reports.letters import LetterName
from hitchworth.reports.quote_catalog import QuoteReportName

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


def run_sheet(arguments: Namespace) -> None:
    """Write the conversation sheet."""
    _write(create_conversation_sheet, arguments)


def run_report(arguments: Namespace) -> None:
    """Write one of the other reports, or all of them; or a report of a quote, from the request of a quote."""
    if arguments.report not in get_args(QuoteReportName):
        return _write(partial(create_report, report=arguments.report), arguments)
    if arguments.for_policy is not None:
        raise UsageError(f"--for-policy is not for the report {arguments.report}")
    rendering = _rendering(arguments, AS_REPORT)
    request = request_from_file(QuoteRequest, arguments, photo=_photo(arguments))
    with input_errors():
        report = create_quote_report(request, arguments.report)
    return _save(rendering, report, arguments)


def run_letter(arguments: Namespace) -> None:
    """Write a letter."""
    _write(partial(create_letter, letter=arguments.letter), arguments, AS_LETTER)


def _write(create: Callable[..., Content], arguments: Namespace, formats: Sequence[Rendering] = AS_REPORT) -> None:
    """Write a report in the format that the name of the file asks for."""
    rendering = _rendering(arguments, formats)
    request = request_from_file(GapRequest, arguments, photo=_photo(arguments))
    printing = Printing(for_policy=arguments.for_policy, include_unverified=arguments.include_unverified)
    with input_errors():
        report = create(request, printing=printing)
    _save(rendering, report, arguments)


def _rendering(arguments: Namespace, formats: Sequence[Rendering]) -> Rendering:
    renderings = {SUFFIXES[rendering.name]: rendering for rendering in formats}
    rendering = renderings.get(arguments.output.suffix.lower())
    if rendering is None:
        raise UsageError(f"{arguments.output} must end in one of {', '.join(renderings)}")
    return rendering


def _save(rendering: Rendering, report: Content, arguments: Namespace) -> None:
    with input_errors():  # a report may be too long for its format
        printed = rendering.render(report)
    write_whole(arguments.output, printed)


def _photo(arguments: Namespace) -> str | None:
    """Return the photo as it stands in a request: in base64."""
    if getattr(arguments, "photo", None) is None:
        return None
    with usage_errors():
        return b64encode(arguments.photo.read_bytes()).decode()
