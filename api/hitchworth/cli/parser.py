"""The parser of the command line and its entry point.

`demo`, `serve` and `migrate` are imported when they run: only `serve` and `demo` need the web framework, only `demo`
the SDK, and only `serve` and `migrate` the database.
"""

import argparse
import os
import sys
from collections.abc import Callable, Sequence
from datetime import date
from functools import partial
from importlib import import_module
from importlib.metadata import version
from pathlib import Path
from typing import cast, get_args

from hitchworth import validation
from hitchworth.cli import commands, reports
from hitchworth.cli.exit_codes import INVALID_INPUT, OK, USAGE_ERROR, InputError, UsageError
from hitchworth.model.document import Locale
from hitchworth.reports.catalog import ReportName
from hitchworth.reports.letters import LetterName

MAX_PORT = 65_535
_WHERE = "the path of a file, or postgresql://USER@HOST/NAME"


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code."""
    arguments = build_parser().parse_args(argv)
    try:
        arguments.run(arguments)
    except BrokenPipeError:  # the reader of the output has closed it
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    except InputError as error:
        print(error, file=sys.stderr)
        return INVALID_INPUT
    except UsageError as error:
        print(f"hitchworth: {error}", file=sys.stderr)
        return USAGE_ERROR
    return OK


def build_parser() -> argparse.ArgumentParser:
    """Return the parser of all commands."""
    parser = argparse.ArgumentParser(
        prog="hitchworth",
        description="What a camping trailer costs to replace, what its insurance would pay, and what to ask first.",
    )
    parser.add_argument("--version", action="version", version=f"hitchworth {version('hitchworth')}")
    subparsers = parser.add_subparsers(title="commands", dest="command", metavar="COMMAND", required=True)
    _add_demo_options(_add_command(subparsers, "demo", "serve the API, appraise a fictional build and write its sheet"))
    _add_serve_options(_add_command(subparsers, "serve", "serve the API until interrupted"))
    _add_migrate_options(_add_command(subparsers, "migrate", "bring the tables of a database up to this release"))
    for command in commands.COMMANDS:
        _add_appraisal_options(_add_command(subparsers, command.name, command.help), command)
    _add_report_options(_add_command(subparsers, "sheet", "write the conversation sheet"), reports.run_sheet)
    other = _add_command(subparsers, "report", "write another report, or all of them")
    other.add_argument("report", metavar="NAME", choices=get_args(ReportName), help=", ".join(get_args(ReportName)))
    _add_report_options(other, reports.run_report)
    letter = _add_command(subparsers, "letter", "write a letter to the insurer or the registering authority")
    letter.add_argument("letter", metavar="NAME", choices=get_args(LetterName), help=", ".join(get_args(LetterName)))
    _add_page_options(letter, "a .txt or .docx file")
    letter.set_defaults(run=reports.run_letter)
    return parser


def _add_command(
    subparsers: "argparse._SubParsersAction[argparse.ArgumentParser]", name: str, purpose: str
) -> argparse.ArgumentParser:
    return subparsers.add_parser(name, help=purpose, description=f"{purpose[0].upper()}{purpose[1:]}.")


def _add_demo_options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--output", type=Path, default=Path("demo-output"), metavar="DIR", help="default: %(default)s")
    _add_date(parser)
    _add_locale(parser)
    parser.set_defaults(run=partial(_import_and_run, "demo"))


def _add_serve_options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--host", default="127.0.0.1", help="default: %(default)s, this machine only")
    parser.add_argument("--port", type=_port, default=8000, help="default: %(default)s")
    parser.add_argument("--database", metavar="WHERE", help=f"where builds are kept: {_WHERE}; default: nowhere")
    parser.set_defaults(run=partial(_import_and_run, "serve"))


def _add_migrate_options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--database", metavar="WHERE", required=True, help=_WHERE)
    parser.set_defaults(run=partial(_import_and_run, "migrate"))


def _add_appraisal_options(parser: argparse.ArgumentParser, command: commands.Command) -> None:
    alone = ", or a build alone" if command.needs_only_build else ""
    parser.add_argument("file", metavar="FILE", help=f"the request in JSON{alone}; - for standard input")
    if command.has_date:
        _add_date(parser)
    _add_locale(parser)
    parser.add_argument("--format", choices=("table", "json", "csv"), default="table", help="default: %(default)s")
    parser.set_defaults(run=partial(commands.run, command))


def _add_report_options(parser: argparse.ArgumentParser, run: Callable[[argparse.Namespace], None]) -> None:
    _add_page_options(parser, "a .html, .pdf, .docx or .md file")
    parser.add_argument("--photo", type=Path, metavar="IMAGE", help="a photo of the trailer: JPEG, PNG or WebP")
    parser.set_defaults(run=run)


def _add_page_options(parser: argparse.ArgumentParser, files: str) -> None:
    parser.add_argument("file", metavar="FILE", help="the request in JSON; - for standard input")
    _add_date(parser)
    _add_locale(parser)
    parser.add_argument(
        "--for-policy", metavar="NAME", help="the policy it is about; default: the one with the most money at stake"
    )
    parser.add_argument("-o", "--output", type=Path, required=True, metavar="OUT", help=files)


def _add_date(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--as-of", type=_date, metavar="DATE", help="valuation date, as 2026-11-01; default: that of the request"
    )


def _add_locale(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--locale", type=_locale, metavar="TAG", help="language and region of the texts: en-US, de-DE")


def _import_and_run(module: str, arguments: argparse.Namespace) -> None:
    import_module(f"hitchworth.cli.{module}").run(arguments)


def _port(text: str) -> int:
    if not text.isdecimal() or int(text) > MAX_PORT:
        raise argparse.ArgumentTypeError(f"{text} is not a port: a whole number from 0 to {MAX_PORT}")
    return int(text)


def _date(text: str) -> date:
    return cast("date", _parse(text, date))


def _locale(text: str) -> str:
    return cast("str", _parse(text, Locale))


def _parse(text: str, kind: object) -> object:
    try:
        return validation.read_text(text, kind)
    except validation.InvalidInputError as error:
        raise argparse.ArgumentTypeError(f"{text} is invalid; expected: {error.faults[0].expected}") from None
