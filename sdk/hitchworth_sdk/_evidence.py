"""The evidence of kept builds: photos and papers, one by one or a whole folder."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from hashlib import sha256
from pathlib import Path
from typing import Any, Unpack

from hitchworth_sdk import _operations as operations
from hitchworth_sdk._calls import Caller, CallOptions
from hitchworth_sdk._exchange import NO_BODY
from hitchworth_sdk._kept_builds import Seen, id_of, if_match
from hitchworth_sdk._types import AddedEvidence, Evidence, EvidenceKind, PlateReading, Revision, ThumbnailSize
from hitchworth_sdk.errors import BadRequest, HitchworthError, InvalidInput, PayloadTooLarge

_CHUNK_BYTES = 1_000_000


@dataclass(frozen=True)
class FolderStep:
    """One file of a folder that is done with."""

    number: int
    """Which one, counted from 1."""
    count: int
    """How many there are."""
    path: Path
    outcome: AddedEvidence | Evidence | Exception
    """What was added; what the build had already; or why it was not taken."""


@dataclass
class FolderResult:
    """What became of the files of a folder."""

    added: list[AddedEvidence] = field(default_factory=list)
    duplicates: dict[Path, str] = field(default_factory=dict)
    """Files that the build had already, each with the id of its evidence."""
    failed: dict[Path, Exception] = field(default_factory=dict)
    """Files that were not taken, each with the reason. They can be mended, and the folder added again."""

    def note(self, path: Path, outcome: AddedEvidence | Evidence | Exception) -> None:
        """Note what became of a file."""
        if isinstance(outcome, Exception):
            self.failed[path] = outcome
        elif isinstance(outcome, AddedEvidence) and outcome.duplicate_of is None:
            self.added.append(outcome)
        else:
            self.duplicates[path] = outcome.id


class KeptEvidence(Caller):
    """The methods of a client for evidence. The server must have been started with a database."""

    def add_evidence(
        self,
        build: Seen | str,
        file: Path | bytes,
        *,
        subject: str | Sequence[str] = (),
        kind: EvidenceKind | None = None,
        caption: str | None = None,
        file_name: str | None = None,
        message: str | None = None,
        **options: Unpack[CallOptions],
    ) -> AddedEvidence:
        """Add a photo or paper: a path, whose file is sent piece by piece, or the bytes.

        subject: what it is evidence of: ids of components and labor entries, identification_plate, ownership, trailer,
        protection:NAME. file_name: default: that of the path. message: why, for the history.

        Where the build has the same file already, the answer has its id in `duplicate_of`.
        """
        if file_name is None and isinstance(file, Path):
            file_name = file.name
        headers = {} if isinstance(build, str) else if_match(build)
        told = {"subject": _listed(subject) or None, "kind": kind, "caption": caption, "file_name": file_name}
        return self._call(operations.ADD_EVIDENCE, file, options, headers, build=id_of(build), message=message, **told)

    def add_evidence_folder(
        self,
        build: Seen | str,
        folder: Path | str,
        *,
        subject: str | Sequence[str] = (),
        kind: EvidenceKind | None = None,
        progress: Callable[[FolderStep], None] | None = None,
        **options: Unpack[CallOptions],
    ) -> FolderResult:
        """Add every file of a folder and of those in it. Hidden files are left out.

        What the build has already is not sent, so the same folder can be added again, after an interruption or with
        new photos in it. A file that is not taken does not stop the others. progress: called after each file.
        """
        root, subjects = Path(folder), set(_listed(subject))
        files = self._work(evidence_files, root)
        have = {each.sha256: each for each in self.list_evidence(build, **options)}
        result = FolderResult()
        for number, path in enumerate(files, start=1):
            outcome: AddedEvidence | Evidence | Exception
            try:
                known = have.get(self._work(_hash_of, path))
                if known is not None and subjects <= set(known.subjects):
                    outcome = known
                else:
                    name = path.relative_to(root).as_posix()
                    outcome = self.add_evidence(
                        id_of(build), path, subject=_listed(subject), kind=kind, file_name=name, **options
                    )
            except (InvalidInput, PayloadTooLarge, BadRequest, OSError) as error:
                outcome = error
            result.note(path, outcome)
            if progress is not None:
                progress(FolderStep(number, len(files), path, outcome))
        return result

    def list_evidence(
        self, build: Seen | str, *, subject: str | None = None, **options: Unpack[CallOptions]
    ) -> tuple[Evidence, ...]:
        """List the evidence of a kept build; subject: only evidence of this."""
        return self._call(operations.LIST_EVIDENCE, NO_BODY, options, None, build=id_of(build), subject=subject)

    def get_evidence(self, build: Seen | str, evidence: str, **options: Unpack[CallOptions]) -> Evidence:
        """Get what is known of a photo or paper, by its id."""
        return self._call(operations.GET_EVIDENCE, NO_BODY, options, None, build=id_of(build), evidence=evidence)

    def change_evidence(
        self,
        build: Seen,
        evidence: str,
        request: dict[str, Any],
        *,
        message: str | None = None,
        **options: Unpack[CallOptions],
    ) -> Revision:
        """Change kind, subjects or caption by a JSON Merge Patch (RFC 7396). Raises StaleRevision."""
        arguments = {"build": id_of(build), "evidence": evidence, "message": message}
        return self._call(operations.CHANGE_EVIDENCE, request, options, if_match(build), **arguments)

    def remove_evidence(
        self, build: Seen, evidence: str, *, message: str | None = None, **options: Unpack[CallOptions]
    ) -> Revision:
        """Remove a photo or paper. Earlier revisions still have it. Raises StaleRevision."""
        arguments = {"build": id_of(build), "evidence": evidence, "message": message}
        return self._call(operations.REMOVE_EVIDENCE, NO_BODY, options, if_match(build), **arguments)

    def get_evidence_file(
        self, build: Seen | str, evidence: str, *, strip: bool = False, **options: Unpack[CallOptions]
    ) -> bytes:
        """Get the file as it was added; strip: without the date, the place and the camera stored in a photo."""
        return self._call(
            operations.GET_EVIDENCE_FILE, NO_BODY, options, None, build=id_of(build), evidence=evidence, strip=strip
        )

    def get_evidence_thumbnail(
        self, build: Seen | str, evidence: str, *, size: ThumbnailSize = "medium", **options: Unpack[CallOptions]
    ) -> bytes:
        """Get a small, upright JPEG of a photo. A PDF has none."""
        return self._call(
            operations.GET_EVIDENCE_THUMBNAIL, NO_BODY, options, None, build=id_of(build), evidence=evidence, size=size
        )

    def get_plate_reading(
        self, build: Seen | str, evidence: str, *, locale: str = "en-US", **options: Unpack[CallOptions]
    ) -> PlateReading:
        """Read the plate in a photo: the lines, and the numbers among them. Proposals; nothing is entered.

        Raises NoTextReader from a server that was installed without the extra `ocr`.
        """
        operation = operations.GET_PLATE_READING
        return self._call(operation, NO_BODY, options, None, build=id_of(build), evidence=evidence, locale=locale)

    def list_shared_evidence(self, link: str, **options: Unpack[CallOptions]) -> tuple[Evidence, ...]:
        """List the evidence of the build that a share link opens, without places."""
        return self._call(operations.LIST_SHARED_EVIDENCE, NO_BODY, options, None, link=link)

    def get_shared_evidence_file(self, link: str, evidence: str, **options: Unpack[CallOptions]) -> bytes:
        """Get a file of the build that a share link opens, without date, place and camera."""
        return self._call(operations.GET_SHARED_EVIDENCE_FILE, NO_BODY, options, None, link=link, evidence=evidence)

    def get_shared_evidence_thumbnail(
        self, link: str, evidence: str, *, size: ThumbnailSize = "medium", **options: Unpack[CallOptions]
    ) -> bytes:
        """Get a thumbnail of a photo of the build that a share link opens."""
        operation = operations.GET_SHARED_EVIDENCE_THUMBNAIL
        return self._call(operation, NO_BODY, options, None, link=link, evidence=evidence, size=size)


def evidence_files(folder: Path) -> Sequence[Path]:
    """Return the files of a folder and of those in it, in order, without hidden ones. Raises HitchworthError."""
    if not folder.is_dir():
        raise HitchworthError(f"{folder} is not a folder")
    return sorted(path for path in _below(folder) if path.is_file())


def _below(folder: Path) -> Iterator[Path]:
    for path in folder.rglob("*"):
        if not any(part.startswith(".") for part in path.relative_to(folder).parts):
            yield path


def _hash_of(path: Path) -> str:
    digest = sha256()
    with path.open("rb") as file:
        while chunk := file.read(_CHUNK_BYTES):
            digest.update(chunk)
    return digest.hexdigest()


def _listed(subject: str | Iterable[str]) -> tuple[str, ...]:
    return (subject,) if isinstance(subject, str) else tuple(subject)
