"""Keys: made, listed, rotated and revoked by who administers a workspace.

The docstrings of the functions are the descriptions of the API.
"""

from datetime import datetime, timedelta
from typing import Annotated

from msgspec import Meta
from msgspec.structs import asdict

from hitchworth import validation
from hitchworth.model.access import KeyRecord, KeyRequest, KeyRotation, NewKey
from hitchworth.model.caller import Caller
from hitchworth.model.fault import Fault
from hitchworth.model.listing import Items
from hitchworth.operations.changes import SecretCreation, claim_of
from hitchworth.store import Store
from hitchworth.store.credentials import Credential
from hitchworth.store.errors import NameTakenError
from hitchworth.store.idempotency import IdempotencyClaim

_LONGEST = timedelta(days=36_525)

Key = Annotated[
    str, Meta(pattern="^[0-9A-Za-z]{1,8}$", description="The public part of the key.", examples=["Ex4mpLe1"])
]


def create_key(store: Store, caller: Caller, request: bytes, how: SecretCreation) -> NewKey:
    """Make a key for this workspace.

    The answer is the only one that has the key itself: what is kept cannot be turned back into it.
    """
    wanted = validation.read(request, KeyRequest)
    require_end_ahead("/expires_at", wanted.expires_at, store.clock())
    return new_key(store, caller.workspace, caller.actor, wanted, claim_of(caller, how, b"keys\n" + request))


def new_key(
    store: Store, workspace: str, actor: str, wanted: KeyRequest, claim: IdempotencyClaim | None = None
) -> NewKey:
    """Make a key.

    Raises InvalidInputError when its name is taken, NotKeptError when there is no such workspace, MadeBeforeError and
    KeyReusedError.
    """
    credential = store.new_credential("hw")
    try:
        made = store.keys.create(
            workspace,
            credential,
            name=wanted.name,
            scope=wanted.scope,
            actor=actor,
            expires_at=wanted.expires_at,
            claim=claim,
        )
    except NameTakenError:
        fault = Fault(
            pointer="/name",
            detail="Another key has this name",
            expected="a name that no valid key of the workspace has",
            found=wanted.name,
        )
        raise validation.InvalidInputError([fault]) from None
    return _shown(made, credential)


def list_keys(store: Store, caller: Caller) -> Items[KeyRecord]:
    """List the keys of this workspace.

    The oldest first, with those that are not valid any more. Only their public parts are shown.
    """
    return Items(items=store.keys.list(caller.workspace))


def rotate_key(store: Store, caller: Caller, key: Key, request: bytes) -> NewKey:
    """Replace a key by a new one.

    The new key has the name, the scope and the expiry of the old one, which stays valid for the seconds of grace; with
    none it is revoked at once. A key that has been replaced already cannot be replaced again. The answer is the only
    one that has the new key itself.
    """
    grace = timedelta(seconds=validation.read(request, KeyRotation).grace_seconds)
    return rotated_key(store, caller.workspace, caller.actor, key, grace)


def rotated_key(store: Store, workspace: str, actor: str, key: str, grace: timedelta) -> NewKey:
    """Replace a key by a new one. Raises NotKeptError when there is none that is valid, RotatedError."""
    credential = store.new_credential("hw")
    return _shown(store.keys.rotate(workspace, key, credential, actor=actor, grace=grace), credential)


def revoke_key(store: Store, caller: Caller, key: Key) -> KeyRecord:
    """Revoke a key.

    It opens nothing from now on. It stays in the list, because changes are recorded under its name.
    """
    return store.keys.revoke(caller.workspace, key)


def require_end_ahead(pointer: str, end: datetime | None, now: datetime) -> None:
    """Raise InvalidInputError when the end of something has passed, or is more than a hundred years ahead."""
    if end is not None and not now < end < now + _LONGEST:
        fault = Fault(
            pointer=pointer,
            detail="The time has passed" if end <= now else "The time is too far ahead",
            expected=f"a time after {now:%Y-%m-%dT%H:%M:%SZ}, at most a hundred years ahead",
            found=end.isoformat(),
        )
        raise validation.InvalidInputError([fault])


def _shown(record: KeyRecord, credential: Credential) -> NewKey:
    return NewKey(**asdict(record), key=credential.text)
