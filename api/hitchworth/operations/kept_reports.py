"""Reports and letters made from a kept build: those of its document, and on reports the revision that they are from.

The docstrings of the functions are the descriptions of the API.
"""

from typing import Annotated

from msgspec import Meta

from hitchworth.model.caller import Caller
from hitchworth.model.kept import Revision
from hitchworth.model.request import GapRequest
from hitchworth.operations.builds import BuildParameter
from hitchworth.operations.documents import read_kept, request_at
from hitchworth.operations.evidence import pictures_of
from hitchworth.operations.kept_appraisals import Version
from hitchworth.operations.reports import Printing, create_letter, report_on
from hitchworth.reports.catalog import CONVERSATION_SHEET, ReportName
from hitchworth.reports.content import Content
from hitchworth.reports.letters import LetterName
from hitchworth.store import Store


def get_conversation_sheet(
    store: Store, caller: Caller, build: BuildParameter, version: Version, printing: Printing
) -> Content:
    """Make the sheet for the conversation with the insurer from a kept build.

    As POST /v1/conversation-sheets does for its document. Under the digest of the data it names the revision.
    """
    kept, request = _gap_request(store, caller, build, version)
    return report_on(request, CONVERSATION_SHEET, printing, kept=kept)


def get_report(
    store: Store,
    caller: Caller,
    build: BuildParameter,
    *,
    report: Annotated[ReportName, Meta(description="The report.", examples=["comparison"])],
    version: Version,
    printing: Printing,
) -> Content:
    """Make another report from a kept build.

    As POST /v1/reports/{report} does for its document. Under the digest of the data it names the revision. The
    inventory and the register of serial numbers show photos of its evidence.
    """
    kept, request = _gap_request(store, caller, build, version)
    return report_on(request, report, printing, kept=kept, picture_of=pictures_of(store, caller))


def get_letter(
    store: Store,
    caller: Caller,
    build: BuildParameter,
    *,
    letter: Annotated[LetterName, Meta(description="The letter.", examples=["change-class"])],
    version: Version,
    printing: Printing,
) -> Content:
    """Write a letter from a kept build.

    As POST /v1/letters/{letter} does for its document.
    """
    _, request = _gap_request(store, caller, build, version)
    return create_letter(request, letter, printing)


def _gap_request(store: Store, caller: Caller, build: str, version: Version) -> tuple[Revision, GapRequest]:
    kept = store.builds.read(caller.workspace, build, version.revision)[1]
    return kept.revision, request_at(read_kept(kept), GapRequest, version.as_of)
