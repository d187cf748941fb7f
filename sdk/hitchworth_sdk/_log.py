"""What the client logs, under the name `hitchworth_sdk`, and warns of: each request and its outcome, and no secret.

Of a request, only this is logged: the method, the path with the names of its parts in the place of their values, as
`/v1/shared/{link}`, the id, and what came of it. Headers, queries and bodies are not.
"""

from logging import DEBUG, INFO, NullHandler, getLogger
from warnings import warn

from hitchworth_sdk._exchange import Operation
from hitchworth_sdk._messages import Request, Response
from hitchworth_sdk.errors import TransportError

_log = getLogger("hitchworth_sdk")
_log.addHandler(NullHandler())


def log_outcome(
    operation: Operation[object], request: Request, outcome: Response | TransportError, seconds: float
) -> None:
    """Log what came of a request that was sent: an answer as a detail, none as something to know."""
    told = outcome.status if isinstance(outcome, Response) else outcome.message
    level = DEBUG if isinstance(outcome, Response) else INFO
    _log.log(level, "%s %s: %s in %.3f s [%s]", operation.method, operation.path, told, seconds, request.id)


def warn_if_deprecated(operation: Operation[object], outcome: Response | TransportError) -> None:
    """Warn of an operation that the server calls deprecated (RFC 9745), with the day of its end (RFC 8594) if known."""
    if isinstance(outcome, Response) and "Deprecation" in outcome.headers:
        until = outcome.headers.get("Sunset")
        end = f", and ends on {until}" if until else ""
        warn(f"{operation.method} {operation.path} is deprecated{end}", DeprecationWarning, stacklevel=5)


def log_pause(operation: Operation[object], request: Request, seconds: float) -> None:
    """Log that a request is sent again."""
    _log.info("%s %s is sent again in %.1f s [%s]", operation.method, operation.path, seconds, request.id)
