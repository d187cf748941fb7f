"""A fault of an input: where it is, what is wrong, what was expected and what was found."""

from msgspec import Struct


class Fault(Struct, frozen=True, kw_only=True):
    """One fault. The pointer (RFC 6901) is from the root of the body."""

    pointer: str
    detail: str
    expected: str = ""
    found: str = ""
