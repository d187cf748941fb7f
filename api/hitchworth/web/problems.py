"""The problem types of the API (RFC 9457), and the error that stands for one of them."""

from collections.abc import Mapping
from functools import partial
from typing import Any

from hitchworth.model.fault import Fault
from hitchworth.model.problem import BODY_TOO_LARGE, INVALID_INPUT, MALFORMED_BODY, Problem, ProblemType

__all__ = ["BODY_TOO_LARGE", "INVALID_INPUT", "MALFORMED_BODY", "Problem", "ProblemType"]

PROBLEM_JSON = "application/problem+json"


class RequestError(Exception):
    """A request that gets a problem document instead of its answer."""

    def __init__(
        self,
        kind: ProblemType,
        detail: str,
        *,
        errors: tuple[Fault, ...] = (),
        fault_count: int | None = None,
        headers: Mapping[str, str] | None = None,
    ) -> None:
        super().__init__(detail)
        self.kind = kind
        self.detail = detail
        self.errors = errors
        self.fault_count = len(errors) if fault_count is None else fault_count
        self.headers = dict(headers or {})

    def __reduce__(self) -> tuple[Any, ...]:
        """Say how the error is made anew in another process."""
        made = partial(RequestError, errors=self.errors, fault_count=self.fault_count, headers=self.headers)
        return made, (self.kind, self.detail)


def _problem_type(name: str, status: int, title: str, description: str) -> ProblemType:
    return ProblemType(type=f"/problems/{name}", title=title, status=status, description=description)


