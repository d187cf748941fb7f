"""The exit codes of a command, and the errors behind them."""

from collections.abc import Iterator
from contextlib import contextmanager

OK, INVALID_INPUT, USAGE_ERROR = 0, 1, 2


class InputError(Exception):
    """The input has faults. The message lists them, one on a line. Exit code 1."""


class UsageError(Exception):
    """The command cannot do what was typed. Exit code 2."""


@contextmanager
def usage_errors() -> Iterator[None]:
    """Turn an error of a file or folder that was named on the command line into a UsageError."""
    try:
        yield
    except OSError as error:
        raise UsageError(f"{error.filename}: {error.strerror}") from None
