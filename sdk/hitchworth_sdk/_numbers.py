"""The numbers of a request: given as a Decimal, as an int or as digits, and kept as a Decimal."""

import re
from decimal import Decimal
from typing import TypeAlias

from msgspec import Struct
from msgspec.structs import force_setattr

Number: TypeAlias = Decimal | int | str
"""A number in a request, as a Decimal, as an int, or as its digits. A float would not say it exactly."""

_DIGITS = re.compile(r"-?[0-9]+(\.[0-9]+)?")


def exact(record: Struct, *names: str) -> None:
    """Turn the numbers of a new record into Decimals.

    A text that is no number stays as it is: the server names it, with every other fault of the request.
    """
    for name in names:
        value = getattr(record, name)
        if not (value is None or isinstance(value, Decimal)):
            force_setattr(record, name, tuple(map(_exact, value)) if isinstance(value, tuple) else _exact(value))


def _exact(value: object) -> object:
    is_whole = isinstance(value, int) and not isinstance(value, bool)
    is_digits = isinstance(value, str) and _DIGITS.fullmatch(value)
    return Decimal(str(value)) if is_whole or is_digits else value
