"""`hitchworth serve`: the API, until it is interrupted."""

from argparse import Namespace

from hitchworth.web.server import serve


def run(chosen: Namespace) -> None:
    """Serve on the chosen address."""
    serve(chosen.host, chosen.port)
