"""`hitchworth serve`: the API, until interrupted."""

from argparse import Namespace

from hitchworth.cli.exit_codes import UsageError
from hitchworth.web.server import serve


def run(arguments: Namespace) -> None:
    """Serve on the chosen host and port."""
    try:
        serve(arguments.host, arguments.port)
    except OSError as error:
        raise UsageError(f"cannot serve on port {arguments.port} of {arguments.host}: {error.strerror}") from None
