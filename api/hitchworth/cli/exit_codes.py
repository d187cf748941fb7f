"""How a command ends: its exit codes, and the two ways in which it can fail."""

from collections.abc import Iterator
from contextlib import contextmanager

DONE, FAULTS, WRONG_USE = 0, 1, 2


class InputError(Exception):
    """The input has faults; the message tells them, a line each. Exit code 1."""


class UsageError(Exception):
    """What was typed cannot be done. Exit code 2."""


@contextmanager
def usage_errors() -> Iterator[None]:
    """Use of a file or a folder that was named on the command line: what goes wrong with it is wrong use."""
    try:
        yield
    except OSError as error:
        raise UsageError(f"{error.filename}: {error.strerror}") from None
