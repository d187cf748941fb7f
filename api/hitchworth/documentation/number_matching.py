"""Two numbers compared as a person reads them off a label: spacing, case and look-alikes are forgiven, and said so.

Only characters are compared: that two numbers are equal does not say that they are on the same thing.
"""

import re
import unicodedata

from hitchworth.model.serial_numbers import Forgiven

LOOK_ALIKES = ("0Oo", "1Iil")
"""Characters that are taken for each other. A capital L is not among them: it looks like no other."""

_BETWEEN_NUMBERS = re.compile("[,;]")
_MINUS = "\u2212"


def numbers_in(field: str) -> tuple[str, ...]:
    """Return what a field has to compare with: all of it, and each of several numbers with commas between."""
    parts = [part.strip() for part in _BETWEEN_NUMBERS.split(field)]
    return tuple(dict.fromkeys((field, *filter(is_comparable, parts))))


def is_comparable(number: str) -> bool:
    """Return whether there is more to a number than spaces and dashes."""
    return any(not _is_spacing(letter) for letter in number)


def differences(asked: str, recorded: str) -> tuple[Forgiven, ...] | None:
    """Return in what two numbers differ that is forgiven, nothing where in nothing; None where they are different.

    Spaces at the ends do not count at all.
    """
    asked, recorded = asked.strip(), recorded.strip()
    pairs = tuple(zip(_letters(asked), _letters(recorded), strict=False))
    if len(_letters(asked)) != len(_letters(recorded)) or not all(_is_like(*pair) for pair in pairs):
        return None
    found: list[Forgiven] = []
    if _spacing(asked) != _spacing(recorded):
        found.append("spacing")
    if any(one != other and one.casefold() == other.casefold() for one, other in pairs):
        found.append("letter_case")
    if any(one.casefold() != other.casefold() for one, other in pairs):
        found.append("look_alikes")
    return tuple(found)


def _is_like(one: str, other: str) -> bool:
    return one.casefold() == other.casefold() or any(one in alike and other in alike for alike in LOOK_ALIKES)


def _letters(number: str) -> str:
    return "".join(letter for letter in number if not _is_spacing(letter))


def _spacing(number: str) -> tuple[tuple[int, str], ...]:
    """Return the spaces and dashes of a number, each with its place."""
    return tuple((place, letter) for place, letter in enumerate(number) if _is_spacing(letter))


def _is_spacing(letter: str) -> bool:
    return letter.isspace() or letter == _MINUS or unicodedata.category(letter) in {"Pd", "Cf"}
