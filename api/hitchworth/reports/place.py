"""What a jurisdiction is called."""

from hitchworth.reference.jurisdictions import jurisdictions
from hitchworth.reports.context import ReportContext


def place(context: ReportContext, code: str) -> str:
    """The jurisdiction by name and code."""
    entry = jurisdictions().get(code)
    return f"{context.localizer.translate(entry.name)} ({code})" if entry else code
