"""The commands of the program, and its entry point.

The module of a command declares its options and runs it. It is imported when the command is asked for, so the help of
the program, and a command that needs no database or web framework, do not wait for them.
"""

import os
import sys
from collections.abc import Sequence
from importlib.metadata import version
from typing import NamedTuple

from hitchworth.cli.command_parser import CommandParser, add_command
from hitchworth.cli.exit_codes import INVALID_INPUT, OK, USAGE_ERROR, InputError, UsageError


class Entry(NamedTuple):
    """A command: its name, what it is for, and the MODULE:FUNCTION that declares its options."""

    name: str
    purpose: str
    declared_in: str


ENTRIES = (
    Entry("demo", "serve the API, appraise a fictional build and write its sheet", "demo:add_options"),
    Entry("serve", "serve the API until interrupted", "serve:add_options"),
    Entry("migrate", "bring the tables of a database up to this release", "migrate:add_options"),
    Entry("backup", "write one state of a database into a file, also while it is served", "database:add_backup"),
    Entry("restore", "copy a backup into a database that holds nothing, and verify it", "database:add_restore"),
    Entry("copy-database", "copy a database into one that holds nothing", "database:add_copy"),
    Entry("export", "write everything of a workspace into a ZIP file", "database:add_export"),
    Entry("keys", "make, list, rotate and revoke keys", "keys:add_options"),
    Entry("workspaces", "make, list and delete workspaces", "database:add_workspaces"),
    Entry("builds", "keep builds: add, change, list, compare and verify them", "builds:add_options"),
    Entry("estimate", "value every line of a build", "computations:add_options"),
    Entry("classify", "compare the registered class with how the trailer is used", "computations:add_options"),
    Entry("settle", "settle losses under policies, step by step", "computations:add_options"),
    Entry(
        "gap",
        "value the build, compare the class, settle each loss, and rank the questions",
        "computations:add_options",
    ),
    Entry("curve", "value a build on a series of dates and compare a limit with it", "computations:add_options"),
    Entry(
        "compare",
        "compare two documents: what changed, in words, and what that changes of the values",
        "computations:add_options",
    ),
    Entry("sales", "adjust comparable sales to the build and weigh them with its cost", "computations:add_options"),
    Entry("protect", "check the protection measures and circuits of a build", "computations:add_options"),
    Entry("quote", "quote a build as a workshop prices it", "computations:add_options"),
    Entry("import", "add receipts or hours from a file to a document", "imports:add_options"),
    Entry("workbook", "write a workbook: to fill in, or with its results", "workbook:add_options"),
    Entry("sheet", "write the conversation sheet", "reports:add_sheet"),
    Entry("report", "write another report, or all of them", "reports:add_report"),
    Entry("letter", "write a letter to the insurer or the registering authority", "reports:add_letter"),
)


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code."""
    try:
        arguments = build_parser().parse_args(argv)
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


def build_parser(*, whole: bool = False) -> CommandParser:
    """Return the parser of the program; `whole`: with the options of every command, not only of the one that is parsed.

    A command has its own name as `command` among its arguments.
    """
    parser = CommandParser(
        prog="hitchworth",
        description="What a camping trailer costs to replace, what its insurance would pay, and what to ask first.",
    )
    parser.add_argument("--version", action="version", version=f"hitchworth {version('hitchworth')}")
    subparsers = parser.add_subparsers(title="commands", dest="command", metavar="COMMAND", required=True)
    for entry in ENTRIES:
        command = add_command(subparsers, entry.name, entry.purpose, entry.declared_in)
        if whole:
            command.declare()
    return parser
