"""A thin, typed client of the Hitchworth API.

    with Client("http://127.0.0.1:8000") as client:
        estimate = client.create_estimate(EstimateRequest(build=Build(name="Camper", currency="USD")))

AsyncClient has the same methods, to be awaited. The records are those of the API; amounts are decimals.
Every exception is a HitchworthError: see `errors`.
"""

from importlib import import_module
from typing import TYPE_CHECKING

from hitchworth_sdk import _types
from hitchworth_sdk._calls import (
    CallOptions,
    KeptQuoteReportOptions,
    KeptReportOptions,
    PaperOptions,
    ReportFormat,
    ReportOptions,
    SharedReportOptions,
    WorkbookFormat,
)
from hitchworth_sdk._cells import CellOptions, PercentGoodOptions
from hitchworth_sdk._evidence import FolderResult, FolderStep
from hitchworth_sdk._kept_builds import Seen, document_of
from hitchworth_sdk._kept_quotes import SeenQuote, quote_document_of
from hitchworth_sdk._messages import Response
from hitchworth_sdk._numbers import Number
from hitchworth_sdk._operations import BatchAnswer
from hitchworth_sdk._types import *  # noqa: F403  (it has an __all__ of its own, printed with the records)
from hitchworth_sdk._version import __version__
from hitchworth_sdk.client import Client
from hitchworth_sdk.errors import (
    ApiError,
    BadRequest,
    ClientClosedError,
    ConfigurationError,
    Forbidden,
    HeadersTooLarge,
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
    MessagePending,
    MethodNotAllowed,
    NoDatabase,
    NotAcceptable,
    NoTextReader,
    NotFound,
    NoTypesetter,
    PayloadTooLarge,
    PreconditionRequired,
    Problem,
    ProxyError,
    QuoteStage,
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
    UnreadableFile,
    UnsupportedMediaType,
    UnwritableFile,
    WebhookDisabled,
    WebhookVerificationError,
    WrongHost,
)
from hitchworth_sdk.rows import to_rows
from hitchworth_sdk.webhooks import verify_webhook

if TYPE_CHECKING:
    from hitchworth_sdk._async_client import AsyncClient

__all__ = [
    "ApiError",
    "AsyncClient",
    "BadRequest",
    "BatchAnswer",
    "CallOptions",
    "CellOptions",
    "Client",
    "ClientClosedError",
    "ConfigurationError",
    "FolderResult",
    "FolderStep",
    "Forbidden",
    "HeadersTooLarge",
    "HitchworthError",
    "IdempotencyKeyInUse",
    "IdempotencyKeyReused",
    "InTrash",
    "InvalidInput",
    "InvalidParameter",
    "KeptQuoteReportOptions",
    "KeptReportOptions",
    "KeyRefused",
    "KeyRotated",
    "LinkEnded",
    "MadeBefore",
    "MessagePending",
    "MethodNotAllowed",
    "NoDatabase",
    "NoTextReader",
    "NoTypesetter",
    "NotAcceptable",
    "NotFound",
    "Number",
    "PaperOptions",
    "PayloadTooLarge",
    "PercentGoodOptions",
    "PreconditionRequired",
    "Problem",
    "ProxyError",
    "QuoteStage",
    "ReportFormat",
    "ReportOptions",
    "RequestTimeout",
    "Response",
    "ResponseTimeoutError",
    "Seen",
    "SeenQuote",
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
    "UnreadableFile",
    "UnsupportedMediaType",
    "UnwritableFile",
    "WebhookDisabled",
    "WebhookVerificationError",
    "WorkbookFormat",
    "WrongHost",
    "__version__",
    "document_of",
    "quote_document_of",
    "to_rows",
    "verify_webhook",
]
__all__ += _types.__all__


def __getattr__(name: str) -> object:
    """Return the asynchronous client, which is imported when it is asked for: it draws in the event loop of Python."""
    if name == "AsyncClient":
        return import_module("hitchworth_sdk._async_client").AsyncClient
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
