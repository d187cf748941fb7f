"""The chain of digests: each revision's covers the one before it, who made it, when and why, and the document."""

from collections.abc import Callable, Iterable
from hashlib import sha256

import msgspec
from msgspec import Struct
from msgspec.structs import replace

from hitchworth.model.kept import BuildEntry, KeptKind, Revision
from hitchworth.model.kept_quote import QuoteEntry
from hitchworth.store.errors import DamagedError


class KeptDocument(Struct, frozen=True):
    """A revision of a build or quote, and the bytes of its document."""

    kind: KeptKind
    revision: Revision
    body: bytes

    @property
    def name(self) -> str:
        """What messages call it."""
        return revision_name(self.kind, self.revision.build, self.revision.revision)


def revision_name(kind: KeptKind, kept: str, revision: int) -> str:
    """Return what messages call a revision of the build or quote that has this id."""
    return f"revision {revision} of the {kind} {kept}"


def chained(revision: Revision, body: bytes) -> Revision:
    """Return the revision with its digest, which is computed from everything else in it and from the document.

    It is SHA-256 of three parts without anything between them: the digest of the revision before it in hexadecimal
    digits (nothing for the first); action, actor, at, build, format, message and revision as a JSON object, its names
    in this order; and the document.
    """
    told = msgspec.to_builtins(revision)
    del told["digest"], told["previous"]
    digest = sha256(revision.previous.encode())
    digest.update(msgspec.json.encode(told, order="sorted"))
    digest.update(body)
    return replace(revision, digest=digest.hexdigest())


def fitting(documents: Iterable[KeptDocument]) -> Iterable[KeptDocument]:
    """Yield the revisions of a build, in order from the first, as long as each fits the one before it."""
    previous = ""
    try:
        for number, document in enumerate(documents, start=1):
            revision = document.revision
            if (revision.revision, revision.previous) != (number, previous) or not is_whole(document):
                return
            previous = revision.digest
            yield document
    except DamagedError:
        return


def is_whole(document: KeptDocument) -> bool:
    """Return whether the digest of a revision is that of what is kept of it."""
    return chained(document.revision, document.body).digest == document.revision.digest


class Chain(Struct, frozen=True):
    """How far the history of a build is as it was written."""

    revisions: int
    """How many fit, from the first on."""
    digest: str
    """That of the last of them; empty where none fits."""
    first_unfit: int | None
    """The first revision that is altered, missing or does not fit. None: there is none."""


def checked(
    present: BuildEntry | QuoteEntry, history: Iterable[KeptDocument], look: Callable[[KeptDocument], None]
) -> Chain:
    """Return how far a history fits, up to the revision that the build or quote is at. `look` sees each that does."""
    count, digest = 0, ""
    for document in fitting(history):
        count, digest = document.revision.revision, document.revision.digest
        look(document)
    intact = (count, digest) == (present.revision, present.digest)
    return Chain(count, digest, None if intact else count + 1)
