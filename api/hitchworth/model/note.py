"""A remark that goes with a figure: a code and its particulars from the core, a sentence from `wording`."""

from msgspec import Struct, field


class Note(Struct, frozen=True, kw_only=True):
    """What the reader should know about a figure."""

    code: str
    about: str = ""
    """The line, policy, loss or fact that it is about."""
    parameters: dict[str, str] = field(default_factory=dict)
    text: str = ""
