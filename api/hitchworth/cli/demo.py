"""The whole job on the demo build, over HTTP and through the SDK, as a caller of one's own would do it."""

from argparse import Namespace
from datetime import date
from pathlib import Path
from typing import Any

import msgspec
from rich.console import Console

from hitchworth.cli.exit_codes import UsageError, usage_errors
from hitchworth.cli.tables import gap_report
from hitchworth.demo import demo_body
from hitchworth.localization.localizer import localizer_for
from hitchworth.model.gap import GapStatement
from hitchworth.web.server import running

try:
    import hitchworth_sdk as sdk
except ImportError:
    raise UsageError("the demo speaks through the SDK, which is not installed: install hitchworth[demo]") from None

SHEET = "conversation-sheet"


def run(chosen: Namespace) -> None:
    """Serve on a free port, ask, show, write the sheets, stop."""
    console = Console()
    request = demo_request(chosen.as_of, chosen.locale)
    with running() as address, sdk.Client(address) as client:
        console.print(f"Serving on {address}; sending the demo build through the SDK.\n")
        statement = client.create_gap_statement(request)
        written = write_sheets(client, request, chosen.output)
    found = msgspec.convert(msgspec.to_builtins(statement), GapStatement)  # the SDK's records have the model's fields
    console.print(gap_report(found, localizer_for(found.locale, found.estimate.currency)))
    console.print("Written, to be opened and printed:")
    for path in written:
        console.print(f"  {path}", soft_wrap=True)


def demo_request(as_of: date | None, locale: str | None) -> sdk.GapRequest:
    """The demo request with another date or locale, where one is wanted."""
    request = msgspec.json.decode(demo_body(), type=sdk.GapRequest)
    wanted: dict[str, Any] = {"as_of": as_of, "locale": locale}
    return msgspec.structs.replace(request, **{name: value for name, value in wanted.items() if value is not None})


def write_sheets(client: sdk.Client, request: sdk.GapRequest, folder: Path) -> tuple[Path, Path]:
    """The conversation sheet as a page and as a document for the printer."""
    page, document = folder / f"{SHEET}.html", folder / f"{SHEET}.pdf"
    html = client.create_conversation_sheet(request, "text/html")
    pdf = client.create_conversation_sheet(request, "application/pdf")
    with usage_errors():
        folder.mkdir(parents=True, exist_ok=True)
        page.write_text(html, "utf-8")
        document.write_bytes(pdf)
    return page, document
