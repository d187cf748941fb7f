"""`hitchworth serve`: the API, until it is stopped."""

from argparse import Namespace

from hitchworth.cli.exit_codes import UsageError
from hitchworth.cli.settings import settings_of
from hitchworth.web.server import serve


def run(arguments: Namespace) -> None:
    """Serve with the settings of the environment and of the command line."""
    settings = settings_of(arguments)
    try:
        serve(settings)
    except OSError as error:
        raise UsageError(f"cannot serve on port {settings.port} of {settings.host}: {error.strerror}") from None
    except ModuleNotFoundError:
        raise UsageError("telemetry needs a package that is not installed: install hitchworth[telemetry]") from None
