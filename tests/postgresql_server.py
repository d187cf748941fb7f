"""A PostgreSQL server of its own for the tests: a new cluster in a temporary folder, on a socket in it.

Where the server is not installed, the tests that need it are skipped; with CI=true they fail.
"""

import os
import pwd
import shutil
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from tempfile import mkdtemp

from installed import installed

FAST = "-c listen_addresses='' -c fsync=off -c synchronous_commit=off -c full_page_writes=off -c max_connections=200"
SAFE = "-c listen_addresses='' -c max_connections=200"
"""As a server is meant to run: what it has acknowledged survives."""


@contextmanager
def postgresql(options: str = FAST) -> Iterator[str]:
    """Start a server and yield the address of its database `hitchworth`; stop it at the end.

    The server refuses to run as root, so root runs it as the user `postgres` that its package brings.
    """
    binaries = Path(_server_program()).parent
    folder = Path(mkdtemp(prefix="hitchworth-postgresql-", dir="/tmp"))  # a path of a socket is short
    folder.chmod(0o755)
    if os.geteuid() == 0:
        user = pwd.getpwnam("postgres")
        os.chown(folder, user.pw_uid, user.pw_gid)
    data = folder / "data"
    try:
        _run(
            binaries / "initdb",
            "-D",
            data,
            "-A",
            "trust",
            "-U",
            "postgres",
            "-E",
            "UTF8",
            "--locale=C.UTF-8",
            "--no-sync",
        )
        _run(binaries / "pg_ctl", "-D", data, "-w", "-l", folder / "log", "-o", f"-k {folder} {options}", "start")
        try:
            _run(binaries / "createdb", "-h", folder, "-U", "postgres", "hitchworth")
            yield f"postgresql://postgres@/hitchworth?host={folder}"
        finally:
            _run(binaries / "pg_ctl", "-D", data, "-m", "immediate", "stop")
    finally:
        shutil.rmtree(folder)


def is_installed() -> bool:
    """Whether a server can be started."""
    return bool(_versions()) or shutil.which("initdb") is not None


def _server_program() -> str:
    """The program of the newest server that is installed, in the folders of Debian or on the path."""
    versions = _versions()
    return str(versions[-1]) if versions else installed("initdb", package="postgresql")


def _versions() -> list[Path]:
    return sorted(Path("/usr/lib/postgresql").glob("*/bin/initdb"), key=lambda path: int(path.parts[-3]))


def _run(*command: str | Path) -> None:
    as_user = ("runuser", "-u", "postgres", "--") if os.geteuid() == 0 else ()
    subprocess.run([*as_user, *map(str, command)], check=True, cwd="/tmp", stdout=subprocess.DEVNULL)
