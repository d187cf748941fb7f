"""`hitchworth demo`: serve the API, appraise the demo build through the SDK as a client would, write its reports."""

from argparse import ArgumentParser, Namespace
from datetime import date
from pathlib import Path
from typing import Any, get_args

import msgspec

from hitchworth.cli.exit_codes import usage_errors
from hitchworth.cli.options import add_date, add_locale
from hitchworth.cli.server_client import client_library, connected
from hitchworth.cli.tables import gap_report
from hitchworth.cli.terminal import show_result
from hitchworth.demo import demo_body
from hitchworth.localization.localizer import localizer_for
from hitchworth.model.gap import GapStatement
from hitchworth.reports.catalog import ReportName

SHEET = "conversation-sheet"
OTHER_REPORTS = tuple(name for name in get_args(ReportName) if name != "all")


def add_options(parser: ArgumentParser) -> None:
    """Add the options of `hitchworth demo`."""
    parser.add_argument("--output", type=Path, default=Path("demo-output"), metavar="DIR", help="default: %(default)s")
    add_date(parser)
    add_locale(parser)
    parser.set_defaults(run=run)


def run(arguments: Namespace) -> None:
    """Serve on a free port, request a gap statement, print it, write the sheets, and stop."""
    from hitchworth.web.server import running  # noqa: PLC0415  (the help does not wait for the web framework)

    sdk = client_library()
    request = demo_request(sdk, arguments.as_of, arguments.locale)
    with running() as address, connected(address, None) as client:
        print(f"Serving on {address}; sending the demo build through the SDK.\n")
        statement = client.create_gap_statement(request)
        written = write_reports(client, request, arguments.output)
    converted = msgspec.convert(
        msgspec.to_builtins(statement), GapStatement
    )  # the SDK's records have the model's fields
    show_result(gap_report(converted, localizer_for(converted.locale, converted.estimate.currency)))
    print("Written, to open and print:")
    for path in written:
        print(f"  {path}")
    print("There is a page for a browser as well: run hitchworth serve, and open the address that it prints.")


def demo_request(sdk: Any, as_of: date | None, locale: str | None) -> Any:
    """Return the demo request of the client, with another date or locale if one is given."""
    request = msgspec.json.decode(demo_body(), type=sdk.GapRequest)
    overrides: dict[str, Any] = {"as_of": as_of, "locale": locale}
    return msgspec.structs.replace(request, **{name: value for name, value in overrides.items() if value is not None})


def write_reports(client: Any, request: Any, folder: Path) -> tuple[Path, ...]:
    """Write the conversation sheet as HTML and as PDF, every other report as PDF, and return the paths."""
    files = {
        f"{SHEET}.html": client.create_conversation_sheet(request, "text/html").encode(),
        f"{SHEET}.pdf": client.create_conversation_sheet(request, "application/pdf"),
        **{f"{name}.pdf": client.create_report(name, request, "application/pdf") for name in OTHER_REPORTS},
    }
    with usage_errors():
        folder.mkdir(parents=True, exist_ok=True)
        for name, content in files.items():
            (folder / name).write_bytes(content)
    return tuple(folder / name for name in files)