BAD_REQUEST = _problem_type("bad-request", 400, "Bad request", "The request does not follow the rules of HTTP.")
INVALID_PARAMETER = _problem_type(
    "invalid-parameter", 400, "A parameter is invalid", "A parameter of the path or the query is unknown or invalid."
)
NOT_FOUND = _problem_type("not-found", 404, "Not found", "There is no resource at this address.")
METHOD_NOT_ALLOWED = _problem_type(
    "method-not-allowed", 405, "Method not allowed", "The Allow header lists the methods that this address supports."
)
NOT_ACCEPTABLE = _problem_type(
    "not-acceptable",
    406,
    "Not available in this format",
    "The response is not available in a format that the Accept header allows. `?format=` overrides Accept.",
)
KEY_REQUIRED = _problem_type(
    "key-required",
    401,
    "A key is required",
    "Send `Authorization: Bearer` with a key. The administrator of the server can make one.",
)
FORWARDED = _problem_type(
    "forwarded",
    401,
    "A request through a proxy needs a key",
    "A proxy has passed the request on (the header Forwarded, X-Forwarded-For or Via), so it may come from another "
    "machine, and only this machine needs no key. Make a key with `hitchworth keys create` and send it as "
    "`Authorization: Bearer`.",
)
INVALID_KEY = _problem_type(
    "invalid-key",
    401,
    "The key is not valid",
    "The key is malformed, unknown, expired or revoked; `detail` says which.",
)
INSUFFICIENT_SCOPE = _problem_type(
    "insufficient-scope",
    403,
    "The scope of the key does not cover this",
    "`detail` names the scope that is needed: read, write or admin.",
)
FOREIGN_PAGE = _problem_type(
    "foreign-page",
    403,
    "The request comes from a page of another site",
    "A browser sent this for a page that is not of this server (the header Origin). Its operator can allow the name of "
    "another server of theirs, HITCHWORTH_ALLOWED_HOSTS, or the pages of another site, HITCHWORTH_CORS_ORIGINS.",
)
LINK_ENDED = _problem_type(
    "link-ended",
    410,
    "The link no longer works",
    "The share link has expired or was revoked, or its build is in the trash.",
)
WRONG_HOST = _problem_type(
    "wrong-host",
    421,
    "The server does not go by this name",
    "The header Host names another server. Its operator can allow the name: HITCHWORTH_ALLOWED_HOSTS.",
)
RATE_LIMITED = _problem_type(
    "rate-limited", 429, "Too many requests", "The key has used up its requests. Retry-After has the seconds to wait."
)
BODY_TOO_SLOW = _problem_type(
    "body-too-slow", 408, "The body came too slowly", "The body did not arrive in the time that the server allows."
)
HEAD_TOO_LARGE = _problem_type(
    "head-too-large", 431, "The headers are too large", "The address and the headers of a request have a limit."
)
HEAD_TOO_SLOW = _problem_type(
    "head-too-slow",
    408,
    "The headers came too slowly",
    "The address and the headers did not arrive in the time that the server allows.",
)
PRECONDITION_REQUIRED = _problem_type(
    "precondition-required",
    428,
    "If-Match is missing",
    "A change names the revision that it is meant for: read what is to be changed, and send its ETag in the header "
    "If-Match.",
)
PRECONDITION_FAILED = _problem_type(
    "precondition-failed",
    412,
    "Changed since you read it",
    "If-Match names another revision than the present one, whose ETag is in the header. Nothing was kept. Read it "
    "again, and make the change to what it is now.",
)
IN_TRASH = _problem_type(
    "in-trash",
    409,
    "It is in the trash",
    "A build or quote in the trash can be read, but not changed. Recover it first.",
)
QUOTE_STAGE = _problem_type(
    "quote-stage",
    409,
    "Not possible at this stage of the quote",
    "A quote is accepted once, and has change orders only after that; a change order is accepted once, in its turn. "
    "`detail` says at which stage it is.",
)
UNCONFIRMED = _problem_type(
    "unconfirmed", 409, "The deletion is not confirmed", "Repeat the name of what would be deleted in `confirm`."
)
KEY_ROTATED = _problem_type(
    "key-rotated",
    409,
    "The key has been replaced already",
    "A key in its time of grace cannot be replaced again. `detail` names the one in its place.",
)
WEBHOOK_DISABLED = _problem_type(
    "webhook-disabled", 409, "The webhook is disabled", "Nothing is sent to it. POST to its /enable first."
)
MESSAGE_PENDING = _problem_type(
    "message-pending", 409, "The message is still to be sent", "It is sent by itself; `next_at` says when."
)
KEY_IN_USE = _problem_type(
    "idempotency-key-in-use",
    409,
    "A request with this Idempotency-Key is in progress",
    "Another request with this Idempotency-Key has not been answered yet. Send it again later.",
)
MADE_BEFORE = _problem_type(
    "made-before",
    409,
    "This request already made a key, link or webhook",
    "A request with this Idempotency-Key has made the key, share link or webhook that `detail` names. Its secret was "
    "only in the first answer. If you lost it, rotate the key or the secret of the webhook; or revoke the link, and "
    "make another under a new Idempotency-Key.",
)
KEY_REUSED = _problem_type(
    "idempotency-key-reused",
    422,
    "The Idempotency-Key was used for another request",
    "Within 24 hours an Idempotency-Key stands for one request: this address, this body and this message.",
)
NO_DATABASE = _problem_type(
    "no-database",
    501,
    "This server keeps nothing",
    "It was started without a database. To keep builds, start it with --database and the path of a file.",
)
STORE_FULL = _problem_type(
    "store-full", 507, "No space is left", "The disk of the database is full. Nothing of this request was kept."
)
STORE_READ_ONLY = _problem_type(
    "store-read-only",
    503,
    "The database cannot be written",
    "The database or its disk is read-only. Nothing of this request was kept; builds can still be read.",
)
STORE_BUSY = _problem_type(
    "store-busy",
    503,
    "The database is busy",
    "Others held the database for too long. Nothing of this request was kept; send it again.",
)
STORE_UNAVAILABLE = _problem_type(
    "store-unavailable",
    503,
    "The database cannot be used",
    "It cannot be reached or read. The log of the server has the kind of error, under the request id in `instance`.",
)
KEPT_DATA_DAMAGED = _problem_type(
    "kept-data-damaged",
    500,
    "The stored data is damaged",
    "The request is not at fault: something other than this program altered the data, and it cannot be read. "
    "Verify the build to see from which revision on; its operator can restore a backup.",
)
RANGE_NOT_SATISFIABLE = _problem_type(
    "range-not-satisfiable",
    416,
    "The file has no such part",
    "The header Range asks for bytes after the end of the file. Content-Range has its size.",
)
NO_EVIDENCE_STORE = _problem_type(
    "no-evidence-store",
    501,
    "This server keeps no files",
    "It was started without a place for evidence. With PostgreSQL, name one: --evidence and a folder, or s3://BUCKET.",
)
NO_TYPESETTER = _problem_type(
    "no-typesetter",
    501,
    "This server makes no PDF and no Word documents",
    "It was installed without the extra that makes them: hitchworth[reports]. Take a report as HTML or Markdown "
    "(`?format=html`), a letter as text.",
)
NO_TEXT_READER = _problem_type(
    "no-text-reader",
    501,
    "This server reads no photos",
    "It was installed without the extra that reads text in photos: hitchworth[ocr]. Enter the numbers by hand.",
)
EVIDENCE_DAMAGED = _problem_type(
    "evidence-damaged",
    500,
    "A stored file is damaged",
    "The request is not at fault: the stored file of this evidence is missing or has been altered, so it is not given "
    "out. Add the same file again, or restore a backup.",
)
UNSUPPORTED_MEDIA_TYPE = _problem_type(
    "unsupported-media-type",
    415,
    "Unsupported format of the body",
    "The header Accept of the response names the media type to send. Nothing may be compressed.",
)
INTERNAL_ERROR = _problem_type(
    "internal-error",
    500,
    "Internal server error",
    "The request is not at fault. The log of the server has the details, under the request id in `instance`.",
)
OVERLOADED = _problem_type(
    "overloaded", 503, "Too many requests at once", "The server is busy. Try again after the seconds in Retry-After."
)
ANSWER_TOO_SLOW = _problem_type(
    "answer-too-slow",
    503,
    "The answer took too long",
    "The answer was not ready in the time that the server allows. A smaller request takes less time.",
)
COMPUTATION_LOST = _problem_type(
    "computation-lost",
    503,
    "The computation was interrupted",
    "The process that computed the answer was ended from outside before it was ready, as where memory is short.",
)
NOT_READY = _problem_type(
    "not-ready", 503, "The server is not ready", "The server runs, but should not be sent requests; `detail` says why."
)

