"""A thin, typed client of the Hitchworth API.

    with Client("http://127.0.0.1:8000") as client:
        estimate = client.create_estimate(EstimateRequest(build=Build(name="Camper", currency="USD")))

The records are those of the API; amounts are decimals. Every exception is a HitchworthError: see `errors`.
"""

from hitchworth_sdk import _types
from hitchworth_sdk._types import *  # noqa: F403  (it has an __all__ of its own, printed with the records)
from hitchworth_sdk._version import __version__
from hitchworth_sdk.client import CallOptions, Client, LetterName, Paper, ReportFormat, ReportName
from hitchworth_sdk.errors import (
    ApiError,
    BadRequest,
    ConfigurationError,
    HitchworthError,
    InvalidInput,
    InvalidParameter,
    MethodNotAllowed,
    NotAcceptable,
    NotFound,
    PayloadTooLarge,
    Problem,
    RequestTimeout,
    ResponseTimeoutError,
    ServerError,
    ServiceUnavailable,
    TooManyRequests,
    TransportError,
    UnexpectedResponse,
    UnreadableBody,
    UnsupportedMediaType,
)

__all__ = [
    "ApiError",
    "BadRequest",
    "CallOptions",
    "Client",
    "ConfigurationError",
    "HitchworthError",
    "InvalidInput",
    "InvalidParameter",
    "LetterName",
    "MethodNotAllowed",
    "NotAcceptable",
    "NotFound",
    "Paper",
    "PayloadTooLarge",
    "Problem",
    "ReportFormat",
    "ReportName",
    "RequestTimeout",
    "ResponseTimeoutError",
    "ServerError",
    "ServiceUnavailable",
    "TooManyRequests",
    "TransportError",
    "UnexpectedResponse",
    "UnreadableBody",
    "UnsupportedMediaType",
    "__version__",
]
__all__ += _types.__all__
