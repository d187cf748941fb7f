"""Who asks: decided by the interface, before an operation runs."""

from typing import Literal, TypeAlias

from msgspec import Struct

Scope: TypeAlias = Literal["read", "write", "admin"]
"""What a caller may do in a workspace.

read: read builds and everything computed from them
write: change builds
admin: manage keys and the workspace itself
"""

DEFAULT_WORKSPACE = "default"


class Caller(Struct, frozen=True, kw_only=True):
    """The workspace that a request works in, the name that its changes are recorded under, and what it may do."""

    workspace: str
    actor: str
    scopes: frozenset[Scope]
    key: str | None = None
    """The public part of its key or share link; None where none was used."""


LOCAL_CALLER = Caller(workspace=DEFAULT_WORKSPACE, actor="local", scopes=frozenset({"read", "write", "admin"}))
"""Who asks where no keys are used: the owner of this machine."""
