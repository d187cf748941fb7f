"""A fault of an input: where it is, what is wrong, what was expected and what was found."""

from typing import Annotated

from msgspec import Meta, Struct


class Fault(Struct, frozen=True, kw_only=True):
    """One fault of an input, told once for all the places where it is."""

    pointer: Annotated[
        str,
        Meta(description="Where it is, as a JSON Pointer (RFC 6901) from the root of the body; empty: the whole body."),
    ]
    detail: Annotated[str, Meta(description="What is wrong, in a few words of English.")]
    expected: Annotated[str, Meta(description="What may stand there; empty where nothing more can be said.")] = ""
    found: Annotated[str, Meta(description="What was found there, cut short; empty where it does not matter.")] = ""
    cell: Annotated[
        str,
        Meta(description="Where it is in a file of tables, by sheet and cell: Components!D14. Empty in a JSON body."),
    ] = ""
    also_at: Annotated[
        tuple[str, ...],
        Meta(
            description="JSON Pointers to the other rows with the same fault, or their cells where it has a cell; what "
            "was found there may differ."
        ),
    ] = ()
