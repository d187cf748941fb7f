"""Every fault of an input at once: typed decoding, bounds of numbers, then a list of small rule functions.

A fault knows its JSON Pointer; each door turns it into its own place: a pointer, a line, a cell.
"""

from hitchworth.validation.errors import InvalidInputError, MalformedBodyError
from hitchworth.validation.kinds import without_null
from hitchworth.validation.places import unknown_jurisdiction
from hitchworth.validation.reading import read, read_text

__all__ = ["InvalidInputError", "MalformedBodyError", "read", "read_text", "unknown_jurisdiction", "without_null"]
