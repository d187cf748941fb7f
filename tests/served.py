"""A server as it is in use: `hitchworth serve` in a process of its own."""

import os
import re
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from typing import NamedTuple

SERVE = "import sys; from hitchworth.cli import main; sys.exit(main(['serve', '--port', '0', *sys.argv[1:]]))"


class Served(NamedTuple):
    """A server that listens."""

    address: str
    process: "subprocess.Popen[str]"

    def stop(self) -> str:
        """Ask it to stop, and return the log that it had left to write when it is gone."""
        self.process.send_signal(signal.SIGTERM)
        return self.process.communicate(timeout=30)[1]


@contextmanager
def served(*options: str) -> Iterator[Served]:
    """Run a server meanwhile; one that was not asked to stop is killed at the end.

    It logs no requests: nobody reads its log until it stops, and a full pipe would hold it up. It has no processes that
    compute unless the options say how many.
    """
    command = [sys.executable, "-c", SERVE, *options]
    environment = os.environ | {"HITCHWORTH_ACCESS_LOG": "false", "HITCHWORTH_WORKERS": "0"}
    with subprocess.Popen(command, stderr=subprocess.PIPE, text=True, env=environment) as process:
        try:
            assert process.stderr is not None
            address = re.search(r"Serving on (\S+),", process.stderr.readline())
            assert address
            yield Served(address[1], process)
        finally:
            if process.poll() is None:
                process.kill()
