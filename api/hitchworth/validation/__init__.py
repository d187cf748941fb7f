"""Find every fault of an input at once: typed decoding, bounds of numbers, then a table of small rule functions.

A fault has a JSON Pointer. Each interface turns it into a place of its own: a pointer, a line, a cell.
"""

from hitchworth.validation.classification_rules import unknown_jurisdiction
from hitchworth.validation.decode import read_json, write_json
from hitchworth.validation.document_format import is_bare_build, own_members, takes_document
from hitchworth.validation.errors import InvalidInputError, MalformedBodyError
from hitchworth.validation.reading import check, read, read_text, with_point
from hitchworth.validation.type_inspection import without_null

__all__ = [
    "InvalidInputError",
    "MalformedBodyError",
    "check",
    "is_bare_build",
    "own_members",
    "read",
    "read_json",
    "read_text",
    "takes_document",
    "unknown_jurisdiction",
    "with_point",
    "without_null",
    "write_json",
]
