"""The database of a command: opened, copied, exported. Whoever can open it needs no key."""

from argparse import ArgumentParser, Namespace
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from hitchworth.cli.command_parser import add_actions, add_command
from hitchworth.cli.exit_codes import UsageError, usage_errors
from hitchworth.cli.options import add_workspace, value_of
from hitchworth.cli.settings import add_options, settings_of
from hitchworth.cli.terminal import warn
from hitchworth.model.access import WorkspaceRecord
from hitchworth.model.strings import Identifier
from hitchworth.operations.workspaces import write_export
from hitchworth.store import Store, open_store
from hitchworth.store.blobs import blobs_of
from hitchworth.store.copies import Copied, back_up, copy
from hitchworth.store.database import exists
from hitchworth.store.errors import StoreError

WHERE = "the path of a file, or postgresql://USER@HOST/NAME"


def add_backup(parser: ArgumentParser) -> None:
    """Add the options of `hitchworth backup`."""
    _add_file(parser, run_backup, "the SQLite file to make; the files of evidence go beside it, into FILE-evidence")
    _add_evidence(parser)


def add_restore(parser: ArgumentParser) -> None:
    """Add the options of `hitchworth restore`."""
    _add_file(parser, run_restore, "the backup")
    _add_evidence(parser)


def add_copy(parser: ArgumentParser) -> None:
    """Add the options of `hitchworth copy-database`."""
    parser.add_argument("source", metavar="FROM", help=WHERE)
    parser.add_argument("target", metavar="TO", help=f"{WHERE}; the files of evidence stay where they are")
    parser.set_defaults(run=run_copy)


def add_export(parser: ArgumentParser) -> None:
    """Add the options of `hitchworth export`."""
    _add_file(parser, run_export, "the ZIP file to make")
    add_options(parser, "evidence")
    add_workspace(parser)


def add_workspaces(parser: ArgumentParser) -> None:
    """Add the actions of `hitchworth workspaces` with their options."""
    actions = add_actions(parser)
    for name, purpose in (
        ("create", "make a workspace"),
        ("list", "list all workspaces"),
        ("delete", "delete a workspace and everything in it"),
    ):
        action = add_command(actions, name, purpose)
        add_options(action, "database")
        action.set_defaults(run=run_workspace)
        if name != "list":
            action.add_argument("name", type=value_of(Identifier), metavar="NAME", help="name of the workspace")
        if name == "delete":
            action.add_argument("--confirm", metavar="NAME", help="the name once more, to say that it is meant")


def _add_file(parser: ArgumentParser, run: Callable[[Namespace], None], purpose: str) -> None:
    parser.add_argument("file", metavar="FILE", type=Path, help=purpose)
    add_options(parser, "database")
    parser.set_defaults(run=run)


def _add_evidence(parser: ArgumentParser) -> None:
    add_options(parser, "evidence")
    parser.add_argument(
        "--without-evidence", action="store_true", help="leave the files of evidence out: they are copied otherwise"
    )


@contextmanager
def opened(arguments: Namespace, *, make: bool = False) -> Iterator[Store]:
    """Open the database of --database or HITCHWORTH_DATABASE; close it at the end. `make` makes a missing SQLite file.

    Raises UsageError when none is named, when it is not there, and when the store cannot do what is asked.
    """
    where = database_of(arguments)
    with store_errors():
        if not make and not exists(where):
            raise UsageError(f"there is no database {where}")
        store = open_store(where, evidence=settings_of(arguments).evidence)
        try:
            yield store
        finally:
            store.close()


@contextmanager
def store_errors() -> Iterator[None]:
    """Turn an error of the store into a UsageError."""
    try:
        yield
    except StoreError as error:
        raise UsageError(str(error)) from None


def database_of(arguments: Namespace) -> str:
    """Return where the database is. Raises UsageError when nobody said."""
    where = settings_of(arguments).database
    if where is None:
        raise UsageError("name the database: --database WHERE, or HITCHWORTH_DATABASE")
    return where


def run_backup(arguments: Namespace) -> None:
    """Write one state of the database into a file, while it may be served, and its files of evidence beside it."""
    where = database_of(arguments)
    with store_errors():
        files = None if arguments.without_evidence else blobs_of(where, settings_of(arguments).evidence)
        copied = back_up(where, arguments.file, evidence=files)
    if files is None and copied.rows["evidence_files"] and not arguments.without_evidence:
        warn("the backup has no files of evidence: name their place with --evidence, or say --without-evidence")
    _tell(f"{arguments.file}", copied, with_files=files is not None)


def run_restore(arguments: Namespace) -> None:
    """Copy a backup into a database that holds nothing, its files of evidence too, and verify every history in it."""
    where, backup = database_of(arguments), str(arguments.file)
    files = None
    with store_errors():
        if not arguments.without_evidence:
            source, target = blobs_of(backup), blobs_of(where, settings_of(arguments).evidence)
            files = (source, target) if source is not None and target is not None else None
        copied = copy(backup, where, evidence=files)
    if files is None and copied.rows["evidence_files"] and not arguments.without_evidence:
        warn("no place was named for the files of evidence: --evidence WHERE; they were not restored")
    _tell("Restored", copied, with_files=files is not None)


def run_copy(arguments: Namespace) -> None:
    """Copy a database into another one that holds nothing."""
    with store_errors():
        copied = copy(arguments.source, arguments.target)
    _tell("Copied", copied, with_files=False)


def run_export(arguments: Namespace) -> None:
    """Write everything of a workspace into a ZIP file."""
    with opened(arguments) as store, usage_errors():
        store.workspaces.read(arguments.workspace)
        with arguments.file.open("xb") as file:
            files = write_export(store, arguments.workspace, file)
    print(f"{arguments.file}: everything of the workspace {arguments.workspace}")
    if lost := [each.sha256 for each in files if each.file is None]:
        raise UsageError(f"these files of evidence are missing or have been altered: {', '.join(lost)}")


def run_workspace(arguments: Namespace) -> None:
    """Make a workspace, delete one, or list all of them."""
    with opened(arguments, make=arguments.action == "create") as store:
        match arguments.action:
            case "create":
                made = store.workspaces.create(arguments.name)
                print(f"The workspace {arguments.name} {'is made' if made else 'was there already'}.")
            case "delete":
                held = store.workspaces.delete(arguments.name, arguments.confirm)
                print(f"Deleted: {_held(held)}.")
            case _:
                for each in store.workspaces.list():
                    print(f"{each.id}: {_held(each)}")


def _told(counts: dict[str, int]) -> str:
    return f"builds and quotes: {counts['builds']}, revisions: {counts['revisions']}, keys: {counts['keys']}"


def _held(workspace: WorkspaceRecord) -> str:
    kept = f"builds: {workspace.builds}, quotes: {workspace.quotes}, revisions: {workspace.revisions}"
    return f"{kept}, keys: {workspace.keys}"


def _tell(what: str, copied: Copied, *, with_files: bool) -> None:
    """Print how much was copied. Raises UsageError when a history does not fit, or a file is missing or altered."""
    files = copied.rows["evidence_files"] - len(copied.lost_files)
    print(f"{what}: {_told(copied.rows)}" + (f", files of evidence: {files}" if with_files else ""))
    faults = []
    if copied.unfit:
        faults.append(f"these have been altered since they were kept, and do not fit: {', '.join(copied.unfit)}")
    if copied.lost_files:
        lost = ", ".join(copied.lost_files)
        faults.append(f"these files of evidence are missing or have been altered, and were not copied: {lost}")
    if faults:
        raise UsageError("\n".join(faults))
