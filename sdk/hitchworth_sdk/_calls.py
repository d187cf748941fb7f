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
