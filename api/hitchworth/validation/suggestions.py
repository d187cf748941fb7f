"""Names that are nearly the one that was written, for a fault to point to."""

from collections.abc import Iterable
from difflib import get_close_matches


def with_suggestions(name: str, known: Iterable[str], expected: str) -> str:
    """What is expected, with at most three of the known names that are spelled nearly like it."""
    by_key = {other.casefold().replace(" ", "_"): other for other in sorted(known)}
    near = get_close_matches(name.casefold().strip().replace(" ", "_"), by_key)
    return f"{expected}; near it: {', '.join(by_key[key] for key in near)}" if near else expected
