"""A workspace as a whole: its log of who did what, its export and its deletion.

The docstrings of the functions are the descriptions of the API.
"""

from hashlib import file_digest
from shutil import copyfileobj
from tempfile import TemporaryFile
from typing import IO, Annotated
from zipfile import ZIP_DEFLATED, ZIP_STORED, ZipFile, ZipInfo

import msgspec
from msgspec import Meta, Struct
from msgspec.structs import asdict

from hitchworth.model.access import AccessPage, ShareRecord, WorkspaceRecord
from hitchworth.model.caller import Caller
from hitchworth.model.kept import BuildId, QuoteId
from hitchworth.operations.evidence import FileContent
from hitchworth.operations.paging import Page, cut, next_page, place_of
from hitchworth.operations.renderings import AS_ZIP
from hitchworth.store import Store
from hitchworth.store.blobs import file_errors
from hitchworth.store.errors import DamagedFileError, NoFilesError

ACCESS_LOG = "/v1/access-log"
_EARLIEST_OF_ZIP = (1980, 1, 1, 0, 0, 0)
"""The time of every file, so that the same contents are the same bytes."""


EntryId = Annotated[str, Meta(pattern="^[0-9a-f]{22}$")]
"""The id of an entry of the log."""


class AccessFilter(Struct, frozen=True, kw_only=True):
    """Which entries of the log."""

    build: Annotated[BuildId | None, Meta(description="Only what was about this build.")] = None
    quote: Annotated[QuoteId | None, Meta(description="Only what was about this quote.")] = None


def list_access(store: Store, caller: Caller, which: AccessFilter, page: Page) -> AccessPage:
    """List who read and changed what.

    The latest first, in pages: each request that read or changed what is kept in this workspace, also those that were
    refused for lack of scope. Entries are kept for 400 days.
    """
    before = place_of(page.cursor, EntryId)
    found = store.access_log.list(
        caller.workspace, build=which.build, quote=which.quote, before=before, limit=page.limit
    )
    items, last = cut(found, page.limit)
    following = None if last is None else next_page(ACCESS_LOG, asdict(which), page.limit, last.id)
    return AccessPage(items=items, next=following)


def get_workspace(store: Store, caller: Caller) -> WorkspaceRecord:
    """Get this workspace: its name, and how much it holds."""
    return store.workspaces.read(caller.workspace)


def export_workspace(store: Store, caller: Caller) -> FileContent:
    """Export everything of this workspace.

    A ZIP file: `workspace.json`; of each build `builds/ID/revisions.json` with the digests, and each document as it was
    kept, `builds/ID/REVISION.json`; of each quote the same under `quotes/`; the files of evidence under `evidence/`,
    by their hashes, and `evidence.json`, which lists them and names those that are missing or altered; `keys.json` and
    `shares.json` without secrets; `access-log.ndjson`.
    """
    with file_errors():
        file = TemporaryFile()  # noqa: SIM115  (whoever hands it out closes it)
        try:
            write_export(store, caller.workspace, file)
            file.seek(0)
            tag = file_digest(file, "sha256").hexdigest()
        except BaseException:
            file.close()
            raise
    return FileContent(file=file, media_type=AS_ZIP.media_type, name=f"{caller.workspace}.zip", tag=tag)


class ExportedFile(Struct, frozen=True, kw_only=True):
    """A file of evidence in an export."""

    sha256: str
    file: str | None
    """Where it is in the ZIP file. Null: it is missing or not as it was."""


def write_export(store: Store, workspace: str, file: IO[bytes]) -> tuple[ExportedFile, ...]:
    """Write a workspace, in one state, into a file, as `export_workspace` describes. Raises NotKeptError.

    Return the files of evidence, also those that are missing or altered.
    """
    with store.snapshot() as state, ZipFile(file, "w", ZIP_DEFLATED) as archive:
        _put(archive, "workspace.json", state.workspaces.read(workspace))
        shares: list[ShareRecord] = []
        for folder, records in (("builds", state.builds), ("quotes", state.quotes)):
            for kept in records.ids(workspace):
                revisions = []
                for document in records.history(workspace, kept):
                    revisions.append(document.revision)
                    archive.writestr(_entry(f"{folder}/{kept}/{document.revision.revision}.json"), document.body)
                _put(archive, f"{folder}/{kept}/revisions.json", revisions)
                shares.extend(state.shares.list(workspace, kept))
        _put(archive, "keys.json", state.keys.list(workspace))
        _put(archive, "shares.json", shares)
        files = tuple(_exported(archive, state, workspace, digest) for digest in sorted(state.evidence.held(workspace)))
        _put(archive, "evidence.json", files)
        with archive.open(_entry("access-log.ndjson"), "w") as lines:
            for entry in state.access_log.all(workspace):
                lines.write(msgspec.json.encode(entry) + b"\n")
    return files


def _exported(archive: ZipFile, store: Store, workspace: str, digest: str) -> ExportedFile:
    """Put a file of evidence into an export, every byte of it checked."""
    try:
        content = store.evidence.open(workspace, digest)
    except (DamagedFileError, NoFilesError):
        return ExportedFile(sha256=digest, file=None)
    entry = _entry(f"evidence/{digest}")
    entry.compress_type = ZIP_STORED
    with content:
        entry.file_size = content.seek(0, 2)
        content.seek(0)
        with archive.open(entry, "w") as target:
            copyfileobj(content, target)
    return ExportedFile(sha256=digest, file=entry.filename)


def delete_workspace(
    store: Store,
    caller: Caller,
    confirm: Annotated[
        str | None,
        Meta(
            description="The name of the workspace, to say that it is meant. Left out: nothing is deleted.",
            examples=["default"],
        ),
    ] = None,
) -> WorkspaceRecord:
    """Delete everything of this workspace.

    Builds with their histories, keys, share links and the log: for good, at once. `confirm` must be the name of the
    workspace. The answer counts what there was. Backups are not touched.
    """
    return store.workspaces.delete(caller.workspace, confirm)


def _put(archive: ZipFile, name: str, content: object) -> None:
    archive.writestr(_entry(name), msgspec.json.format(msgspec.json.encode(content)))


def _entry(name: str) -> ZipInfo:
    entry = ZipInfo(name, _EARLIEST_OF_ZIP)
    entry.compress_type = ZIP_DEFLATED
    return entry
