"""Short texts of the contract: how long they may be, and that they hold no control characters."""

from typing import Annotated

from msgspec import Meta

_PRINTABLE = r"^[^\u0000-\u001f\u007f]*$"
_WITH_LINE_BREAKS = r"^[^\u0000-\u0008\u000b\u000c\u000e-\u001f\u007f]*$"

Identifier = Annotated[str, Meta(min_length=1, max_length=80, pattern=_PRINTABLE)]
"""A name by which records refer to each other."""

Line = Annotated[str, Meta(min_length=1, max_length=300, pattern=_PRINTABLE)]
"""One line of text."""

Text = Annotated[str, Meta(max_length=4000, pattern=_WITH_LINE_BREAKS)]
"""Text of any number of lines."""

CurrencyCode = Annotated[str, Meta(pattern="^[A-Z]{3}$", description="ISO 4217 code")]

Jurisdiction = Annotated[
    str,
    Meta(
        pattern="^[A-Z]{2,3}(-[A-Z0-9]{1,3})?$",
        description="ISO 3166 code of a country or of a part of it: US-WA, GB, DE",
    ),
]
