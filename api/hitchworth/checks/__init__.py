"""Every fault of an input at once: typed decoding, bounds of numbers, then a list of small rule functions.

A fault knows its JSON Pointer; each door turns it into its own place: a pointer, a line, a cell.
"""

from hitchworth.checks.body import BadBody, Faulty
from hitchworth.checks.kinds import without_null
from hitchworth.checks.places import unknown_jurisdiction
from hitchworth.checks.reading import read, read_text

__all__ = ["BadBody", "Faulty", "read", "read_text", "unknown_jurisdiction", "without_null"]
