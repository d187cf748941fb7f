"""The chain of digests: each revision's covers the one before it, who made it, when and why, and the document."""

from collections.abc import Iterable
from hashlib import sha256

import msgspec
from msgspec import Struct
from msgspec.structs import replace

from hitchworth.model.kept import Revision


class KeptDocument(Struct, frozen=True):
    """A revision and the bytes of its document."""

    revision: Revision
    body: bytes


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
    for number, document in enumerate(documents, start=1):
        revision = document.revision
        if (revision.revision, revision.previous) != (number, previous):
            return
        if chained(revision, document.body).digest != revision.digest:
            return
        previous = revision.digest
        yield document
