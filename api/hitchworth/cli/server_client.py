"""The client of a server, which only some commands use, and its errors as those of a command."""

from collections.abc import Iterator
from contextlib import contextmanager
from importlib import import_module
from typing import Any, TypeVar

import msgspec
from msgspec import Struct

from hitchworth.cli.exit_codes import InputError, UsageError

T = TypeVar("T")


def client_library() -> Any:
    """Return the package of the client. Raises UsageError when it is not installed."""
    try:
        return import_module("hitchworth_sdk")
    except ImportError:
        raise UsageError(
            "this needs the client of the server, which is not installed: pip install hitchworth-sdk"
        ) from None


@contextmanager
def connected(address: str, key: str | None) -> Iterator[Any]:
    """Talk to a server through the client, and turn its errors into those of a command."""
    sdk = client_library()
    try:
        with sdk.Client(address, api_key=key) as client:
            yield client
    except sdk.InvalidInput as error:
        raise InputError(str(error), error.faults) from None
    except sdk.HitchworthError as error:
        raise UsageError(str(error)) from None


def computed(client: Any, operation: str, request: Struct, kind: type[T]) -> T:
    """Let a server carry out an operation, which the client has as a method, and return its answer as this type."""
    return from_client(getattr(client, operation)(for_client(request)), kind)


def from_client(answer: Any, kind: type[T]) -> T:
    """Return a record of the client as this type of the model, whose fields are the same."""
    return msgspec.convert(msgspec.to_builtins(answer), kind)


def for_client(value: Any) -> Any:
    """Return a record as the client has it, whose records have the same names and fields; any other value as it is."""
    if not isinstance(value, Struct):
        return value
    return msgspec.convert(msgspec.to_builtins(value), getattr(client_library(), type(value).__name__))
