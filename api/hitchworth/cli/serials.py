"""`hitchworth serials`: the register of serial numbers of documents, and a number looked up in files or kept builds."""

from argparse import ArgumentParser, Namespace
from collections.abc import Sequence

import msgspec

from hitchworth.cli import computations, settings
from hitchworth.cli.build_sources import build_source
from hitchworth.cli.documentation_tables import register_report, search_report
from hitchworth.cli.exit_codes import UsageError
from hitchworth.cli.options import DOCUMENT, add_date, add_format, add_locale, add_quiet, add_workspace, value_of
from hitchworth.cli.request_file import documents_in, input_errors, request_from_file
from hitchworth.cli.terminal import show_csv, show_json, show_result
from hitchworth.localization.localizer import localizer_for
from hitchworth.model.request import SerialNumberRequest
from hitchworth.model.serial_numbers import NumberSearch, SearchedNumber
from hitchworth.operations import result_tables
from hitchworth.operations.serial_numbers import create_serial_number_register, find_in_document
from hitchworth.operations.tables import FilledTable

REGISTER = computations.Command(
    "serials", SerialNumberRequest, create_serial_number_register, register_report, result_tables.SERIAL_NUMBERS
)
_IN_BUILDS = ""
"""The place of what was found among kept builds: each number names its build."""


def add_options(parser: ArgumentParser) -> None:
    """Add the options of `hitchworth serials`."""
    parser.add_argument(
        "files",
        metavar="FILE",
        nargs="*",
        help=f"{DOCUMENT}. None with --find: the kept builds",
    )
    parser.add_argument(
        "--find",
        type=value_of(SearchedNumber),
        metavar="NUMBER",
        help="look this number up; spaces, dashes, case, O for 0, I and l for 1 are forgiven",
    )
    add_date(parser)
    add_locale(parser)
    add_format(parser)
    settings.add_options(parser, "database")
    add_workspace(parser)
    parser.add_argument("--server", metavar="URL", help="a server that makes the register, or keeps the builds")
    parser.add_argument("--key", metavar="KEY", help="the key for the server; default: the variable HITCHWORTH_KEY")
    add_quiet(parser)
    parser.set_defaults(run=run, table=None)


def run(arguments: Namespace) -> None:
    """Print the register of each file, or what is like the number that is looked up."""
    if arguments.find is not None:
        _show(arguments, _searches(arguments))
    elif arguments.files:
        computations.run(REGISTER, arguments)
    else:
        raise UsageError("name a FILE, or with --find NUMBER also --database WHERE or --server URL")


def _searches(arguments: Namespace) -> Sequence[tuple[str, NumberSearch]]:
    """Return what was found in each file, or among the kept builds. Raises InputError for the first faulty file."""
    if not arguments.files:
        with build_source(arguments) as source, input_errors():
            return [(_IN_BUILDS, source.find_number(arguments.find, arguments.locale or "en-US"))]
    if arguments.database or arguments.server:
        raise UsageError("--find looks into files or into kept builds: name FILE, or --database or --server")
    found = []
    for file in documents_in(arguments.files):
        request = request_from_file(SerialNumberRequest, arguments, file)
        with input_errors(file):
            found.append((file, find_in_document(request, arguments.find)))
    return found


def _show(arguments: Namespace, searches: Sequence[tuple[str, NumberSearch]]) -> None:
    match arguments.format:
        case "json":
            results: list[object] = [{"file": file, "result": search} for file, search in searches]
            show_json(msgspec.json.encode(searches[0][1] if len(searches) == 1 else results))
        case "csv":
            (table,) = result_tables.FOUND_NUMBERS
            rows = tuple(item for _, search in searches for item in search.items)
            files = [file for file, search in searches for _ in search.items]
            filled = FilledTable(record=table.record, rows=rows, locale=searches[0][1].locale)
            show_csv(filled, first=("file", files) if len(searches) > 1 else None)
        case _:
            show_result(search_report(searches, localizer_for(searches[0][1].locale)))
