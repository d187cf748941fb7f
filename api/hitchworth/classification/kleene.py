"""Kleene's strong three-valued logic: true, false, and None for unknown, which is never guessed.

S. C. Kleene, Introduction to Metamathematics (1952), section 64. All and any are special cases of at least n.
"""

from collections.abc import Iterable
from typing import TypeAlias

Truth: TypeAlias = bool | None


def negation(truth: Truth) -> Truth:
    """Return the negation; that of unknown is unknown."""
    return None if truth is None else not truth


def at_least(needed: int, truths: Iterable[Truth]) -> Truth:
    """Return whether at least `needed` hold: true if enough do, false if too few can, else unknown."""
    listed = tuple(truths)
    certain = sum(truth is True for truth in listed)
    possible = certain + sum(truth is None for truth in listed)
    if certain >= needed:
        return True
    return None if possible >= needed else False


def all_of(truths: Iterable[Truth]) -> Truth:
    """Return whether all hold. True for an empty series."""
    listed = tuple(truths)
    return at_least(len(listed), listed)


def any_of(truths: Iterable[Truth]) -> Truth:
    """Return whether any holds. False for an empty series."""
    return at_least(1, truths)
