"""Evidence of kept builds: photos and papers, added, found, read, described and removed.

The docstrings of the functions are the descriptions of the API.
"""

from collections.abc import Callable
from io import BytesIO
from pathlib import PurePosixPath
from typing import IO, Annotated, Any

import msgspec
from msgspec import Meta, Struct
from msgspec.structs import asdict, replace

from hitchworth import validation
from hitchworth.canonical import without_defaults
from hitchworth.evidence.pictures import UnacceptableFileError, thumbnail
from hitchworth.evidence.recognition import recognize
from hitchworth.evidence.stripping import stripped
from hitchworth.model.caller import Caller
from hitchworth.model.evidence import (
    Caption,
    Evidence,
    EvidenceMediaType,
    FileName,
    Kind,
    Subject,
    ThumbnailSize,
)
from hitchworth.model.fault import Fault
from hitchworth.model.kept import AddedEvidence, Revision
from hitchworth.model.listing import Items
from hitchworth.operations.authentication import OpenedBuild
from hitchworth.operations.builds import BuildParameter
from hitchworth.operations.changes import BUILD, Addition, Alteration, change, present_body, seen_from
from hitchworth.operations.documents import read_document, read_kept
from hitchworth.operations.merge_patch import merged
from hitchworth.operations.parts import EVIDENCE, change_part, get_part, remove_part
from hitchworth.store import Store
from hitchworth.store.errors import DamagedFileError, NoFilesError, NotKeptError
from hitchworth.store.evidence import Incoming
from hitchworth.validation.json_pointer import child_pointer

SUFFIXES: dict[EvidenceMediaType, str] = {
    "image/jpeg": ".jpg",
    "image/png": ".png",
    "image/heic": ".heic",
    "image/webp": ".webp",
    "application/pdf": ".pdf",
}
SIDES: dict[ThumbnailSize, int] = {"small": 160, "medium": 480, "large": 1200}
"""Pixels of the longer side."""

ACCEPTED = "a JPEG, PNG, HEIC, WebP or PDF file, whole and without motion, within the limits of the server"
_CHANGEABLE = ("kind", "subjects", "caption")

EvidenceId = Annotated[str, Meta(description="Id of the evidence.", examples=["8cf18f50f474e197"])]


class NewEvidence(Struct, frozen=True, kw_only=True):
    """What is known of a file besides its content."""

    subject: Annotated[
        tuple[Subject, ...],
        Meta(
            max_length=500,
            description="What it is evidence of; repeated for a receipt of several components.",
            examples=[("stove",)],
        ),
    ] = ()
    kind: Annotated[Kind, Meta(examples=["receipt"])] = None
    caption: Caption = None
    file_name: FileName = None


class Upload(Struct, frozen=True, kw_only=True):
    """A file that was received: hashed, within the bounds of its size, and kept nowhere yet."""

    incoming: Incoming
    max_pixels: int
    """How many a picture may have."""


class FileContent(Struct, frozen=True, kw_only=True):
    """A file to hand out."""

    file: IO[bytes]
    """At its beginning; whoever hands it out closes it."""
    media_type: str
    name: str
    tag: str
    """What tells it from every other file."""


def add_evidence(
    store: Store, caller: Caller, build: BuildParameter, *, upload: Upload, what: NewEvidence, how: Addition
) -> AddedEvidence:
    """Add a photo or paper to a kept build.

    The file is the body, or the field `file` of a form (multipart/form-data) whose other fields are the parameters.
    JPEG, PNG, HEIC, WebP and PDF are recognized by their content; the date and the place of a photo are read. Where the
    build has the same file already, the answer is 200 and names it: it gets the subjects that it did not have, and kind
    and caption where it had none. Sent twice, a file is kept once.
    """
    BUILD.require_out_of_trash(store.builds.entry(caller.workspace, build))
    entry = _entry(store, caller, upload, what)
    merging = _Merging(entry)
    with seen_from(lambda: EVIDENCE.pointer(merging.place)):
        read_document(merging(present_body(store.builds.read(caller.workspace, build)[1])))  # before it is kept
        store.evidence.keep(caller.workspace, upload.incoming, entry.media_type)
        told = msgspec.json.encode(("evidence", entry.sha256, what))
        merging.is_duplicate = None
        revision = change(store, caller, build, how, merging, request=told)
    return _added(store, caller, revision, entry.sha256, merging.is_duplicate)


def list_evidence(
    store: Store,
    caller: Caller,
    build: BuildParameter,
    subject: Annotated[Subject | None, Meta(description="Only evidence of this.", examples=["stove"])] = None,
) -> Items[Evidence]:
    """List the evidence of a kept build."""
    found = read_kept(store.builds.read(caller.workspace, build)[1]).evidence
    return Items(items=tuple(each for each in found if subject is None or subject in each.subjects))


