"""What can go wrong in the store."""

from hitchworth.model.kept import KeptKind, Revision


class StoreError(Exception):
    """The store cannot do what was asked. Nothing of it was kept."""


class NotKeptError(StoreError):
    """There is no such build, quote or revision in the workspace."""


class StaleError(StoreError):
    """The build or quote has been changed since it was read. `present` is what it is at now."""

    def __init__(self, present: Revision, kind: KeptKind = "build") -> None:
        super().__init__(f"the {kind} is at revision {present.revision}")
        self.present, self.kind = present, kind


class KeyReusedError(StoreError):
    """The idempotency key was used for another request."""


class UnconfirmedError(StoreError):
    """Much would be deleted, and the caller has not said by its name that it is meant."""


class RotatedError(StoreError):
    """The key has been replaced by another already, and is valid for its time of grace only."""


class MadeBeforeError(StoreError):
    """A request under the idempotency key has made something with a secret, which is not kept for a second answer."""


class NameTakenError(StoreError):
    """Another key of the workspace, which is valid, has the name."""


class KeyInUseError(StoreError):
    """A request under the idempotency key is still in work."""


class DisabledError(StoreError):
    """The webhook is disabled, so nothing is sent to it."""


class MessagePendingError(StoreError):
    """The message is still to be sent."""


class FullError(StoreError):
    """No space is left on the disk."""


class ReadOnlyError(StoreError):
    """The database cannot be written: it, or its disk, is read-only."""


class BusyError(StoreError):
    """Others held the database for too long. The same request may be sent again."""


class UnavailableError(StoreError):
    """The database cannot be reached or read."""


class TooLargeError(StoreError):
    """A file has more bytes than the server takes."""


class NoFilesError(StoreError):
    """The store has no place for files."""


class DamagedFileError(StoreError):
    """A stored file is not the one that was added, or is missing. It is never given out."""


class LostFileError(DamagedFileError):
    """A stored file is not where it was put."""


class DamagedError(StoreError):
    """What is kept has been altered by something else than this program, and cannot be read."""
