"""A letter as plain text, for the body of a mail."""

from hitchworth.reports.content import AnyBlock, Content, Heading, Listing, Paragraph


def render(letter: Content) -> str:
    """Return the text: a blank line between two blocks, a hyphen before each point of a list."""
    return "\n\n".join(map(_text, letter.blocks)) + "\n"


def _text(block: AnyBlock) -> str:
    match block:
        case Heading(text) | Paragraph(text):
            return text
        case Listing(items):
            return "\n".join(f"- {item}" for item in items)
    raise TypeError(f"a letter has no {type(block).__name__}")
