"""`hitchworth convert`: a document in another format, as in JSON for the API."""

from argparse import ArgumentParser, Namespace
from pathlib import Path

from hitchworth.cli.document_files import document_bytes, require_document_name
from hitchworth.cli.options import add_document, add_force, add_quiet
from hitchworth.cli.request_file import file_content, request_in
from hitchworth.cli.terminal import show_json
from hitchworth.cli.written_files import require_leave, tell_written, write_whole
from hitchworth.model.request import GapRequest
from hitchworth.operations.documents import canonical


def add_options(parser: ArgumentParser) -> None:
    """Add the options of `hitchworth convert`."""
    add_document(parser)
    parser.add_argument(
        "-o", "--output", type=Path, metavar="OUT", help="the file to write, in the format of its name; default: JSON"
    )
    add_force(parser)
    add_quiet(parser)
    parser.set_defaults(run=run)


def run(arguments: Namespace) -> None:
    """Write the document in the format of the file's name, or print it as JSON; comments are left behind.

    Unasked over no other file, and not over the one that is read either: it would lose its comments.
    """
    if arguments.output is not None:
        require_document_name(arguments.output, "--output")
        require_leave(arguments.output, None, arguments)
    document = request_in(file_content(arguments.file), GapRequest, arguments, arguments.file, as_written=True)
    if arguments.output is None:
        show_json(canonical(document))
        return
    write_whole(arguments.output, document_bytes(document, document.as_of, arguments.output))
    tell_written(arguments.output, arguments.quiet)
