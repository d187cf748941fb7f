"""The parser of the command line and its entry point.

`demo`, `serve`, `builds` and what opens a database are imported when they run: only `serve` and `demo` need the web
framework, only `demo` and `builds --server` the SDK, and no other command needs the database.
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
from hitchworth.cli import commands, imports, reports, workbook
from hitchworth.cli.exit_codes import INVALID_INPUT, OK, USAGE_ERROR, InputError, UsageError
from hitchworth.cli.settings import add_options
from hitchworth.model.access import GraceSeconds, Instant
from hitchworth.model.build import EvidenceGrade
from hitchworth.model.caller import DEFAULT_WORKSPACE, Scope
from hitchworth.model.document import Locale
from hitchworth.model.evidence import EvidenceKind
from hitchworth.model.kept import RevisionNumber
from hitchworth.model.numbers import Amount
from hitchworth.model.receipt_import import (
    AmountSign,
    DateOrder,
    DecimalMark,
    Delimiter,
    Difference,
    Encoding,
    ImportKind,
    TaxInAmount,
)
from hitchworth.model.strings import Identifier, ShortText
from hitchworth.reports.catalog import ReportName
from hitchworth.reports.letters import LetterName
from hitchworth.reports.quote_catalog import QuoteReportName

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
    _add_builds_options(_add_command(subparsers, "builds", "keep builds: add, change, list, compare and verify them"))
    _add_evidence_options(_add_command(subparsers, "evidence", "add, list and collect photos and papers of builds"))
    for command in commands.COMMANDS:
        _add_appraisal_options(_add_command(subparsers, command.name, command.help), command)
    _add_import_options(_add_command(subparsers, "import", "add receipts or hours from a file to a document"))
    _add_workbook_options(_add_command(subparsers, "workbook", "write a workbook: to fill in, or with its results"))
    _add_report_options(_add_command(subparsers, "sheet", "write the conversation sheet"), reports.run_sheet)
    other = _add_command(subparsers, "report", "write another report, or all of them")
    names = (*get_args(ReportName), *get_args(QuoteReportName))
    other.add_argument("report", metavar="NAME", choices=names, help=", ".join(names))
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


def _add_builds_options(parser: argparse.ArgumentParser) -> None:
    actions = parser.add_subparsers(title="actions", dest="action", metavar="ACTION", required=True)
    listed = _add_build_action(actions, "list", "list the kept builds, the last changed first", function="list_builds")
    listed.add_argument("--name", type=_short_text, metavar="TEXT", help="only builds whose name contains it")
    listed.add_argument("--trashed", action="store_true", help="the builds in the trash instead")
    _add_format(listed)
    show = _add_build_action(actions, "show", "print the document of a build", "build")
    show.add_argument("--revision", type=_revision, metavar="N", help="as this revision had it; default: as it is now")
    _add_document(_add_build_action(actions, "add", "keep the document of a file as a new build", change=True))
    replace = _add_build_action(actions, "replace", "replace the document of a build", "build", change=True)
    _add_document(replace)
    replace.add_argument("--revision", type=_revision, metavar="N", help="only if the build is at this revision")
    _add_format(_add_build_action(actions, "history", "list the revisions of a build, the newest first", "build"))
    restore = _add_build_action(actions, "restore", "restore an earlier revision as a new one", "build", change=True)
    restore.add_argument("restored", type=_revision, metavar="REVISION", help="the revision to restore")
    _add_build_action(actions, "trash", "move a build to the trash", "build", change=True)
    _add_build_action(actions, "recover", "take a build out of the trash", "build", change=True)
    verify = _add_build_action(actions, "verify", "verify the history, or a paper by its digest", "build")
    verify.add_argument("--digest", metavar="DIGEST", help="as a report prints it, or of a revision")
    verify.add_argument("--as-of", type=_date, metavar="DATE", help="the valuation date of the report")
    compare = _add_build_action(actions, "compare", "compare two revisions or two dates of a build", "build")
    compare.add_argument("before", nargs="?", metavar="FROM", help="a revision, or a date; default: the last but one")
    compare.add_argument("after", nargs="?", metavar="TO", help="a revision, or a date; default: the last")
    compare.add_argument("--as-of", type=_date, metavar="DATE", help="the valuation date of revisions; default: today")
    _add_format(compare)


def _add_evidence_options(parser: argparse.ArgumentParser) -> None:
    actions = parser.add_subparsers(title="actions", dest="action", metavar="ACTION", required=True)
    added = _add_evidence_action(actions, "add", "add photos and papers, one by one or whole folders")
    added.add_argument("paths", nargs="+", type=Path, metavar="FOLDER|FILE", help="what to add; may be repeated")
    added.add_argument("--build", metavar="ID", help="the id of the build")
    added.add_argument("--into", type=Path, metavar="FILE", help="a document that gets their hashes and names instead")
    added.add_argument(
        "--subject",
        action="append",
        default=[],
        metavar="NAME",
        help="what they are evidence of: the id of a component or labor entry, identification_plate, ownership, "
        "trailer, protection:NAME; may be repeated",
    )
    added.add_argument("--kind", choices=get_args(EvidenceKind), help="what they are")
    listed = _add_evidence_action(actions, "list", "list the evidence of a build", function="list_evidence")
    listed.add_argument("build", metavar="ID", help="the id of the build")
    _add_format(listed)
    collected = _add_command(actions, "collect", "tell which files no revision of any build needs")
    add_options(collected, "database", "evidence")
    collected.add_argument("--delete", action="store_true", help="delete them")
    collected.set_defaults(run=partial(_import_and_run, "evidence", function="collect"))


def _add_evidence_action(
    actions: "argparse._SubParsersAction[argparse.ArgumentParser]", name: str, purpose: str, *, function: str = ""
) -> argparse.ArgumentParser:
    action = _add_build_action(actions, name, purpose)
    add_options(action, "evidence", "max_evidence_bytes", "max_evidence_pixels")
    action.set_defaults(run=partial(_import_and_run, "evidence", function=function or name))
    return action


def _add_build_action(
    actions: "argparse._SubParsersAction[argparse.ArgumentParser]",
    name: str,
    purpose: str,
    *arguments: str,
    function: str = "",
    change: bool = False,
) -> argparse.ArgumentParser:
    """Add an action with where the builds are; a change takes a message for the history."""
    action = _add_command(actions, name, purpose)
    add_options(action, "database")
    _add_workspace(action)
    action.add_argument("--server", metavar="URL", help="a server that keeps them, instead of a database")
    action.add_argument("--key", metavar="KEY", help="the key for the server; default: the variable HITCHWORTH_KEY")
    for argument in arguments:
        action.add_argument(argument, metavar="ID", help="the id of the build")
    if change:
        action.add_argument("--message", type=_short_text, metavar="TEXT", help="why, for the history")
    action.set_defaults(run=partial(_import_and_run, "builds", function=function or name))
    return action


def _add_format(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--format", choices=("table", "json", "csv"), default="table", help="default: %(default)s")


def _add_appraisal_options(parser: argparse.ArgumentParser, command: commands.Command) -> None:
    if command.compares:
        for name, which in (("before", "the first"), ("after", "the second")):
            parser.add_argument(
                name, metavar=name.upper(), help=f"{which} document, in JSON or a workbook; - for standard input"
            )
    else:
        _add_document(parser)
    if command.has_dates:
        _add_dates_and_limit(parser)
    if command.has_date:
        _add_date(parser)
    _add_locale(parser)
    _add_format(parser)
    parser.set_defaults(run=partial(commands.run, command))


def _add_report_options(parser: argparse.ArgumentParser, run: Callable[[argparse.Namespace], None]) -> None:
    _add_page_options(parser, "a .html, .pdf, .docx or .md file")
    parser.add_argument("--photo", type=Path, metavar="IMAGE", help="a photo of the trailer: JPEG, PNG or WebP")
    parser.set_defaults(run=run)


def _add_import_options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("file", metavar="FILE", help="a .csv, .xlsx, .ods or .ics file; - for standard input")
    parser.add_argument(
        "--into", type=Path, required=True, metavar="DOCUMENT", help="the document to add to, created when missing"
    )
    parser.add_argument("--dry-run", action="store_true", help="show the result and write nothing")
    parser.add_argument("--name", help="name of the build in a new document; default: from the document's file name")
    _add_locale(parser)
    declared = parser.add_argument_group("what the file does not say itself")
    declared.add_argument("--as", dest="kind", choices=get_args(ImportKind), help="what the rows are")
    declared.add_argument("--map", action="append", default=[], metavar="HEADER=FIELD", help='as "Paid=unit_cost"')
    declared.add_argument("--set", action="append", default=[], metavar="FIELD=VALUE", help="the same in every row")
    declared.add_argument(
        "--category", action="append", default=[], metavar="WORDS=CATEGORY", help='as "gas struts=fasteners"'
    )
    declared.add_argument("--fill-down", action="append", default=[], metavar="FIELD", help="empty cells repeat")
    declared.add_argument("--date-order", choices=get_args(DateOrder), help="the order of the parts of dates")
    declared.add_argument("--decimal", choices=get_args(DecimalMark), help="what begins the fraction of numbers")
    declared.add_argument("--currency", metavar="CODE", help="currency of the amounts: USD, EUR")
    declared.add_argument("--tax", choices=get_args(TaxInAmount), help="whether amounts include the tax beside them")
    declared.add_argument("--difference", choices=get_args(Difference), help="what a total has more than the price")
    declared.add_argument("--sign", choices=get_args(AmountSign), help="the sign of what was paid")
    declared.add_argument("--evidence", choices=get_args(EvidenceGrade), help="what proves the costs")
    declared.add_argument("--refund", action="append", default=[], metavar="ROW=ROW", help="what a row takes back")
    declared.add_argument(
        "--leave-out", action="append", type=int, default=[], metavar="ROW", help="a row to leave out"
    )
    declared.add_argument("--sheet", metavar="NAME", help="the sheet of a workbook")
    declared.add_argument("--header-row", type=int, metavar="N", help="row of the headers; 0: there are none")
    declared.add_argument("--encoding", choices=get_args(Encoding), help="how letters are written as bytes")
    declared.add_argument("--delimiter", choices=get_args(Delimiter), help="what separates the cells of text")
    declared.add_argument("--words", metavar="WORDS", help="of a calendar: only events with these words")
    parser.set_defaults(run=imports.run)


def _add_workbook_options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "file", nargs="?", metavar="FILE", help="a document, or a workbook that was filled in; none: an empty workbook"
    )
    parser.add_argument("--demo", action="store_true", help="the fictional build of the demo")
    parser.add_argument("--mark-faults", action="store_true", help="write wrong cells marked, instead of naming them")
    _add_date(parser)
    _add_locale(parser)
    parser.add_argument("-o", "--output", type=Path, required=True, metavar="OUT", help="a .xlsx or .ods file")
    parser.add_argument("--force", action="store_true", help="write over a file that is there already")
    parser.set_defaults(run=workbook.run)


def _add_page_options(parser: argparse.ArgumentParser, files: str) -> None:
    _add_document(parser)
    _add_date(parser)
    _add_locale(parser)
    parser.add_argument(
        "--for-policy", metavar="NAME", help="the policy it is about; default: the one with the most money at stake"
    )
    parser.add_argument(
        "--include-unverified",
        action="store_true",
        help="print what was not compared with the published text too, with a mark",
    )
    parser.add_argument("-o", "--output", type=Path, required=True, metavar="OUT", help=files)


def _add_document(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("file", metavar="FILE", help="a document in JSON or as a workbook; - for standard input")


def _add_dates_and_limit(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--on", type=_date, action="append", metavar="DATE", help="a date to value it on; once for each, in order"
    )
    parser.add_argument("--limit", type=_amount, metavar="AMOUNT", help="the limit to compare with the values")


def _add_date(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--as-of",
        type=_date,
        metavar="DATE",
        help="valuation date, as 2026-11-01; default: that in the file, or today",
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


def _revision(text: str) -> int:
    return cast("int", _parse(text, RevisionNumber))


def _short_text(text: str) -> str:
    return cast("str", _parse(text, ShortText))


def _amount(text: str) -> str:
    _parse(text, Amount)
    return text


def _locale(text: str) -> str:
    return cast("str", _parse(text, Locale))


def _parse(text: str, kind: object) -> object:
    try:
        return validation.read_text(text, kind)
    except validation.InvalidInputError as error:
        raise argparse.ArgumentTypeError(f"{text} is invalid; expected: {error.faults[0].expected}") from None
