"""`hitchworth workbook`: write a workbook to fill in, a document as a workbook, or a workbook with its results."""

from argparse import ArgumentParser, Namespace

from hitchworth.cli.exit_codes import InputError, UsageError
from hitchworth.cli.options import add_date, add_force, add_locale, add_output, add_quiet
from hitchworth.cli.request_file import file_content, input_errors, is_workbook, request_in
from hitchworth.cli.terminal import waiting, warn
from hitchworth.cli.written_files import refuse_losing, require_leave, tell_written, write_whole
from hitchworth.model.request import GapRequest
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
    add_force(parser)
    add_quiet(parser)
    parser.set_defaults(run=run)


def run(arguments: Namespace) -> None:
    """Write the workbook into a file whose name chooses the format.

    Unasked only over the file that is read, and only where nothing in it is lost; over anything with --force.
    """
    renderings = {f".{rendering.name}": rendering for rendering in AS_WORKBOOK}
    rendering = renderings.get(arguments.output.suffix.lower())
    if rendering is None:
        raise UsageError(f"{arguments.output} must end in one of {', '.join(renderings)}")
    require_leave(arguments.output, arguments.file, arguments)
    with waiting(f"workbook: {arguments.output}", arguments.quiet):
        workbook = _workbook(arguments)
        if not arguments.force:
            refuse_losing(arguments.output, arguments.file, workbook.lost)
        write_whole(arguments.output, rendering.render(workbook))
    tell_written(arguments.output, arguments.quiet)
    for line in workbook.lost:
        warn(line)
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
        document = request_in(content, GapRequest, arguments, arguments.file, as_written=True)
        with input_errors(arguments.file):
            return workbook_of(document)
    try:
        with input_errors(arguments.file, prefix=f"{arguments.file}: "):
            return fill_workbook(content, arguments.locale, arguments.as_of, arguments.mark_faults)
    except UnreadableFileError as error:
        raise InputError(f"{arguments.file}: {error}") from None
