"""`hitchworth serve`: the API, until interrupted."""

import os
from argparse import Namespace

from hitchworth.cli.exit_codes import UsageError
from hitchworth.web.server import serve


def run(arguments: Namespace) -> None:
    """Serve on the chosen host and port."""
    try:
        serve(arguments.host, arguments.port)
    except OSError as error:
        reason = os.strerror(error.errno) if error.errno and error.errno > 0 else "no such host"
        raise UsageError(f"cannot serve on port {arguments.port} of {arguments.host}: {reason}") from None
