"""Kleene's strong three-valued logic: true, false, and None for unknown, which is never guessed.

S. C. Kleene, Introduction to Metamathematics (1952), section 64. All and any are the two ends of at least n.
"""

from collections.abc import Iterable
from typing import TypeAlias

Truth: TypeAlias = bool | None


def negation(truth: Truth) -> Truth:
    """Not unknown is unknown."""
    return None if truth is None else not truth


def at_least(needed: int, truths: Iterable[Truth]) -> Truth:
    """Whether so many hold: true when enough surely do, false when enough surely can't."""
    listed = tuple(truths)
    surely = sum(truth is True for truth in listed)
    possibly = surely + sum(truth is None for truth in listed)
    if surely >= needed:
        return True
    return None if possibly >= needed else False


def all_of(truths: Iterable[Truth]) -> Truth:
    """Whether every one holds. Of none: true."""
    listed = tuple(truths)
    return at_least(len(listed), listed)


def any_of(truths: Iterable[Truth]) -> Truth:
    """Whether one holds. Of none: false."""
    return at_least(1, truths)
