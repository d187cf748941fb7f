"""Which files this process has open: Windows neither renames nor deletes one, so a test looks in its place."""

from contextlib import suppress
from pathlib import Path


def is_open(path: str | Path) -> bool:
    """Return whether this process has the file open. Linux tells."""
    found = set()
    for handle in Path("/proc/self/fd").iterdir():
        with suppress(OSError):  # that of the listing itself is closed by now
            found.add(handle.readlink())
    return Path(path) in found
