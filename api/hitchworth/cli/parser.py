"""The parser of the program, and its entry point.

The module of a command declares its options and runs it. It is imported when the command is asked for, so the help of
the program, and a command that needs no database or web framework, do not wait for them.
"""

import os
import sys
from argparse import Action, ArgumentParser
from collections.abc import Sequence
from itertools import chain
from shutil import get_terminal_size
from textwrap import fill

from hitchworth.cli.command_parser import CommandParser, add_command
from hitchworth.cli.commands import ENTRIES
from hitchworth.cli.encodings import prepare_streams
from hitchworth.cli.exit_codes import INTERRUPTED, INVALID_INPUT, MEANINGS, OK, USAGE_ERROR, InputError, UsageError
from hitchworth.extras import MissingExtraError


class _Version(Action):
    """Prints the release. It is looked up only then: no command waits for it."""

    def __call__(self, parser: ArgumentParser, *_: object) -> None:
        from importlib.metadata import version  # noqa: PLC0415

        print(f"{parser.prog} {version('hitchworth')}")
        parser.exit()


class _Program(CommandParser):
    """The parser of the program, whose help lists the commands by what they are about."""

    def format_help(self) -> str:
        """Return the help."""
        width = get_terminal_size().columns - 2
        parts = [f"Usage: {self.prog} COMMAND ...", fill(str(self.description), width)]
        for title, entries in ENTRIES.items():
            lines = (_in_two_columns(entry.name, entry.purpose, width) for entry in entries)
            parts.append("\n".join((f"{title[0].upper()}{title[1:]}:", *lines)))
        codes = (_in_two_columns(str(code), meaning, width) for code, meaning in MEANINGS.items())
        parts.append("\n".join(("Exit codes:", *codes)))
        parts.append(fill(f"{self.prog} COMMAND --help describes a command; {self.prog} --version the release.", width))
        return "\n\n".join(parts) + "\n"


def _in_two_columns(name: str, text: str, width: int) -> str:
    return fill(text, width, initial_indent=f"  {name:<14}", subsequent_indent=" " * 16)


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code."""
    prepare_streams()
    arguments = build_parser().parse_args(argv)
    try:
        arguments.run(arguments)
    except BrokenPipeError:  # the reader of the output has closed it
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    except KeyboardInterrupt:
        return INTERRUPTED
    except InputError as error:
        _tell(error, as_json=getattr(arguments, "format", None) == "json")
        return INVALID_INPUT
    except (UsageError, MissingExtraError) as error:
        print(f"hitchworth: {error}", file=sys.stderr)
        return USAGE_ERROR
    return OK


def _tell(error: InputError, *, as_json: bool) -> None:
    """Print what is wrong with the input; as JSON it takes the place of the result."""
    if error.is_told:
        return
    if not as_json:
        print(error, file=sys.stderr)
        return
    from msgspec import json  # noqa: PLC0415  (the help does not wait for it)

    from hitchworth.cli.terminal import show_json  # noqa: PLC0415

    show_json(json.encode(error.as_record()))


def add_help(parser: CommandParser) -> None:
    """Add the options of `hitchworth help`."""
    parser.add_argument("about", nargs="*", metavar="COMMAND", help="a command, and an action of it; none: the program")
    parser.set_defaults(run=lambda arguments: build_parser().parse_args([*arguments.about, "--help"]))


def build_parser(*, whole: bool = False) -> CommandParser:
    """Return the parser of the program; `whole`: with the options of every command, not only of the one that is parsed.

    A command has its own name as `command` among its arguments.
    """
    parser = _Program(
        prog="hitchworth",
        description="What a camping trailer costs to replace, what its insurance would pay, and what to ask first.",
    )
    parser.add_argument("--version", action=_Version, nargs=0, help="show the release and exit")
    subparsers = parser.add_subparsers(dest="command", metavar="COMMAND", required=True, parser_class=CommandParser)
    for entry in chain.from_iterable(ENTRIES.values()):
        command = add_command(subparsers, *entry)
        if whole:
            command.declare()
    return parser
