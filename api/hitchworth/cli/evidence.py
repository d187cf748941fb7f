"""`hitchworth evidence`: photos and papers of a build, added from folders, listed, handed out; files collected."""

from argparse import ArgumentParser, Namespace
from collections.abc import Callable, Iterator, Sequence
from hashlib import file_digest
from pathlib import Path
from typing import Any, TypeAlias, get_args

import msgspec
from msgspec.structs import replace
from rich.console import Console
from rich.progress import track

from hitchworth.cli.build_sources import InDatabase, OnServer, build_source
from hitchworth.cli.builds import add_kept_action, show_records
from hitchworth.cli.command_parser import add_actions, add_command
from hitchworth.cli.database import opened, store_errors
from hitchworth.cli.document_files import document_bytes, request_to_change
from hitchworth.cli.exit_codes import InputError, UsageError
from hitchworth.cli.options import add_format, add_locale
from hitchworth.cli.request_file import file_content, input_errors
from hitchworth.cli.settings import add_options as add_settings
from hitchworth.cli.settings import settings_of
from hitchworth.cli.terminal import show_json
from hitchworth.cli.written_files import write_whole
from hitchworth.model.evidence import Evidence, EvidenceKind
from hitchworth.model.plate_reading import ProposedNumber
from hitchworth.operations.documents import canonical, document_in, read_document
from hitchworth.operations.evidence import evidence_of_file
from hitchworth.operations.tables import FilledTable
from hitchworth.validation import InvalidInputError
from hitchworth.validation.errors import in_a_line

Adder: TypeAlias = Callable[[Path, str], bool]
"""Adds a file under a name. Returns whether it is new; raises InvalidInputError and OSError when it is not taken."""


def add_options(parser: ArgumentParser) -> None:
    """Add the actions of `hitchworth evidence` with their options."""
    actions = add_actions(parser)
    added = _add_action(actions, add, "add photos and papers, one by one or whole folders")
    added.add_argument("paths", nargs="+", type=Path, metavar="FOLDER|FILE", help="what to add; may be repeated")
    added.add_argument("--build", metavar="ID", help="the id of the build")
    added.add_argument("--into", type=Path, metavar="FILE", help="a document that gets their hashes and names instead")
    added.add_argument(
        "--subject",
        action="append",
        default=[],
        metavar="NAME",
        help="what they are evidence of: the id of a component or labor entry, identification_plate, ownership, "
        "trailer, protection:NAME, number:ID for what shows the number of a component; may be repeated",
    )
    added.add_argument("--kind", choices=get_args(EvidenceKind), help="what they are")
    listed = _add_action(actions, list_evidence, "list the evidence of a build")
    listed.add_argument("build", metavar="ID", help="the id of the build")
    add_format(listed)
    read = _add_action(actions, read_plate, "read the numbers on a plate in a photo, and enter none of them")
    read.add_argument("build", metavar="ID", help="the id of the build")
    read.add_argument("photo", metavar="PHOTO", help="the id of the photo")
    add_locale(read)
    add_format(read)
    collected = add_command(actions, "collect", "tell which files no revision of any build needs")
    add_settings(collected, "database", "evidence")
    collected.add_argument("--delete", action="store_true", help="delete them")
    collected.set_defaults(run=collect)


def _add_action(actions: Any, run: Callable[[Namespace], None], purpose: str) -> ArgumentParser:
    action = add_kept_action(actions, run, purpose)
    add_settings(action, "evidence", "max_evidence_bytes", "max_evidence_pixels")
    return action


def add(arguments: Namespace) -> None:
    """Add files, and every file of the folders, to a build or to a document in a file.

    Those that are there already are counted, those that are not taken are named. Raises InputError for the latter.
    """
    files = tuple(files_in(arguments.paths))
    if (arguments.into is None) == (arguments.build is None):
        raise UsageError("name one: --build ID, or --into FILE")
    if arguments.into is not None:
        _add_into(arguments, files)
        return
    with build_source(arguments) as source, input_errors():
        source.get(arguments.build)
        _report(_add_all(files, lambda path, name: _add_to_build(source, arguments, path, name)))


def list_evidence(arguments: Namespace) -> None:
    """Print the evidence of a build."""
    with build_source(arguments) as source, input_errors():
        entries = source.get(arguments.build).evidence
    rows = (
        (each.id, each.file_name or "", each.kind or "", ", ".join(each.subjects), each.taken_at or "")
        for each in entries
    )
    table = FilledTable(record=Evidence, rows=entries)
    show_records(arguments.format, table, ("id", "file", "kind", "of", "taken"), rows)


