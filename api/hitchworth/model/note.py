"""A note on a figure: a code and its parameters from the core, a sentence from `localization`."""

from typing import Annotated

from msgspec import Meta, Struct, field


class Note(Struct, frozen=True, kw_only=True):
    """What the reader should know about a figure."""

    code: Annotated[
        str, Meta(description="Stable name of the kind of note, for programs: quote_old, entries_left_out.")
    ]
    about: Annotated[
        str,
        Meta(description="The line, policy, loss, fact or index that the note is about, by id or name; empty: none."),
    ] = ""
    parameters: Annotated[
        dict[str, str], Meta(description="The values in the sentence, by name, as unformatted text.")
    ] = field(default_factory=dict)
    text: Annotated[str, Meta(description="The sentence, in the language of the request's locale.")] = ""
