"""The files that a command writes: whole or not at all, and never unasked over what somebody filled in."""

from collections.abc import Sequence
from pathlib import Path

from hitchworth.cli.exit_codes import UsageError, usage_errors


def write_whole(path: Path, content: bytes) -> None:
    """Write a file whole or not at all. Raises UsageError."""
    new = path.with_name(f"{path.name}.new")
    with usage_errors():
        try:
            new.write_bytes(content)
            new.replace(path)
        except OSError:
            new.unlink(missing_ok=True)
            raise


def refuse_overwriting(output: Path, source: str | None) -> None:
    """Raise UsageError where the output is there already, and is not the file that is read."""
    if output.exists() and not (source is not None and _is_same(output, source)):
        raise UsageError(f"{output} exists already; choose another name, or write over it with --force")


def refuse_losing(output: Path, source: str | None, lost: Sequence[str]) -> None:
    """Raise UsageError where the output takes the place of the file that is read, and has less than it."""
    if lost and source is not None and _is_same(output, source):
        raise UsageError(
            f"{output} would lose what follows; choose another name, or write it with --force:\n" + "\n".join(lost)
        )


def _is_same(output: Path, source: str) -> bool:
    return output.exists() and Path(source).exists() and output.samefile(source)
