"""The parser of the command line and its entry point.

`demo`, `serve` and `migrate` are imported when they run: only `serve` and `demo` need the web framework, only `demo`
the SDK, and only `serve` and `migrate` the database.
"""

import argparse
import os
import sys
from collections.abc import Callable, Sequence
from datetime import date, datetime
from functools import partial
from importlib import import_module
from importlib.metadata import version
from pathlib import Path
from typing import cast, get_args

from hitchworth import validation
from hitchworth.cli import commands, reports
from hitchworth.cli.exit_codes import INVALID_INPUT, OK, USAGE_ERROR, InputError, UsageError
from hitchworth.cli.settings import add_options
from hitchworth.model.access import GraceSeconds, Instant
from hitchworth.model.caller import DEFAULT_WORKSPACE, Scope
from hitchworth.model.document import Locale
from hitchworth.model.strings import Identifier
from hitchworth.reports.catalog import ReportName
from hitchworth.reports.letters import LetterName

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
    _add_database_commands(subparsers)
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
    add_options(parser)
    parser.set_defaults(run=partial(_import_and_run, "serve"))


def _add_migrate_options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--database", metavar="WHERE", required=True, help=_WHERE)
    parser.set_defaults(run=partial(_import_and_run, "migrate"))


def _add_database_commands(subparsers: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    backup = _add_command(subparsers, "backup", "write one state of a database into a file, also while it is served")
    _add_file(backup, "run_backup", "the SQLite file to make")
    restore = _add_command(subparsers, "restore", "copy a backup into a database that holds nothing, and verify it")
    _add_file(restore, "run_restore", "the backup")
    copy = _add_command(subparsers, "copy-database", "copy a database into one that holds nothing")
    copy.add_argument("source", metavar="FROM", help=_WHERE)
    copy.add_argument("target", metavar="TO", help=_WHERE)
    copy.set_defaults(run=partial(_import_and_run, "database", function="run_copy"))
    export = _add_command(subparsers, "export", "write everything of a workspace into a ZIP file")
    _add_file(export, "run_export", "the ZIP file to make")
    _add_workspace(export)
    _add_keys_options(_add_command(subparsers, "keys", "make, list, rotate and revoke keys"))
    _add_workspaces_options(_add_command(subparsers, "workspaces", "make, list and delete workspaces"))


def _add_file(parser: argparse.ArgumentParser, function: str, purpose: str) -> None:
    parser.add_argument("file", metavar="FILE", type=Path, help=purpose)
    add_options(parser, "database")
    parser.set_defaults(run=partial(_import_and_run, "database", function=function))


def _add_keys_options(parser: argparse.ArgumentParser) -> None:
    actions = parser.add_subparsers(title="actions", dest="action", metavar="ACTION", required=True)
    create = _add_key_action(actions, "create", "make a key, and show it this once")
    create.add_argument("name", type=_name, metavar="NAME", help="who will use it: the name in every history")
    create.add_argument("--scope", choices=get_args(Scope), default="write", help="default: %(default)s")
    create.add_argument("--expires-at", type=_time, metavar="TIME", help="as 2027-11-27T00:00:00Z; default: never")
    _add_key_action(actions, "list", "list the keys, without their secrets", "list_all")
    rotate = _add_key_action(actions, "rotate", "replace a key by a new one")
    rotate.add_argument("key", metavar="KEY", help="the public part of the key")
    rotate.add_argument(
        "--grace-seconds", type=_seconds, default=0, metavar="N", help="how long the old key stays valid; default: 0"
    )
    _add_key_action(actions, "revoke", "end a key at once").add_argument(
        "key", metavar="KEY", help="the public part of the key"
    )


def _add_key_action(
    actions: "argparse._SubParsersAction[argparse.ArgumentParser]", name: str, purpose: str, function: str = ""
) -> argparse.ArgumentParser:
    action = _add_command(actions, name, purpose)
    add_options(action, "database")
    _add_workspace(action)
    action.set_defaults(run=partial(_import_and_run, "keys", function=function or name))
    return action


def _add_workspaces_options(parser: argparse.ArgumentParser) -> None:
    actions = parser.add_subparsers(title="actions", dest="action", metavar="ACTION", required=True)
    for name, purpose in (
        ("create", "make a workspace"),
        ("list", "list all workspaces"),
        ("delete", "delete a workspace and everything in it"),
    ):
        action = _add_command(actions, name, purpose)
        add_options(action, "database")
        action.set_defaults(run=partial(_import_and_run, "database", function="run_workspace"))
        if name != "list":
            action.add_argument("name", type=_name, metavar="NAME", help="name of the workspace")
        if name == "delete":
            action.add_argument("--confirm", metavar="NAME", help="the name once more, to say that it is meant")


def _add_workspace(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--workspace", default=DEFAULT_WORKSPACE, metavar="NAME", help="default: %(default)s")


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


def _import_and_run(module: str, arguments: argparse.Namespace, function: str = "run") -> None:
    getattr(import_module(f"hitchworth.cli.{module}"), function)(arguments)


def _name(text: str) -> str:
    return cast("str", _parse(text, Identifier))


def _time(text: str) -> datetime:
    return cast("datetime", _parse(text, Instant))


def _seconds(text: str) -> int:
    return cast("int", _parse(text, GraceSeconds))


def _date(text: str) -> date:
    return cast("date", _parse(text, date))


def _locale(text: str) -> str:
    return cast("str", _parse(text, Locale))


def _parse(text: str, kind: object) -> object:
    try:
        return validation.read_text(text, kind)
    except validation.InvalidInputError as error:
        raise argparse.ArgumentTypeError(f"{text} is invalid; expected: {error.faults[0].expected}") from None
