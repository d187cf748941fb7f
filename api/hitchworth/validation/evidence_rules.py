"""Rules for evidence: each file once, and tied to what the document has."""

from collections.abc import Iterator
from datetime import datetime

from hitchworth.model.document import Document
from hitchworth.model.evidence import IDENTIFICATION_PLATE, NUMBER, OWNERSHIP, PROTECTION, TRAILER
from hitchworth.model.fault import Fault
from hitchworth.validation.names import duplicates, unknown_name


def duplicate_evidence(request: Document) -> Iterator[Fault]:
    """Each entry has an id of its own and a file of its own, and names a subject once."""
    yield from duplicates("id", {"/evidence/{}/id": (each.id for each in request.evidence)})
    yield from duplicates("file", {"/evidence/{}/sha256": (each.sha256 for each in request.evidence)})
    for index, each in enumerate(request.evidence):
        yield from duplicates("subject", {f"/evidence/{index}/subjects/{{}}": each.subjects})


def unknown_subjects(request: Document) -> Iterator[Fault]:
    """What a file is evidence of is in the document."""
    if not request.evidence:
        return
    build = request.build
    known = {
        IDENTIFICATION_PLATE,
        OWNERSHIP,
        TRAILER,
        *(part.id for part in build.components),
        *(f"{NUMBER}{part.id}" for part in build.components),
        *(entry.id for entry in build.labor),
        *(f"{PROTECTION}{measure.name}" for measure in build.protections or ()),
    }
    expected = (
        f"the id of a component or labor entry of the build, {IDENTIFICATION_PLATE}, {OWNERSHIP}, {TRAILER}, "
        f"{PROTECTION} and the name of a measure of the build, or {NUMBER} and the id of a component"
    )
    for index, each in enumerate(request.evidence):
        for place, subject in enumerate(each.subjects):
            at = f"/evidence/{index}/subjects/{place}"
            yield from unknown_name(subject, known, at, "The document has nothing of this name", expected)


def impossible_times(request: Document) -> Iterator[Fault]:
    """When a photo was taken is a day and an hour that exist."""
    for index, each in enumerate(request.evidence):
        if each.taken_at is not None and not _exists(each.taken_at):
            yield Fault(
                pointer=f"/evidence/{index}/taken_at",
                detail="There is no such time",
                expected="a day and an hour that exist: 2026-05-01T14:03:20",
                found=each.taken_at,
            )


def _exists(time: str) -> bool:
    try:
        datetime.fromisoformat(time)
    except ValueError:
        return False
    return True


def unsafe_file_names(request: Document) -> Iterator[Fault]:
    """A name is that of a file below a folder: it leads nowhere else, on no system."""
    for index, each in enumerate(request.evidence):
        if each.file_name is not None and not _stays_below(each.file_name):
            yield Fault(
                pointer=f"/evidence/{index}/file_name",
                detail="The name leads out of its folder",
                expected="a name, or names joined by /: kitchen/IMG_0001.jpg",
                found=each.file_name,
            )


def _stays_below(name: str) -> bool:
    parts = name.split("/")
    return "\\" not in name and ":" not in parts[0][:2] and not {"", ".", ".."} & set(parts)
