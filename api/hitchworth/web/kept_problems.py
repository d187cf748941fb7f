"""What goes wrong with kept builds, or for want of an extra, as problems of the API."""

from logging import getLogger

from hitchworth.evidence.text_reading import NoTextReaderError
from hitchworth.extras import MissingExtraError
from hitchworth.operations.changes import QuoteStageError, TrashedError
from hitchworth.reports.typesetters import NoTypesetterError
from hitchworth.store.errors import (
    BusyError,
    DamagedError,
    DamagedFileError,
    DisabledError,
    FullError,
    KeyInUseError,
    KeyReusedError,
    LostFileError,
    MadeBeforeError,
    MessagePendingError,
    NoFilesError,
    NotKeptError,
    ReadOnlyError,
    RotatedError,
    StaleError,
    StoreError,
    TooLargeError,
    UnconfirmedError,
)
from hitchworth.web import problems
from hitchworth.web.problems import ProblemType, RequestError

_KINDS: dict[type[Exception], ProblemType] = {
    NotKeptError: problems.NOT_FOUND,
    TrashedError: problems.IN_TRASH,
    QuoteStageError: problems.QUOTE_STAGE,
    KeyReusedError: problems.KEY_REUSED,
    MadeBeforeError: problems.MADE_BEFORE,
    KeyInUseError: problems.KEY_IN_USE,
    RotatedError: problems.KEY_ROTATED,
    DisabledError: problems.WEBHOOK_DISABLED,
    MessagePendingError: problems.MESSAGE_PENDING,
    UnconfirmedError: problems.UNCONFIRMED,
    FullError: problems.STORE_FULL,
    ReadOnlyError: problems.STORE_READ_ONLY,
    BusyError: problems.STORE_BUSY,
    DamagedError: problems.KEPT_DATA_DAMAGED,
    DamagedFileError: problems.EVIDENCE_DAMAGED,
    LostFileError: problems.EVIDENCE_DAMAGED,
    NoFilesError: problems.NO_EVIDENCE_STORE,
    NoTextReaderError: problems.NO_TEXT_READER,
    NoTypesetterError: problems.NO_TYPESETTER,
    TooLargeError: problems.BODY_TOO_LARGE,
}
_RETRY_AFTER = {"retry-after": "1"}

_log = getLogger("hitchworth.web")


def kept_problem(error: StoreError | TrashedError | QuoteStageError | MissingExtraError) -> RequestError:
    """Return the error as the answer to a request. What a database says of itself is not told."""
    if isinstance(error, StaleError):
        return _stale(error)
    kind = _KINDS.get(type(error), problems.STORE_UNAVAILABLE)
    if kind.status < 500:
        detail = str(error)
        return RequestError(
            kind, detail[:1].upper() + detail[1:], headers=_RETRY_AFTER if kind is problems.KEY_IN_USE else {}
        )
    _log.error("What was asked for cannot be done: %s", type(error).__name__)
    return RequestError(kind, kind.description, headers=_RETRY_AFTER if kind is problems.STORE_BUSY else {})


def _stale(error: StaleError) -> RequestError:
    present = error.present
    why = f": {present.message}" if present.message else ""
    at = f"{present.at:%Y-%m-%d %H:%M:%S} UTC"
    detail = f"The {error.kind} is at revision {present.revision}, made by {present.actor} at {at}{why}."
    return RequestError(problems.PRECONDITION_FAILED, detail, headers={"etag": f'"{present.digest}"'})