def read_plate(arguments: Namespace) -> None:
    """Print the numbers that a program read in a photo, beside those on record. Raises UsageError without the extra."""
    with build_source(arguments) as source, input_errors():
        reading = source.read_plate(arguments.build, arguments.photo, arguments.locale or "en-US")
    if arguments.format == "json":
        show_json(msgspec.json.encode(reading))
        return
    rows = (
        (each.kind, each.number, each.on_record or "", each.agreement, each.pointer, reading.lines[each.line].text)
        for each in reading.proposals
    )
    table = FilledTable(record=ProposedNumber, rows=reading.proposals)
    show_records(arguments.format, table, ("what", "number", "on record", "agreement", "field", "line"), rows)
    if arguments.format == "table":
        print(reading.caution)


def collect(arguments: Namespace) -> None:
    """Tell which files no revision of any build needs; with --delete, delete them."""
    with opened(arguments) as store, store_errors():
        found = store.evidence.collect(delete_them=arguments.delete)
    size = sum(each.size for each in found)
    for each in found:
        print(f"{each.workspace}: {each.sha256}, {each.size:,} bytes")
    what = "deleted" if arguments.delete else "not needed; --delete deletes them"
    print(f"{len(found)} files, {size:,} bytes: {what}")


def files_in(paths: Sequence[Path]) -> Iterator[tuple[Path, str]]:
    """Yield each file with its name: of a folder, the way from there. Hidden files in folders are left out."""
    for path in paths:
        if path.is_dir():
            inside = sorted(each for each in path.rglob("*") if each.is_file())
            names = ((each, each.relative_to(path)) for each in inside)
            yield from ((each, name.as_posix()) for each, name in names if not _is_hidden(name))
        elif path.is_file():
            yield path, path.name
        else:
            raise UsageError(f"there is no file or folder {path}")


def _is_hidden(name: Path) -> bool:
    return any(part.startswith(".") for part in name.parts)


class _Outcome(msgspec.Struct):
    """What became of the files."""

    added: int = 0
    known: int = 0
    refused: list[str] = msgspec.field(default_factory=list)


def _add_all(files: Sequence[tuple[Path, str]], adder: Adder) -> _Outcome:
    """Add one file after another, with a progress bar where somebody watches."""
    outcome = _Outcome()
    console = Console(stderr=True)
    for path, name in track(files, "Evidence", console=console, disable=not console.is_terminal):
        try:
            if adder(path, name):
                outcome.added += 1
            else:
                outcome.known += 1
        except InvalidInputError as error:
            outcome.refused.append(f"{path}: {'; '.join(in_a_line(fault, whole='') for fault in error.faults)}")
        except OSError as error:
            outcome.refused.append(f"{path}: {error.strerror or error}")
    return outcome


def _report(outcome: _Outcome) -> None:
    """Print what became of the files. Raises InputError when some were not taken."""
    print(f"{outcome.added} added, {outcome.known} there already, {len(outcome.refused)} not taken")
    if outcome.refused:
        raise InputError("\n".join(outcome.refused))


def _add_to_build(source: Any, arguments: Namespace, path: Path, name: str) -> bool:
    assert isinstance(source, InDatabase | OnServer)
    settings = settings_of(arguments)
    return source.add_evidence(
        arguments.build,
        path,
        name,
        subjects=tuple(arguments.subject),
        kind=arguments.kind,
        limits=(settings.max_evidence_bytes, settings.max_evidence_pixels),
    )


def _add_into(arguments: Namespace, files: Sequence[tuple[Path, str]]) -> None:
    """Tie files to the document of a file, by hash and name: the files stay where they are."""
    previous = file_content(str(arguments.into))
    request = request_to_change(previous, str(arguments.into))
    document = document_in(request)
    entries = {each.sha256: each for each in document.evidence}
    settings, at_start = settings_of(arguments), dict(entries)

    def tie(path: Path, name: str) -> bool:
        entry = _entry_of(path, name, settings.max_evidence_pixels)
        known = entries.get(entry.sha256)
        subjects = tuple(dict.fromkeys((*(known or entry).subjects, *arguments.subject)))
        entries[entry.sha256] = replace(
            known or entry, kind=(known and known.kind) or arguments.kind, subjects=subjects
        )
        return known is None

    outcome = _add_all(files, tie)
    if entries != at_start:
        changed = replace(document, evidence=tuple(entries.values()))
        with input_errors():
            read_document(canonical(changed))
        write_whole(arguments.into, document_bytes(changed, request.as_of, arguments.into, previous))
    _report(outcome)


def _entry_of(path: Path, name: str, max_pixels: int) -> Evidence:
    with path.open("rb") as file:
        entry = evidence_of_file(file, hash_of(path), file.seek(0, 2), max_pixels)
    return replace(entry, file_name=name)


def hash_of(path: Path) -> str:
    """Return the SHA-256 of a file. Raises OSError."""
    with path.open("rb") as file:
        return file_digest(file, "sha256").hexdigest()