def get_evidence(store: Store, caller: Caller, build: BuildParameter, evidence: EvidenceId) -> Evidence:
    """Read what is known of a photo or paper."""
    return get_part(EVIDENCE, store, caller, build, wanted=evidence, kind=Evidence)


def get_evidence_file(
    store: Store,
    caller: Caller,
    build: BuildParameter,
    evidence: EvidenceId,
    strip: Annotated[
        bool,
        Meta(
            description="Without the date, the place and the camera that are stored in a photo: to hand it on. The "
            "pixels stay as they are; of HEIC, a JPEG is made. A PDF stays as it is."
        ),
    ] = False,
) -> FileContent:
    """Read the file of a photo or paper.

    Byte for byte as it was added, and checked against its hash before the first byte is sent. Range and If-Range are
    understood.
    """
    entry = get_evidence(store, caller, build, evidence)
    return _bare(store, caller, entry) if strip else _whole(store, caller, entry)


def get_evidence_thumbnail(
    store: Store,
    caller: Caller,
    build: BuildParameter,
    evidence: EvidenceId,
    size: Annotated[ThumbnailSize, Meta(description="How large it is. Default: medium.")] = "medium",
) -> FileContent:
    """Read a thumbnail of a photo.

    A small, upright JPEG without the date and place that are stored in the photo. A PDF has none.
    """
    return _thumbnail(store, caller, get_evidence(store, caller, build, evidence), size)


def change_evidence(
    store: Store, caller: Caller, build: BuildParameter, evidence: EvidenceId, *, request: bytes, how: Alteration
) -> Revision:
    """Change what is said of a photo or paper.

    The body is a JSON Merge Patch (RFC 7396) of `kind`, `subjects` and `caption`. What the file itself says cannot be
    changed.
    """
    patch = validation.read_json(request)
    _require_changeable(patch)
    return change_part(
        EVIDENCE, store, caller, build, wanted=evidence, change_of=lambda present: merged(present, patch), how=how
    )


def remove_evidence(
    store: Store, caller: Caller, build: BuildParameter, evidence: EvidenceId, how: Alteration
) -> Revision:
    """Remove a photo or paper from a kept build.

    Earlier revisions still have it, so its file stays.
    """
    return remove_part(EVIDENCE, store, caller, build, wanted=evidence, how=how)


def list_shared_evidence(store: Store, shared: OpenedBuild) -> Items[Evidence]:
    """List the evidence of the build that a share link opens.

    Without the places at which photos were taken.
    """
    kept = store.builds.read(shared.caller.workspace, shared.share.build)[1]
    return Items(items=tuple(replace(each, place=None) for each in read_kept(kept).evidence))


def get_shared_evidence_file(store: Store, shared: OpenedBuild, evidence: EvidenceId) -> FileContent:
    """Read the file of a photo or paper of the build that a share link opens.

    Without the date, the place and the camera that are stored in a photo.
    """
    return _bare(store, shared.caller, get_evidence(store, shared.caller, shared.share.build, evidence))


def get_shared_evidence_thumbnail(
    store: Store,
    shared: OpenedBuild,
    evidence: EvidenceId,
    size: Annotated[ThumbnailSize, Meta(description="How large it is. Default: medium.")] = "medium",
) -> FileContent:
    """Read a thumbnail of a photo of the build that a share link opens."""
    entry = get_evidence(store, shared.caller, shared.share.build, evidence)
    return _thumbnail(store, shared.caller, entry, size)


def pictures_of(store: Store, caller: Caller) -> Callable[[Evidence, int], bytes | None]:
    """Return what returns a picture of evidence of a workspace for a report, by its pixels.

    It returns None where the workspace has no such file, or none that is a picture and as it was.
    """

    def picture_of(entry: Evidence, side: int) -> bytes | None:
        try:
            return store.evidence.derived(caller.workspace, entry.sha256, str(side), lambda file: thumbnail(file, side))
        except (NotKeptError, NoFilesError, DamagedFileError, UnacceptableFileError):
            return None

    return picture_of


def evidence_of_file(file: IO[bytes], sha256: str, size: int, max_pixels: int) -> Evidence:
    """Return what a file says of itself, without subjects. Raises InvalidInputError when it is none that is taken."""
    try:
        found = recognize(file, max_pixels)
    except UnacceptableFileError as error:
        fault = Fault(pointer="/file", detail=str(error), expected=ACCEPTED, found=f"{size:,} bytes")
        raise validation.InvalidInputError([fault]) from None
    return Evidence(id=sha256[:16], sha256=sha256, size=size, **asdict(found))


def name_of(entry: Evidence, media_type: EvidenceMediaType | None = None) -> str:
    """Return a name for the file of an entry that is safe on every system: its own without the way to it.

    media_type: what the file is now, where that is no longer what it was.
    """
    own = PurePosixPath(entry.file_name or entry.id).stem
    safe = "".join(letter if letter.isalnum() or letter in "-_. ()" else "_" for letter in own).strip(". ")
    reserved = safe.partition(".")[0].upper() in _RESERVED
    return f"{'_' if reserved or not safe else ''}{safe[:120]}{SUFFIXES[media_type or entry.media_type]}"


