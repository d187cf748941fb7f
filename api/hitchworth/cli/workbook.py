"""`hitchworth workbook`: write a workbook to fill in, a document as a workbook, or a workbook with its results."""

from argparse import Namespace

from hitchworth.cli.exit_codes import InputError, UsageError, usage_errors
from hitchworth.cli.request_file import document_from_content, file_content, input_errors, is_workbook
from hitchworth.operations.renderings import AS_WORKBOOK
from hitchworth.operations.workbooks import (
    UnreadableFileError,
    Workbook,
    fill_workbook,
    get_workbook_template,
    workbook_of,
)


def run(arguments: Namespace) -> None:
    """Write the workbook into a file whose name chooses the format."""
    renderings = {f".{rendering.name}": rendering for rendering in AS_WORKBOOK}
    rendering = renderings.get(arguments.output.suffix.lower())
    if rendering is None:
        raise UsageError(f"{arguments.output} must end in one of {', '.join(renderings)}")
    workbook = _workbook(arguments)
    content = rendering.render(workbook)
    with usage_errors():
        arguments.output.write_bytes(content)
    if workbook.fault_count:
        raise InputError(f"{arguments.output} has the wrong cells marked and listed: {workbook.fault_count:,}")


def _workbook(arguments: Namespace) -> Workbook:
    """Return what was asked for: an empty workbook, the demo, or the file with its results."""
    if arguments.file is None:
        if arguments.output.exists():
            raise UsageError(f"{arguments.output} exists already; an empty workbook would take its place")
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
