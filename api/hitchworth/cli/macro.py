"""`hitchworth macro`: write the macro of a spreadsheet program, to be installed there."""

import sys
from argparse import ArgumentParser, Namespace
from pathlib import Path
from typing import get_args

from hitchworth.cli.exit_codes import UsageError
from hitchworth.cli.written_files import refuse_overwriting, write_whole
from hitchworth.model.macro import MacroProgram
from hitchworth.operations.macros import DEFAULT_SERVER, ServerAddress, get_macro
from hitchworth.validation import InvalidInputError, read_text


def add_options(parser: ArgumentParser) -> None:
    """Add the options of the command. That of the locale is every command's."""
    programs = get_args(MacroProgram)
    parser.add_argument("program", metavar="PROGRAM", choices=programs, help=", ".join(programs))
    parser.add_argument(
        "--server", metavar="URL", default=DEFAULT_SERVER, help="the server that it asks; default: %(default)s"
    )
    parser.add_argument("-o", "--output", type=Path, metavar="OUT", help="the file to write; default: the terminal")
    parser.add_argument("--force", action="store_true", help="write over a file that is there already")
    parser.set_defaults(run=run)


def run(arguments: Namespace) -> None:
    """Write the macro, not over a file that is there already unless it is told to."""
    try:
        server = read_text(arguments.server.rstrip("/"), ServerAddress)
    except InvalidInputError:
        raise UsageError(f"--server {arguments.server}: not an address such as {DEFAULT_SERVER}") from None
    macro = get_macro(arguments.program, server, arguments.locale or "en-US")
    if arguments.output is None:
        sys.stdout.write(macro.text)
        return
    if not arguments.force:
        refuse_overwriting(arguments.output, None)
    write_whole(arguments.output, macro.text.encode())
