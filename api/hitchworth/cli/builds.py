"""`hitchworth builds`: kept builds, listed, shown, added, changed, restored and verified."""

from argparse import ArgumentParser, Namespace
from collections.abc import Callable, Iterable, Sequence
from datetime import date
from typing import Any

import msgspec

from hitchworth.cli import settings
from hitchworth.cli.build_sources import build_source
from hitchworth.cli.change_tables import comparison_report
from hitchworth.cli.command_parser import add_actions, add_command
from hitchworth.cli.exit_codes import InputError, UsageError
from hitchworth.cli.layout import word_table
from hitchworth.cli.options import add_document, add_format, add_workspace, value_of
from hitchworth.cli.request_file import document_content, input_errors, malformed, request_body
from hitchworth.cli.terminal import show_csv, show_json, show_result
from hitchworth.localization.localizer import localizer_for
from hitchworth.model.document import Document
from hitchworth.model.kept import BuildEntry, KeptBuild, Revision, RevisionNumber, Verification
from hitchworth.model.kept_quote import QuoteRevision
from hitchworth.model.strings import ShortText
from hitchworth.operations import result_tables
from hitchworth.operations.builds import BuildFilter
from hitchworth.operations.documents import canonical, read_document
from hitchworth.operations.kept_appraisals import Side, Sides
from hitchworth.operations.revisions import DigestText
from hitchworth.operations.tables import FilledTable, filled
from hitchworth.validation import InvalidInputError, read_text


def add_options(parser: ArgumentParser) -> None:
    """Add the actions of `hitchworth builds` with their options."""
    actions = add_actions(parser)
    listed = add_kept_action(actions, list_builds, "list the kept builds, the last changed first")
    listed.add_argument("--name", type=value_of(ShortText), metavar="TEXT", help="only builds whose name contains it")
    listed.add_argument("--trashed", action="store_true", help="the builds in the trash instead")
    add_format(listed)
    shown = add_kept_action(actions, show, "print the document of a build", "build")
    shown.add_argument(
        "--revision", type=value_of(RevisionNumber), metavar="N", help="as this revision had it; default: as it is now"
    )
    add_document(add_kept_action(actions, add, "keep the document of a file as a new build", change=True))
    replacing = add_kept_action(actions, replace, "replace the document of a build", "build", change=True)
    add_document(replacing)
    replacing.add_argument(
        "--revision", type=value_of(RevisionNumber), metavar="N", help="only if the build is at this revision"
    )
    add_format(add_kept_action(actions, history, "list the revisions of a build, the newest first", "build"))
    restoring = add_kept_action(actions, restore, "restore an earlier revision as a new one", "build", change=True)
    restoring.add_argument(
        "restored", type=value_of(RevisionNumber), metavar="REVISION", help="the revision to restore"
    )
    add_kept_action(actions, trash, "move a build to the trash", "build", change=True)
    add_kept_action(actions, recover, "take a build out of the trash", "build", change=True)
    verifying = add_kept_action(actions, verify, "verify the history, or a paper by its digest", "build")
    verifying.add_argument("--digest", metavar="DIGEST", help="as a report prints it, or of a revision")
    verifying.add_argument("--as-of", type=value_of(date), metavar="DATE", help="the valuation date of the report")
    comparing = add_kept_action(actions, compare, "compare two revisions or two dates of a build", "build")
    comparing.add_argument("before", nargs="?", metavar="FROM", help="a revision, or a date; default: the last but one")
    comparing.add_argument("after", nargs="?", metavar="TO", help="a revision, or a date; default: the last")
    comparing.add_argument(
        "--as-of", type=value_of(date), metavar="DATE", help="the valuation date of revisions; default: today"
    )
    add_format(comparing)


def add_kept_action(
    actions: Any, run: Callable[[Namespace], None], purpose: str, *arguments: str, name: str = "", change: bool = False
) -> ArgumentParser:
    """Add an action with where builds and quotes are kept; a change takes a message for the history.

    arguments: build or quote, whose id is asked for. name: that of the action; empty: the first word of the function's.
    """
    action = add_command(actions, name or run.__name__.partition("_")[0], purpose)
    settings.add_options(action, "database")
    add_workspace(action)
    action.add_argument("--server", metavar="URL", help="a server that keeps them, instead of a database")
    action.add_argument("--key", metavar="KEY", help="the key for the server; default: the variable HITCHWORTH_KEY")
    for argument in arguments:
        action.add_argument(argument, metavar="ID", help=f"the id of the {argument}")
    if change:
        action.add_argument("--message", type=value_of(ShortText), metavar="TEXT", help="why, for the history")
    action.set_defaults(run=run)
    return action


def list_builds(arguments: Namespace) -> None:
    """Print the kept builds, the last changed first."""
    which = BuildFilter(name=arguments.name, trashed=arguments.trashed)
    with build_source(arguments) as source, input_errors():
        entries = tuple(source.list(which))
    rows = ((each.id, str(each.revision), each.name, minute(each.updated_at)) for each in entries)
    show_records(
        arguments.format, FilledTable(record=BuildEntry, rows=entries), ("id", "revision", "name", "changed"), rows
    )


def show(arguments: Namespace) -> None:
    """Print the document of a build, as a file that every command takes."""
    with build_source(arguments) as source, input_errors():
        kept = source.get(arguments.build, arguments.revision)
    show_json(canonical(_document_of(kept)))


def add(arguments: Namespace) -> None:
    """Keep the document of a file."""
    document = document_from_file(arguments.file)
    with build_source(arguments, make=True) as source, input_errors():
        kept = source.create(document, arguments.message)
    print(f"Kept as {kept.id}, revision {kept.revision}, digest {kept.digest}.")


