"""The texts of a request: how long they may be, and that a reader sees what they hold.

Control characters are refused, and so are those that change the direction of the text after them (U+202A to U+202E,
U+2066 to U+2069): with them a text can show something other than it says. A name has at least one visible character.
"""

from typing import Annotated

from msgspec import Meta

_DIRECTION_CONTROLS = r"\u202a-\u202e\u2066-\u2069"
_CONTROLS = r"\u0000-\u001f\u007f" + _DIRECTION_CONTROLS
_INVISIBLE = (
    r"\u0020\u00a0\u00ad\u034f\u061c\u115f\u1160\u1680\u17b4\u17b5\u180b-\u180f\u2000-\u200f\u2028\u2029\u202f"
    r"\u205f-\u2065\u206a-\u206f\u2800\u3000\u3164\ufe00-\ufe0f\ufeff\uffa0"
)
"""Spaces, marks and fillers that show nothing."""

_VISIBLE_LINE = f"^[{_INVISIBLE}]*[^{_INVISIBLE}{_CONTROLS}][^{_CONTROLS}]*$"
_WITH_LINE_BREAKS = rf"^[^\u0000-\u0008\u000b\u000c\u000e-\u001f\u007f{_DIRECTION_CONTROLS}]*$"

Identifier = Annotated[
    str,
    Meta(
        min_length=1,
        max_length=80,
        pattern=_VISIBLE_LINE,
        description="A name of 1 to 80 characters on one line, with at least one visible character.",
    ),
]
"""A name by which records refer to each other."""

ShortText = Annotated[
    str,
    Meta(
        min_length=1,
        max_length=300,
        pattern=_VISIBLE_LINE,
        description="A line of 1 to 300 characters, with at least one visible character.",
    ),
]
"""One line of text."""

LongText = Annotated[
    str,
    Meta(
        max_length=4000,
        pattern=_WITH_LINE_BREAKS,
        description="Text of at most 4,000 characters, none of them a control character but tabs and line breaks.",
    ),
]
"""Text of any number of lines."""

CurrencyCode = Annotated[
    str, Meta(pattern="^[A-Z]{3}$", description="A code of ISO 4217: three capital letters, as USD.")
]

Jurisdiction = Annotated[
    str,
    Meta(
        pattern="^[A-Z]{2,3}(-[A-Z0-9]{1,3})?$",
        description="A code of ISO 3166 for a country or a part of it: US-WA, GB, DE.",
    ),
]

PhoneNumber = Annotated[
    str,
    Meta(
        max_length=40,
        pattern=r"^\+?[0-9(][0-9 ()./-]{3,}( ?(x|ext\.?) ?[0-9]{1,6})?$",
        description="A telephone number: digits, with spaces and punctuation as it is written: (555) 010-0134.",
    ),
]
"""A telephone number as people write it, with an extension if there is one."""

EmailAddress = Annotated[
    str,
    Meta(
        max_length=254,
        pattern=r'^[^\s@<>()\[\],;:"\\\u0000-\u001f\u007f]+@[^\s@.,;:<>()\[\]"\\]+(\.[^\s@.,;:<>()\[\]"\\]+)+$',
        description="An e-mail address: name@example.com.",
    ),
]
"""An e-mail address: a part before the @ and a domain after it, without a space. Whether it exists is not checked."""
