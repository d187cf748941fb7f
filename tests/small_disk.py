"""A disk of one megabyte in memory, which can be filled or made read-only. Only root may mount one."""

import os
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest


@contextmanager
def small_disk(folder: Path, megabytes: int = 1) -> Iterator[Path]:
    """Mount the disk on a folder, which everybody may enter, and yield it. Where that is not allowed, skip the test."""
    folder.mkdir()
    options = f"size={megabytes}m,mode=0777"
    run = subprocess.run(
        ["mount", "-t", "tmpfs", "-o", options, "tmpfs", str(folder)], capture_output=True, check=False
    )
    if run.returncode:
        pytest.skip(f"no disk can be mounted: {run.stderr.decode().strip()}")
    try:
        yield folder
    finally:
        subprocess.run(["umount", "-l", str(folder)], check=True)


def make_read_only(disk: Path) -> None:
    """Let nothing more be written to the disk."""
    subprocess.run(["mount", "-o", "remount,ro", str(disk)], check=True)


def fill(disk: Path) -> None:
    """Leave no room on the disk."""
    filler = os.open(disk / "filler", os.O_CREAT | os.O_WRONLY)
    try:
        while True:
            os.write(filler, b"x" * 4096)
    except OSError:
        pass
    finally:
        os.close(filler)
