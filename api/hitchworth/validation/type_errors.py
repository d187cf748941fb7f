"""What is wrong with a value that does not fit its kind, in our words.

The library that decodes says it in its own: "Expected `str` of length >= 1", "Invalid RFC3339 encoded date". This is
the one place that knows them.
"""

import re

_WORDS = tuple(
    (re.compile(pattern), words)
    for pattern, words in (
        (r"length >= ", "Too short"),
        (r"length <= ", "Too long"),
        (r"length \d", "Not of the right length"),
        (r"matching regex", "Not of the right form"),
        (r"Invalid enum value", "None of the values that there are"),
        (r"Invalid RFC3339", "Not a date"),
        (r"decimal string", "Not a number"),
        (r"[<>]=? |out of range|multiple of", "Number out of bounds"),
        (r"got `null`", "Null has no meaning here"),
        (r"Expected `.*`, got `", "Of the wrong type"),
    )
)


def type_error(message: str) -> str:
    """What the library's message means."""
    return next((words for pattern, words in _WORDS if pattern.search(message)), "Not what is expected here")
