"""`hitchworth serve`: the API, until it is interrupted."""

from argparse import Namespace

from hitchworth.cli.exits import named_by_the_caller
from hitchworth.web.server import serve


def run(chosen: Namespace) -> None:
    """Serve on the chosen address."""
    with named_by_the_caller():
        serve(chosen.host, chosen.port)
