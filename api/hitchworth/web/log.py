"""The log of the server: events on standard error, a JSON object or a line of text each.

What callers send is not logged: no body, no address with its parameters, no name, no key. An error is logged with its
type and the places in the code; its message is left out, because it may repeat what was sent.
"""

import logging
import sys
from collections.abc import Iterator
from types import TracebackType
from typing import Any

import msgspec
import structlog
from structlog.types import EventDict, Processor, WrappedLogger

from hitchworth.operations.settings import Settings

_MAX_PLACES = 30
"""Of a traceback, the last ones: an error in a deep recursion has thousands."""


def configure_log(settings: Settings) -> None:
    """Send the log of this process, with that of its libraries, to standard error."""
    is_text = settings.log_format == "text" or is_for_a_person(settings)
    rendered: Processor = (
        structlog.dev.ConsoleRenderer(colors=False) if is_text else structlog.processors.JSONRenderer(serializer=_json)
    )
    formatter = structlog.stdlib.ProcessorFormatter(
        foreign_pre_chain=[
            structlog.stdlib.add_log_level,
            structlog.processors.TimeStamper(fmt="iso", utc=True),
            structlog.contextvars.merge_contextvars,
            structlog.stdlib.ExtraAdder(),
            _without_colored_copy,
            _without_messages_of_errors,
        ],
        processors=[structlog.stdlib.ProcessorFormatter.remove_processors_meta, rendered],
    )
    handler = logging.StreamHandler(sys.stderr)
    handler.setFormatter(formatter)
    logging.basicConfig(handlers=[handler], level=settings.log_level.upper(), force=True)
    if is_for_a_person(settings):  # who wants to know the address, and not how the web server starts
        logging.getLogger("uvicorn.error").setLevel(max(logging.root.level, logging.WARNING))


def is_for_a_person(settings: Settings) -> bool:
    """Return whether a person reads the log on a terminal: nobody chose a format, and it is not sent elsewhere."""
    return settings.log_format is None and sys.stderr.isatty()


def _without_colored_copy(_: WrappedLogger, __: str, event: EventDict) -> EventDict:
    """Leave out what the web server says a second time, with colors."""
    event.pop("color_message", None)
    return event


def _json(event: Any, **_: Any) -> str:
    return msgspec.json.encode(event, enc_hook=str).decode()


def _without_messages_of_errors(_: WrappedLogger, __: str, event: EventDict) -> EventDict:
    """Replace an exception by its type and the places in the code, and those of its causes."""
    given = event.pop("exc_info", None)
    if given:
        event["errors"] = list(described(given[1]))
    return event


class ElsewhereError(Exception):
    """An error in another process of the server: `errors` is what the log says of it."""

    def __init__(self, errors: list[dict[str, Any]]) -> None:
        super().__init__(errors)
        self.errors = errors


def described(error: BaseException | None) -> Iterator[dict[str, Any]]:
    """Yield the type of an error and of each of its causes, and their places in the code."""
    while error is not None:
        if isinstance(error, ElsewhereError):
            yield from error.errors
            return
        yield {"type": type(error).__qualname__, "at": list(_places(error.__traceback__))[-_MAX_PLACES:]}
        error = error.__cause__ or error.__context__


def _places(traceback: TracebackType | None) -> Iterator[str]:
    while traceback is not None:
        module = traceback.tb_frame.f_globals.get("__name__", "?")
        yield f"{module}:{traceback.tb_lineno} {traceback.tb_frame.f_code.co_qualname}"
        traceback = traceback.tb_next
