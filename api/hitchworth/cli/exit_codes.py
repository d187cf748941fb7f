"""The exit codes of a command, and the errors behind them."""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from hitchworth.cli.command_parser import did_you_mean

OK, INVALID_INPUT, USAGE_ERROR = 0, 1, 2
INTERRUPTED = 130
"""As shells have it for a program that Ctrl+C ended: 128 and the number of the signal."""

MEANINGS = {
    OK: "done",
    INVALID_INPUT: "the input has faults, or needs an answer; a history or paper does not fit",
    USAGE_ERROR: "the command was used wrongly, or a file, database or server cannot be used",
    INTERRUPTED: "interrupted",
}


class InputError(Exception):
    """The input has faults. The message lists them, one on a line. Exit code 1.

    faults: the same as records, where they have places in the input.
    is_told: the faults have been printed already.
    """

    def __init__(self, message: str, faults: Sequence[Any] = (), *, is_told: bool = False) -> None:
        super().__init__(message)
        self.faults = tuple(faults)
        self.is_told = is_told

    def as_record(self) -> dict[str, Any]:
        """Return the faults as JSON has them: under `errors`, as the API."""
        return {"errors": self.faults or ({"pointer": "", "detail": str(self)},)}


class UsageError(Exception):
    """The command cannot do what was typed. Exit code 2."""


@contextmanager
def usage_errors() -> Iterator[None]:
    """Turn an error of a file or folder that was named on the command line into a UsageError."""
    try:
        yield
    except FileNotFoundError as error:
        raise UsageError(f"{error.filename}: {error.strerror}{_did_you_mean(Path(error.filename))}") from None
    except OSError as error:
        raise UsageError(f"{error.filename}: {error.strerror}") from None


def _did_you_mean(missing: Path) -> str:
    """Return the question whether another file of the folder was meant; empty where none has a similar name."""
    try:
        names = [path.name for path in missing.parent.iterdir()]
    except OSError:
        return ""
    return did_you_mean(missing.name, names)
