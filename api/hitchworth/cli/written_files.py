"""The files that a command writes: whole or not at all, and never unasked over what somebody filled in."""

import sys
from argparse import Namespace
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

from hitchworth.cli.exit_codes import UsageError, usage_errors


def write_whole(path: Path, content: bytes) -> None:
    """Write a file whole or not at all. Raises UsageError."""
    with made_whole(path) as new:
        new.write_bytes(content)


@contextmanager
def made_whole(path: Path) -> Iterator[Path]:
    """Yield where a file is to be written; at the end it takes its place, or is gone after an error.

    Raises UsageError for what the disk says.
    """
    new = path.with_name(f"{path.name}.new")
    with usage_errors():
        try:
            yield new
            new.replace(path)
        finally:
            new.unlink(missing_ok=True)


def require_leave(output: Path, source: str | None, arguments: Namespace) -> None:
    """Ask before a file is written over, unless it is the one that is read, or --force gives leave.

    Raises UsageError where the answer is no, and where nobody can be asked because there is no terminal.
    """
    if arguments.force or not output.exists() or (source is not None and _is_same(output, source)):
        return
    refusal = UsageError(f"{output} exists already; choose another name, or erase what it has with --force")
    if not (sys.stdin.isatty() and sys.stderr.isatty()):
        raise refusal
    print(f"{output} exists already. Write over it? [y/N] ", end="", file=sys.stderr, flush=True)
    if sys.stdin.readline().strip().lower() not in ("y", "yes"):
        raise refusal


def tell_written(path: Path, quiet: bool) -> None:
    """Say that a file was written."""
    if not quiet:
        print(f"Wrote {path}.")


def refuse_losing(output: Path, source: str | None, lost: Sequence[str]) -> None:
    """Raise UsageError where the output takes the place of the file that is read, and has less than it."""
    if lost and source is not None and _is_same(output, source):
        raise UsageError(
            f"{output} would lose what follows; choose another name, or write it with --force:\n" + "\n".join(lost)
        )


def _is_same(output: Path, source: str) -> bool:
    return output.exists() and Path(source).exists() and output.samefile(source)
