"""`hitchworth workbook`: write a workbook to fill in, a document as a workbook, or a workbook with its results."""

import sys
from argparse import ArgumentParser, Namespace

from hitchworth.cli.exit_codes import InputError, UsageError
from hitchworth.cli.options import add_date, add_locale, add_output
from hitchworth.cli.request_file import document_from_content, file_content, input_errors, is_workbook
from hitchworth.cli.written_files import refuse_losing, refuse_overwriting, write_whole
from hitchworth.operations.renderings import AS_WORKBOOK
from hitchworth.operations.workbooks import (
    UnreadableFileError,
    Workbook,
    fill_workbook,
    get_workbook_template,
    workbook_of,
)


def add_options(parser: ArgumentParser) -> None:
    """Add the options of `hitchworth workbook`."""
    parser.add_argument(
        "file", nargs="?", metavar="FILE", help="a document, or a workbook that was filled in; none: an empty workbook"
    )
    parser.add_argument("--demo", action="store_true", help="the fictional build of the demo")
    parser.add_argument("--mark-faults", action="store_true", help="write wrong cells marked, instead of naming them")
    add_date(parser)
    add_locale(parser)
    add_output(parser, "a .xlsx or .ods file")
    parser.add_argument("--force", action="store_true", help="write over a file that is there already")
    parser.set_defaults(run=run)


def run(arguments: Namespace) -> None:
    """Write the workbook into a file whose name chooses the format.

    Only over the file that is read, and only where nothing in it is lost; over anything with --force.
    """
    renderings = {f".{rendering.name}": rendering for rendering in AS_WORKBOOK}
    rendering = renderings.get(arguments.output.suffix.lower())
    if rendering is None:
        raise UsageError(f"{arguments.output} must end in one of {', '.join(renderings)}")
    if not arguments.force:
        refuse_overwriting(arguments.output, arguments.file)
    workbook = _workbook(arguments)
    if not arguments.force:
        refuse_losing(arguments.output, arguments.file, workbook.lost)
    write_whole(arguments.output, rendering.render(workbook))
    for line in workbook.lost:
        print(f"hitchworth: {line}", file=sys.stderr)
    if workbook.fault_count:
        raise InputError(f"{arguments.output} has the wrong cells marked and listed: {workbook.fault_count:,}")


def _workbook(arguments: Namespace) -> Workbook:
    """Return what was asked for: an empty workbook, the demo, or the file with its results."""
    if arguments.file is None:
        return get_workbook_template(arguments.locale or "en-US", arguments.demo)
    if arguments.demo:
        raise UsageError("--demo takes the place of FILE")
    content = file_content(arguments.file)
    if not is_workbook(content):
        document = document_from_content(content, arguments)
        with input_errors():
            return workbook_of(document)
    try:
        with input_errors(f"{arguments.file}: "):
            return fill_workbook(content, arguments.locale, arguments.as_of, arguments.mark_faults)
    except UnreadableFileError as error:
        raise InputError(f"{arguments.file}: {error}") from None
