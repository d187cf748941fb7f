"""Who asks: what a key or a share link opens, and whether it still does."""

from datetime import datetime
from typing import TypeAlias

from msgspec import Struct

from hitchworth.model.access import KeyRecord, ShareRecord
from hitchworth.model.caller import Caller, Scope
from hitchworth.store import Store
from hitchworth.store.credentials import read_credential

_INCLUDED: dict[Scope, frozenset[Scope]] = {
    "read": frozenset({"read"}),
    "write": frozenset({"read", "write"}),
    "admin": frozenset({"read", "write", "admin"}),
}
"""What a key of each scope may do: changing includes reading, and administering both."""

EndedRecord: TypeAlias = KeyRecord | ShareRecord


class UnknownCredentialError(Exception):
    """There is no such key or link, or the text is none."""


class EndedCredentialError(Exception):
    """The key or link has expired or was revoked, or its build is in the trash; the message says which and when."""


class OpenedBuild(Struct, frozen=True, kw_only=True):
    """The build that a share link opens, and who reads it."""

    caller: Caller
    share: ShareRecord


def caller_of_key(store: Store, text: str) -> Caller:
    """Return who has a key. Raises UnknownCredentialError and EndedCredentialError."""
    credential = read_credential(text, "hw")
    found = credential and store.keys.find(credential)
    if not found:
        raise UnknownCredentialError
    workspace, key = found
    _require_valid(key, store.clock())
    return Caller(workspace=workspace, actor=key.name, scopes=_INCLUDED[key.scope], key=key.id)


def open_share(store: Store, text: str) -> OpenedBuild:
    """Return what a share link opens. Raises UnknownCredentialError and EndedCredentialError."""
    credential = read_credential(text, "hs")
    found = credential and store.shares.find(credential)
    if not found:
        raise UnknownCredentialError
    workspace, share, trashed_at = found
    _require_valid(share, store.clock())
    if trashed_at is not None:
        raise EndedCredentialError(f"opens nothing since its build was moved to the trash on {trashed_at:%Y-%m-%d}")
    caller = Caller(workspace=workspace, actor=f"link: {share.name}", scopes=frozenset({"read"}), key=share.id)
    return OpenedBuild(caller=caller, share=share)


def _require_valid(record: EndedRecord, at: datetime) -> None:
    if record.revoked_at is not None:
        raise EndedCredentialError(f"was revoked on {record.revoked_at:%Y-%m-%d}")
    if record.expires_at is not None and record.expires_at <= at:
        raise EndedCredentialError(f"expired on {record.expires_at:%Y-%m-%d}")
