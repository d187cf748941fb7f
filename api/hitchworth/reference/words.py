"""Loose comparison of words as people write them: capitals, accents, plurals and punctuation do not matter."""

import re
import unicodedata
from collections.abc import Collection
from difflib import get_close_matches
from functools import lru_cache

from msgspec import Struct

MAX_COMPARED_LENGTH = 80


@lru_cache(maxsize=20_000)
def words_of(text: str) -> tuple[str, ...]:
    """Return the words of a text in one form: Smoke-alarms and smoke_alarm are both smoke, alarm."""
    decomposed = unicodedata.normalize("NFKD", text.casefold())
    without_accents = "".join(character for character in decomposed if not unicodedata.combining(character))
    return tuple(_singular(word) for word in re.findall(r"[^\W_]+", without_accents))


class Phrases(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The words by which a text shows something: all words of one of the phrases, and none of `but_not`."""

    phrases: tuple[str, ...]
    but_not: tuple[str, ...] = ()

    def phrase_in(self, words: frozenset[str]) -> str | None:
        """Return the first phrase whose words are all among these, or None."""
        if not words.isdisjoint(word for name in self.but_not for word in words_of(name)):
            return None
        return next((phrase for phrase in self.phrases if words.issuperset(words_of(phrase))), None)


def similar_names(name: str, known: Collection[str]) -> tuple[str, ...]:
    """Return up to three known names that look like this one, the nearest first.

    A name longer than MAX_COMPARED_LENGTH is not compared: that takes too long.
    """
    if len(name) > MAX_COMPARED_LENGTH:
        return ()
    return _nearest(_comparison_key(name), frozenset(known))


@lru_cache(maxsize=5_000)
def _nearest(key: str, known: frozenset[str]) -> tuple[str, ...]:
    """Return the nearest names. A document asks for those of the same name in each of its estimates."""
    by_key = _by_key(known)
    return tuple(by_key[other] for other in get_close_matches(key, by_key, n=3, cutoff=0.55))


@lru_cache(maxsize=8)
def _by_key(known: frozenset[str]) -> dict[str, str]:
    return {_comparison_key(other): other for other in sorted(known)}


def _comparison_key(name: str) -> str:
    return name.casefold().strip().replace(" ", "_")


def _singular(word: str) -> str:
    """Return a plural without its ending. Only equality counts, so both forms of a word may lose it."""
    if len(word) > 4 and word.endswith("ies"):
        return f"{word[:-3]}y"
    if re.search(r"(ch|sh|ss|x)es$", word):
        return word[:-2]
    return word[:-1] if len(word) > 3 and re.search(r"[^s]s$", word) else word
