"""`hitchworth claim-pack`: everything for one loss in a ZIP file, from a document or from a kept build."""

import json
from argparse import ArgumentParser, Namespace
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import IO, get_args
from zipfile import ZipFile

from msgspec.structs import asdict

from hitchworth.cli import settings
from hitchworth.cli.build_sources import build_source
from hitchworth.cli.evidence import files_in, hash_of
from hitchworth.cli.exit_codes import UsageError, usage_errors
from hitchworth.cli.options import (
    DOCUMENT,
    add_date,
    add_force,
    add_locale,
    add_output,
    add_quiet,
    add_server,
    add_workspace,
    value_of,
)
from hitchworth.cli.request_file import input_errors, request_from_file
from hitchworth.cli.server_client import connected, for_client
from hitchworth.cli.terminal import waiting, warn
from hitchworth.cli.written_files import made_whole, require_leave, tell_written
from hitchworth.model.evidence import Evidence
from hitchworth.model.kept import RevisionNumber
from hitchworth.model.request import GapRequest
from hitchworth.model.strings import Identifier
from hitchworth.operations.claim_packs import (
    ClaimChoice,
    EvidenceOpener,
    Handover,
    LeftOutError,
    PackOrder,
    write_claim_pack,
)
from hitchworth.operations.kept_appraisals import Version
from hitchworth.reports.content import Paper

_REASONS = {
    "not_given": "made without it",
    "missing": "not found",
    "altered": "what was found is not the file that was added",
    "other_type": "of another kind than the document says",
    "unreadable": "date and place could not be removed from it",
}
_MOST_NAMED = 20
"""So many files that are not in the pack are named; its own list has all."""


def add_options(parser: ArgumentParser) -> None:
    """Add the options of `hitchworth claim-pack`."""
    parser.add_argument("file", nargs="?", metavar="FILE", help=DOCUMENT)
    parser.add_argument("--build", metavar="ID", help="a kept build instead of a document")
    parser.add_argument("--loss", type=value_of(Identifier), metavar="NAME", help="the loss; default: the only one")
    parser.add_argument("--policy", type=value_of(Identifier), metavar="NAME", help="the policy; default: the only one")
    parser.add_argument(
        "--evidence",
        dest="places",
        action="append",
        default=[],
        metavar="WHERE",
        help="folder with the files of evidence, found by their hashes whatever their names are now; may be repeated. "
        "Of a kept build: where its files are kept, if not beside the database",
    )
    parser.add_argument("--strip", action="store_true", help="photos without the date, place and camera stored in them")
    parser.add_argument(
        "--allow-missing", action="store_true", help="make the pack without files that are missing or altered"
    )
    parser.add_argument(
        "--class-report", action="store_true", help="with the class report; without the option it is left out"
    )
    parser.add_argument("--paper", choices=get_args(Paper), help="default: the usual one of the region")
    parser.add_argument(
        "--revision", type=value_of(RevisionNumber), metavar="N", help="of a kept build; default: as it is now"
    )
    add_date(parser)
    add_locale(parser)
    add_output(parser, "the ZIP file to make")
    add_force(parser)
    settings.add_options(parser, "database")
    add_workspace(parser)
    add_server(parser)
    add_quiet(parser)
    parser.set_defaults(run=run)


def run(arguments: Namespace) -> None:
    """Write the claim pack; name what of the evidence is not in it."""
    if (arguments.file is None) == (arguments.build is None):
        raise UsageError("name one: a document, or --build ID")
    require_leave(arguments.output, None, arguments)
    with waiting(f"claim-pack: {arguments.output}", arguments.quiet):
        if arguments.build is not None:
            _write_of_build(arguments)
        elif arguments.server is not None:
            _write_on_server(arguments)
        else:
            _write_of_document(arguments)
    tell_written(arguments.output, arguments.quiet)
    for line in _left_out(arguments.output):
        warn(line)


def _write_of_document(arguments: Namespace) -> None:
    request = request_from_file(GapRequest, arguments, arguments.file)
    source = _in_folders([Path(place) for place in arguments.places]) if arguments.places else None
    order = PackOrder(request=request, claim=_choice(arguments), source=source, handover=_handover(arguments))
    with made_whole(arguments.output) as path, input_errors(arguments.file), path.open("wb") as file:
        write_claim_pack(file, order)


def _write_on_server(arguments: Namespace) -> None:
    """Let a server make the pack of a document; it has no files."""
    if arguments.places:
        raise UsageError("a server has no files of a document; without --server, they are taken from --evidence")
    request = request_from_file(GapRequest, arguments, arguments.file)
    with made_whole(arguments.output) as path, connected(arguments.server, arguments.key) as client:
        client.create_claim_pack(for_client(request), **asdict(_choice(arguments)), into=path)


def _write_of_build(arguments: Namespace) -> None:
    """Make the pack of a kept build, from a database or by a server."""
    if len(arguments.places) > 1:
        raise UsageError("the files of a kept build are in one place: name one --evidence")
    arguments.evidence = next(iter(arguments.places), None)
    version = Version(as_of=arguments.as_of, revision=arguments.revision)
    with made_whole(arguments.output) as path, build_source(arguments) as source, input_errors():
        source.write_claim_pack(
            path, arguments.build, version=version, claim=_choice(arguments), handover=_handover(arguments)
        )


def _choice(arguments: Namespace) -> ClaimChoice:
    return ClaimChoice(
        loss=arguments.loss, policy=arguments.policy, class_report=arguments.class_report, paper=arguments.paper
    )


def _handover(arguments: Namespace) -> Handover:
    return Handover(strip=arguments.strip, allow_missing=arguments.allow_missing)


def _in_folders(places: Sequence[Path]) -> EvidenceOpener:
    """Return what finds the files of evidence in folders: by their hashes, whatever their names are now.

    Raises UsageError for a folder that is not there.
    """
    with usage_errors():
        files = {name: path for path, name in files_in(places)}
        by_hash = {hash_of(path): path for path in files.values()}

    def open_file(entry: Evidence) -> IO[bytes]:
        path = by_hash.get(entry.sha256)
        if path is None:
            raise LeftOutError("altered" if entry.file_name in files else "missing")
        return path.open("rb")

    return open_file


def _left_out(pack: Path) -> Iterator[str]:
    """Yield which evidence is not in a pack, as the pack itself says."""
    with ZipFile(pack) as archive:
        (record,) = (name for name in archive.namelist() if name.endswith("/data/pack.json"))
        left_out = json.loads(archive.read(record))["left_out"]
    if left_out and all(each["reason"] == "not_given" for each in left_out):
        yield f"made without the files of evidence ({len(left_out)}); --evidence FOLDER adds them"
        return
    for each in left_out[:_MOST_NAMED]:
        yield f"not in the pack: {each['file_name'] or each['sha256']}: {_REASONS[each['reason']]}"
    if len(left_out) > _MOST_NAMED:
        yield f"not in the pack: {len(left_out) - _MOST_NAMED} more; evidence.csv in it lists them"