PROBLEM_TYPES: tuple[ProblemType, ...] = (
    BAD_REQUEST,
    MALFORMED_BODY,
    INVALID_PARAMETER,
    KEY_REQUIRED,
    FORWARDED,
    INVALID_KEY,
    INSUFFICIENT_SCOPE,
    FOREIGN_PAGE,
    NOT_FOUND,
    METHOD_NOT_ALLOWED,
    NOT_ACCEPTABLE,
    BODY_TOO_SLOW,
    HEAD_TOO_LARGE,
    HEAD_TOO_SLOW,
    IN_TRASH,
    QUOTE_STAGE,
    KEY_IN_USE,
    MADE_BEFORE,
    KEY_ROTATED,
    WEBHOOK_DISABLED,
    MESSAGE_PENDING,
    UNCONFIRMED,
    LINK_ENDED,
    PRECONDITION_FAILED,
    BODY_TOO_LARGE,
    UNSUPPORTED_MEDIA_TYPE,
    RANGE_NOT_SATISFIABLE,
    INVALID_INPUT,
    KEY_REUSED,
    PRECONDITION_REQUIRED,
    WRONG_HOST,
    RATE_LIMITED,
    INTERNAL_ERROR,
    KEPT_DATA_DAMAGED,
    EVIDENCE_DAMAGED,
    OVERLOADED,
    ANSWER_TOO_SLOW,
    COMPUTATION_LOST,
    NOT_READY,
    NO_DATABASE,
    NO_EVIDENCE_STORE,
    NO_TYPESETTER,
    NO_TEXT_READER,
    STORE_READ_ONLY,
    STORE_BUSY,
    STORE_UNAVAILABLE,
    STORE_FULL,
)
