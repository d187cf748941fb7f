"""The client of a server, which only some commands use, and its errors as those of a command."""

from collections.abc import Iterator
from contextlib import contextmanager
from importlib import import_module
from typing import Any

from hitchworth.cli.exit_codes import InputError, UsageError


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
        raise InputError(str(error)) from None
    except sdk.HitchworthError as error:
        raise UsageError(str(error)) from None
