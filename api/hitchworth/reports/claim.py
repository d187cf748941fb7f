"""A claim pack as its own papers describe it: the loss, the policy, the files, and what of the evidence is there."""

from datetime import date
from typing import Literal, TypeAlias

from msgspec import Struct

from hitchworth.model.evidence import Evidence
from hitchworth.model.loss import Loss
from hitchworth.model.policy import Policy

LeftOut: TypeAlias = Literal["not_given", "missing", "altered", "other_type", "unreadable"]
"""Why a file of evidence is not in a pack.

not_given: the pack was made without the files
missing: the file was not found
altered: what was found is not the file that was added
other_type: the file is of another kind than the document says
unreadable: date and place could not be removed from the photo
"""


class PackedEvidence(Struct, frozen=True, kw_only=True):
    """An entry of evidence, and its file in the pack."""

    entry: Evidence
    path: str | None = None
    """Of the file, below the folder of the payload. None: it is not there."""
    sha256: str | None = None
    """Of the file as it is in the pack."""
    left_out: LeftOut | None = None


class PackedFile(Struct, frozen=True, kw_only=True):
    """A paper or table of the pack."""

    title: str
    """Name of its text."""
    paths: tuple[str, ...]
    """In each of its formats, below the folder of the payload."""


class PackedClaim(Struct, frozen=True, kw_only=True):
    """A claim: one loss under one policy, and what is handed over for it."""

    policy: Policy
    loss: Loss
    valued_on: date
    """The day of the loss, or the day on which one without a day is supposed."""
    made_on: date
    evidence: tuple[PackedEvidence, ...]
    has_files: bool
    """Whether the files of evidence were at hand when the pack was made."""
    is_stripped: bool
    """Whether date, place and camera were removed from the photos."""
    files: tuple[PackedFile, ...] = ()
