"""`hitchworth serve`: the API, until it is interrupted."""

import os
from argparse import Namespace

from hitchworth.cli.exit_codes import UsageError
from hitchworth.web.server import serve


def run(chosen: Namespace) -> None:
    """Serve on the chosen address."""
    try:
        serve(chosen.host, chosen.port)
    except OSError as error:
        reason = os.strerror(error.errno) if error.errno and error.errno > 0 else "no such host"
        raise UsageError(f"cannot serve on port {chosen.port} of {chosen.host}: {reason}") from None
