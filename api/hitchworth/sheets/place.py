"""What a jurisdiction is called."""

from hitchworth.reference.jurisdictions import jurisdictions
from hitchworth.sheets.subject import Subject


def place(subject: Subject, code: str) -> str:
    """The jurisdiction by name and code."""
    entry = jurisdictions().get(code)
    return f"{subject.voice.translated(entry.name)} ({code})" if entry else code
