"""Loose comparison of words as people write them: capitals, accents, plurals and punctuation do not matter."""

import re
import unicodedata


def words_of(text: str) -> tuple[str, ...]:
    """Return the words of a text in one form: Smoke-alarms and smoke_alarm are both smoke, alarm."""
    decomposed = unicodedata.normalize("NFKD", text.casefold())
    without_accents = "".join(character for character in decomposed if not unicodedata.combining(character))
    return tuple(_singular(word) for word in re.findall(r"[^\W_]+", without_accents))


def _singular(word: str) -> str:
    """Return a plural without its ending. Only equality counts, so both forms of a word may lose it."""
    if len(word) > 4 and word.endswith("ies"):
        return f"{word[:-3]}y"
    if re.search(r"(ch|sh|ss|x)es$", word):
        return word[:-2]
    return word[:-1] if len(word) > 3 and re.search(r"[^s]s$", word) else word
