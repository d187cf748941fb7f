"""What a call of the client takes: its options, and the names of reports, letters and their formats."""

from collections.abc import Mapping
from typing import Literal, TypeAlias, TypedDict

TextReport: TypeAlias = Literal["text/html", "text/markdown"]
FileReport: TypeAlias = Literal[
    "application/pdf", "application/vnd.openxmlformats-officedocument.wordprocessingml.document"
]
ReportFormat: TypeAlias = TextReport | FileReport
"""The formats of a report, as media types."""

Paper: TypeAlias = Literal["letter", "a4"]
"""The sizes of paper of a report."""

ReportName: TypeAlias = Literal["comparison", "inventory", "class-report", "after-loss", "workings", "all"]
"""The reports beside the conversation sheet."""

QuoteReportName: TypeAlias = Literal["customer-quote", "workshop-quote", "change-orders", "handover"]
"""The reports of a quote."""

LetterName: TypeAlias = Literal["confirm-answers", "correct-class", "change-class"]
"""The letters to the insurer and to the registering authority."""

Docx: TypeAlias = Literal["application/vnd.openxmlformats-officedocument.wordprocessingml.document"]


BuildSort: TypeAlias = Literal["-updated_at", "updated_at", "-created_at", "created_at", "name", "-name"]
"""The orders of a list of kept builds; with a minus sign the last first."""


class CallOptions(TypedDict, total=False):
    """What one call may do differently from its client."""

    timeout: float
    """Seconds for connecting, and for each silence of the server; above zero."""
    retries: int
    """How often the request is sent again; 0: never."""
    headers: Mapping[str, str]
    """Headers of this request; they replace those of the client."""


class ReportOptions(CallOptions, total=False):
    """What a report or letter may be asked for, besides what any call may do differently."""

    paper: Paper | None
    """The size of paper. Default: the usual one in the region of the request's locale."""
    for_policy: str | None
    """Name of the policy that a conversation sheet or letter is about. Default: the one with the most money at stake;
    for a confirmation of answers, the one with the most answers."""
    include_unverified: bool
    """Print what was not compared with the published text too, with a mark. Default: false."""


WorkbookFormat: TypeAlias = Literal[
    "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
    "application/vnd.oasis.opendocument.spreadsheet",
]
"""The media types of a workbook: XLSX and ODS."""

XLSX: WorkbookFormat = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


def page_arguments(options: ReportOptions) -> dict[str, object]:
    """Return the query of a report or letter."""
    return {
        "paper": options.get("paper"),
        "for_policy": options.get("for_policy"),
        "include_unverified": options.get("include_unverified") or None,
    }
