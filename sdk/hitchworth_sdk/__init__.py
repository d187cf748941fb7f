"""A thin, typed client of the Hitchworth API.

    with Client("http://127.0.0.1:8000") as client:
        estimate = client.create_estimate(EstimateRequest(build=Build(name="Camper", currency="USD")))

The records are those of the API; amounts are decimals. Every exception is a HitchworthError: see `errors`.
"""

from hitchworth_sdk import _types
from hitchworth_sdk._calls import (
    CallOptions,
    KeptReportOptions,
    Number,
    PaperOptions,
    ReportFormat,
    ReportOptions,
    SharedReportOptions,
    WorkbookFormat,
)
from hitchworth_sdk._cells import CellOptions, PercentGoodOptions
from hitchworth_sdk._evidence import FolderResult, FolderStep
from hitchworth_sdk._kept_builds import Seen, document_of
from hitchworth_sdk._types import *  # noqa: F403  (it has an __all__ of its own, printed with the records)
from hitchworth_sdk._version import __version__
from hitchworth_sdk.client import Client
from hitchworth_sdk.errors import (
    ApiError,
    BadRequest,
    ConfigurationError,
    Forbidden,
    HitchworthError,
    IdempotencyKeyInUse,
    IdempotencyKeyReused,
    InTrash,
    InvalidInput,
    InvalidParameter,
    KeyRefused,
    KeyRotated,
    LinkEnded,
    MadeBefore,
    MethodNotAllowed,
    NoDatabase,
    NotAcceptable,
    NotFound,
    PayloadTooLarge,
    PreconditionRequired,
    Problem,
    RequestTimeout,
    ResponseTimeoutError,
    ServerError,
    ServiceUnavailable,
    StaleRevision,
    StoreUnavailable,
    TooManyRequests,
    TransportError,
    Unconfirmed,
    UnexpectedResponse,
    UnreadableBody,
    UnsupportedMediaType,
    WrongHost,
)

__all__ = [
    "ApiError",
    "BadRequest",
    "CallOptions",
    "CellOptions",
    "Client",
    "ConfigurationError",
    "FolderResult",
    "FolderStep",
    "Forbidden",
    "HitchworthError",
    "IdempotencyKeyInUse",
    "IdempotencyKeyReused",
    "InTrash",
    "InvalidInput",
    "InvalidParameter",
    "KeptReportOptions",
    "KeyRefused",
    "KeyRotated",
    "LinkEnded",
    "MadeBefore",
    "MethodNotAllowed",
    "NoDatabase",
    "NotAcceptable",
    "NotFound",
    "Number",
    "PaperOptions",
    "PayloadTooLarge",
    "PercentGoodOptions",
    "PreconditionRequired",
    "Problem",
    "ReportFormat",
    "ReportOptions",
    "RequestTimeout",
    "ResponseTimeoutError",
    "Seen",
    "ServerError",
    "ServiceUnavailable",
    "SharedReportOptions",
    "StaleRevision",
    "StoreUnavailable",
    "TooManyRequests",
    "TransportError",
    "Unconfirmed",
    "UnexpectedResponse",
    "UnreadableBody",
    "UnsupportedMediaType",
    "WorkbookFormat",
    "WrongHost",
    "__version__",
    "document_of",
]
__all__ += _types.__all__
