"""`hitchworth macro`: write the macro of a spreadsheet program, to be installed there."""

import sys
from argparse import ArgumentParser, Namespace
from pathlib import Path
from typing import get_args

from hitchworth.cli.exit_codes import UsageError
from hitchworth.cli.options import add_force, add_locale, add_quiet
from hitchworth.cli.written_files import require_leave, tell_written, write_whole
from hitchworth.model.macro import MacroProgram
from hitchworth.operations.macros import DEFAULT_SERVER, ServerAddress, get_macro
from hitchworth.validation import InvalidInputError, read_text


def add_options(parser: ArgumentParser) -> None:
    """Add the options of `hitchworth macro`."""
    programs = get_args(MacroProgram)
    parser.add_argument("program", metavar="PROGRAM", choices=programs, help=", ".join(programs))
    parser.add_argument(
        "--server", metavar="URL", default=DEFAULT_SERVER, help="the server that it asks; default: %(default)s"
    )
    parser.add_argument("-o", "--output", type=Path, metavar="OUT", help="the file to write; default: the terminal")
    add_locale(parser)
    parser.add_argument(
        "--currency",
        metavar="CODE",
        help="the currency of the amounts in a table of receipts, as GBP; default: by their signs or codes, else that "
        "of the locale",
    )
    add_force(parser)
    add_quiet(parser)
    parser.set_defaults(run=run)


def run(arguments: Namespace) -> None:
    """Write the macro, not over a file that is there already unless it is told to."""
    try:
        server = read_text(arguments.server.rstrip("/"), ServerAddress)
    except InvalidInputError:
        raise UsageError(f"--server {arguments.server}: not an address such as {DEFAULT_SERVER}") from None
    currency = arguments.currency and arguments.currency.upper()
    try:
        macro = get_macro(arguments.program, server, arguments.locale or "en-US", currency)
    except InvalidInputError as error:
        raise UsageError(f"--currency {arguments.currency}: not {error.faults[0].expected}") from None
    if arguments.output is None:
        sys.stdout.write(macro.text)
        return
    require_leave(arguments.output, None, arguments)
    write_whole(arguments.output, macro.text.encode())
    tell_written(arguments.output, arguments.quiet)
