"""A server is killed during uploads: every file that it acknowledged is there, whole and named, and none by halves.

HITCHWORTH_KILLS sets how often (default: 3).
"""

import os
import random
import re
import subprocess
import sys
from hashlib import sha256
from pathlib import Path

from hitchworth.store import open_store
from hitchworth_sdk import Build, Client, Document, HitchworthError

KILLS = int(os.environ.get("HITCHWORTH_KILLS", "3"))
KILLER = "import os, sys, time; time.sleep(float(sys.argv[2])); os.kill(int(sys.argv[1]), 9)"


def serving(where: Path) -> tuple["subprocess.Popen[str]", str]:
    """A server in a process of its own, and its address once it is ready."""
    run = "import sys; from hitchworth.cli import main; sys.exit(main())"
    command = [sys.executable, "-c", run, "serve", "--port", "0", "--database", str(where)]
    server = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True)
    assert server.stdout is not None
    for line in server.stdout:
        if found := re.search(r"http://127\.0\.0\.1:\d+", line):
            return server, found[0]
    raise AssertionError("the server did not start")


def test_what_was_acknowledged_is_there_and_nothing_by_halves(tmp_path: Path) -> None:
    chance, where, acknowledged = random.Random(14), tmp_path / "builds.db", set[str]()
    build = ""
    for _ in range(KILLS):
        server, address = serving(where)
        try:
            with Client(address, retries=3) as client:
                build = build or client.create_build(Document(build=Build(name="Camper", currency="USD"))).id
            acknowledged |= hashes_until_killed(server.pid, address, build, chance)
        finally:
            server.kill()
            server.communicate()
        assert server.returncode == -9
        assert_whole(where, build, acknowledged)
    assert len(acknowledged) >= KILLS


def hashes_until_killed(server: int, address: str, build: str, chance: random.Random) -> set[str]:
    """Add files until the server is killed, some time after a few. Return the hashes of those acknowledged."""
    found: set[str] = set()
    after = chance.randint(1, 5)
    with Client(address, retries=0) as client:
        try:
            while True:
                if len(found) == after:
                    killer = [sys.executable, "-c", KILLER, str(server), str(chance.uniform(0, 0.05))]
                    subprocess.Popen(killer)
                    after = -1
                content = b"%PDF-1.7\n" + os.urandom(200_000).hex().encode() + b"\n%%EOF\n"
                found.add(client.add_evidence(build, content, file_name="scan.pdf").sha256)
        except HitchworthError:
            return found


def assert_whole(where: Path, build: str, acknowledged: set[str]) -> None:
    """Each acknowledged file is whole and named by the build; whatever is named or kept is whole, too."""
    store = open_store(str(where))
    named = set(re.findall(rb'"sha256":"([0-9a-f]{64})"', store.builds.read("default", build)[1].body))
    held = store.evidence.held("default")
    for each in held:
        store.evidence.open("default", each).close()
    store.close()
    assert acknowledged <= {each.decode() for each in named} <= held
    files = [file for file in (where.parent / "builds.db-evidence" / "files").rglob("*") if file.is_file()]
    assert all(sha256(file.read_bytes()).hexdigest() == file.name for file in files)