_RESERVED = {"CON", "PRN", "AUX", "NUL", *(f"{name}{number}" for name in ("COM", "LPT") for number in range(10))}
"""The names that mean a device on Windows, whatever follows the first dot."""


class _Merging:
    """The edit that adds an entry to a document, or to the entry that has the file already."""

    def __init__(self, entry: Evidence) -> None:
        self._entry = entry
        self.place = 0
        self.is_duplicate: bool | None = None
        """Whether the document had the file already. None: it has not been looked at."""

    def __call__(self, body: bytes) -> bytes:
        document: Any = validation.read_json(body)
        items = EVIDENCE.of(document)
        same = [place for place, item in enumerate(items) if item["sha256"] == self._entry.sha256]
        self.is_duplicate = bool(same)
        self.place = same[0] if same else len(items)
        if same:
            items[self.place] = self._completed(items[self.place])
        else:
            items.append(msgspec.to_builtins(without_defaults(self._entry)))
        return validation.write_json(document)

    def _completed(self, item: dict[str, Any]) -> dict[str, Any]:
        """Return the entry with what it did not have; nothing of it is overwritten."""
        new = {"kind": self._entry.kind, "caption": self._entry.caption}
        added = {name: value for name, value in new.items() if value is not None and item.get(name) is None}
        subjects = list(dict.fromkeys((*item.get("subjects", ()), *self._entry.subjects)))
        return {**item, **added, **({"subjects": subjects} if subjects else {})}


def _entry(store: Store, caller: Caller, upload: Upload, what: NewEvidence) -> Evidence:
    incoming = upload.incoming
    found = evidence_of_file(incoming.file, incoming.sha256, incoming.size, upload.max_pixels)
    return replace(
        found,
        kind=what.kind,
        subjects=tuple(dict.fromkeys(what.subject)),
        caption=what.caption,
        file_name=what.file_name,
        added_by=caller.actor,
        added_at=store.clock(),
    )


def _added(store: Store, caller: Caller, revision: Revision, sha256: str, is_duplicate: bool | None) -> AddedEvidence:
    entry = _with_file(store, caller, revision, revision.revision, sha256)
    if entry is None:
        raise NotKeptError("the evidence has been removed since")
    if is_duplicate is None:  # the request was answered before
        is_duplicate = revision.revision > 1 and bool(
            _with_file(store, caller, revision, revision.revision - 1, sha256)
        )
    return AddedEvidence(
        **asdict(entry),
        duplicate_of=entry.id if is_duplicate else None,
        build=revision.build,
        revision=revision.revision,
        digest=revision.digest,
    )


def _with_file(store: Store, caller: Caller, of: Revision, number: int, sha256: str) -> Evidence | None:
    document = read_kept(store.builds.read(caller.workspace, of.build, number)[1])
    return next((each for each in document.evidence if each.sha256 == sha256), None)


def _require_changeable(patch: Any) -> None:
    """Raise InvalidInputError for a patch of anything but what a person says of a file."""
    if not isinstance(patch, dict):
        raise validation.InvalidInputError([Fault(pointer="", detail="Expected an object", expected="an object")])
    faults = [
        Fault(pointer=child_pointer("", name), detail="Cannot be changed", expected=", ".join(_CHANGEABLE))
        for name in patch
        if name not in _CHANGEABLE
    ]
    if faults:
        raise validation.InvalidInputError(faults)


def _whole(store: Store, caller: Caller, entry: Evidence) -> FileContent:
    file = store.evidence.open(caller.workspace, entry.sha256)
    return FileContent(file=file, media_type=entry.media_type, name=name_of(entry), tag=entry.sha256)


def _bare(store: Store, caller: Caller, entry: Evidence) -> FileContent:
    if entry.media_type == "application/pdf":
        return _whole(store, caller, entry)
    media_type: EvidenceMediaType = "image/jpeg" if entry.media_type == "image/heic" else entry.media_type
    content = store.evidence.derived(
        caller.workspace, entry.sha256, "bare", lambda file: stripped(file, entry.media_type)[0]
    )
    name = name_of(entry, media_type)
    return FileContent(file=BytesIO(content), media_type=media_type, name=name, tag=f"{entry.sha256}-bare")


def _thumbnail(store: Store, caller: Caller, entry: Evidence, size: ThumbnailSize) -> FileContent:
    if entry.media_type == "application/pdf":
        raise NotKeptError("a PDF has no thumbnail")
    side = SIDES[size]
    content = store.evidence.derived(caller.workspace, entry.sha256, str(side), lambda file: thumbnail(file, side))
    name = name_of(entry, "image/jpeg")
    return FileContent(file=BytesIO(content), media_type="image/jpeg", name=name, tag=f"{entry.sha256}-{side}")