def replace(arguments: Namespace) -> None:
    """Replace the document of a build by that of a file."""
    document = document_from_file(arguments.file)
    with build_source(arguments) as source, input_errors():
        seen = source.get(arguments.build)
        _require_revision(seen, arguments.revision)
        kept = source.replace(seen, document, arguments.message)
    if kept.revision == seen.revision:
        print(f"The build is the same already, at revision {kept.revision}.")
    else:
        print(f"Kept as revision {kept.revision}, digest {kept.digest}.")


def history(arguments: Namespace) -> None:
    """Print the revisions of a build, the newest first."""
    with build_source(arguments) as source, input_errors():
        found = tuple(source.history(arguments.build))
    show_revisions(arguments.format, Revision, found)


def restore(arguments: Namespace) -> None:
    """Make the document of an earlier revision the present one."""
    with build_source(arguments) as source, input_errors():
        seen = source.get(arguments.build)
        revision = source.restore(seen, arguments.restored, arguments.message)
    if revision.revision == seen.revision:
        print(f"The build is the same already, at revision {revision.revision}.")
    else:
        print(f"Revision {arguments.restored} is the present document again, as revision {revision.revision}.")


def trash(arguments: Namespace) -> None:
    """Move a build to the trash."""
    with build_source(arguments) as source, input_errors():
        revision = source.trash(source.get(arguments.build), arguments.message)
    print(f"{revision.build} is in the trash, where it can still be read and recovered.")


def recover(arguments: Namespace) -> None:
    """Take a build out of the trash."""
    with build_source(arguments) as source, input_errors():
        revision = source.recover(source.get(arguments.build), arguments.message)
    print(f"{revision.build} is out of the trash, at revision {revision.revision}.")


def verify(arguments: Namespace) -> None:
    """Say whether the history is as it was written, and whether a paper belongs to it.

    Raises InputError when not, so that a script notices.
    """
    digest = _read(arguments.digest, DigestText, "a digest of 12 to 64 hexadecimal digits")
    with build_source(arguments) as source, input_errors():
        found = source.verify(arguments.build, digest, arguments.as_of)
    lines = tuple(_verdict(found))
    if not found.intact or found.belongs is False:
        raise InputError("\n".join(lines))
    print("\n".join(lines))


def compare(arguments: Namespace) -> None:
    """Compare two revisions or two dates of a build."""
    before, after = (_read(side, Side, "a revision or a date") for side in (arguments.before, arguments.after))
    sides = Sides(from_=before, to=after, as_of=arguments.as_of)
    with build_source(arguments) as source, input_errors():
        found = source.compare(arguments.build, sides)
    if arguments.format == "table":
        currency = found.estimates.currency if found.estimates else None
        show_result(comparison_report(found, localizer_for(found.locale, currency)))
    elif arguments.format == "json":
        show_json(msgspec.json.encode(found))
    else:
        show_csv(filled(result_tables.DOCUMENT_COMPARISON[0], found, found.locale))


def document_from_file(file: str) -> Document:
    """Read a document from a file, or from standard input for `-`. A date beside it is not part of it.

    Raises InputError with every fault, and UsageError when the file cannot be read.
    """
    source = document_content(file)
    body = request_body(source.content, Document, {})
    with input_errors(file, source.lines, is_bare_build=body.is_bare_build), malformed(file):
        return read_document(body.content)


def _document_of(kept: KeptBuild) -> Document:
    return Document(**{name: getattr(kept, name) for name in Document.__struct_fields__})


def _read(text: str | None, kind: Any, what: str) -> Any:
    """Return an argument as the type; None where it was left out. Raises UsageError."""
    try:
        return None if text is None else read_text(text, kind)
    except InvalidInputError:
        raise UsageError(f"{text} is not {what}") from None


def _require_revision(seen: KeptBuild, wanted: int | None) -> None:
    """Raise UsageError when the build has moved on from the revision that was meant."""
    if wanted is not None and wanted != seen.revision:
        raise UsageError(f"the build is at revision {seen.revision}, not {wanted}; nothing was kept")


def _verdict(found: Verification) -> Iterable[str]:
    if found.intact:
        yield f"The history is as it was written. Revisions: {found.revisions}; digest of the last: {found.digest}"
    else:
        yield f"Revision {found.first_unfit} does not fit: it was altered, or it is missing."
    if found.belongs:
        yield f"The digest belongs to revision {', '.join(map(str, found.belongs_to))}."
    elif found.belongs is False:
        day = f" on {found.as_of}" if found.as_of else "; name the valuation date of a report with --as-of"
        yield f"The digest belongs to no revision of this build{day}."


def show_records(form: str, table: FilledTable, headings: Sequence[str], rows: Iterable[Sequence[str]]) -> None:
    """Print a table in the chosen form; headings and rows are what a terminal shows of it."""
    match form:
        case "json":
            show_json(msgspec.json.encode(table.rows))
        case "csv":
            show_csv(table)
        case _:
            shown = word_table(*headings)
            for row in rows:
                shown.add_row(*row)
            show_result(shown)


def show_revisions(
    form: str, record: type[Revision | QuoteRevision], found: Sequence[Revision | QuoteRevision]
) -> None:
    """Print the revisions of a build or a quote in the chosen form."""
    rows = (
        (str(each.revision), minute(each.at), each.actor, each.action, each.message or "", each.digest[:12])
        for each in found
    )
    headings = ("revision", "when", "who", "what", "why", "digest")
    show_records(form, FilledTable(record=record, rows=found), headings, rows)


def minute(at: object) -> str:
    return f"{at:%Y-%m-%d %H:%M}"
