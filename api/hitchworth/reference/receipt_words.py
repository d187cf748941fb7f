"""Words by which tables of receipts and hours are read, and by which a category is proposed: every proposal a guess."""

from collections.abc import Mapping, Sequence
from functools import cache
from typing import Literal, NamedTuple, TypeAlias

from msgspec import Struct

from hitchworth.reference.load import read
from hitchworth.reference.words import Phrases, words_of

Role: TypeAlias = Literal["total", "tax", "freight", "discount"]
"""A row that is no purchase."""

ExtraKind: TypeAlias = Literal["tools", "food", "fuel", "gifts"]
"""A purchase that is no part of a trailer. Tools are known by their category."""

Language: TypeAlias = Literal["en", "de", "es", "fr"]
LANGUAGES: tuple[Language, ...] = ("en", "de", "es", "fr")
_LAST_WORD_NAMES = ("en", "de")
"""The languages where the thing itself comes last: battery box, Batteriekasten."""

_SPLIT = ("(", ",", " - ", " – ", " for ", " with ", " w/ ", " für ", " mit ", " para ", " con ", " pour ", " avec ")
"""What follows says what the thing is for or comes with, not what it is."""

KnownKind: TypeAlias = Literal["components", "labor"]


class HeaderWords(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The words of headers that name a field."""

    field: str
    of: KnownKind
    phrases: tuple[str, ...]


class RowWords(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The words of a row that is no purchase."""

    role: Role
    phrases: tuple[str, ...]


class UsedWords(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The words that say that a thing was bought used, and those that make another sense of them beside them."""

    phrases: tuple[str, ...]
    not_before: tuple[str, ...]
    not_after: tuple[str, ...]


class ExtraWords(Phrases, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The words of a purchase of one kind that is no part of a trailer."""

    kind: ExtraKind


class CurrencyWords(Phrases, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The words of headers that hint at the currency of the amounts."""

    currencies: tuple[str, ...]


class _ReceiptWords(Struct, frozen=True, forbid_unknown_fields=True):
    provenance: Literal["common_practice"]
    columns: tuple[HeaderWords, ...]
    rows: tuple[RowWords, ...]
    fillers: tuple[str, ...]
    of_totals: tuple[str, ...]
    one: tuple[str, ...]
    """Words that say one of a unit: a pair, eine Rolle."""
    used: UsedWords
    extras: tuple[ExtraWords, ...]
    currencies: tuple[CurrencyWords, ...]
    point_currencies: tuple[str, ...]


class CategoryWords(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The words of a description that show a category, by language."""

    category: str
    en: tuple[str, ...]
    de: tuple[str, ...]
    es: tuple[str, ...]
    fr: tuple[str, ...]
    but_not: tuple[str, ...] = ()


class _Categories(Struct, frozen=True, forbid_unknown_fields=True):
    provenance: Literal["common_practice"]
    categories: tuple[CategoryWords, ...]


class Named(Struct, frozen=True):
    """What a text names, the phrase that says so, and how many other readings there are."""

    name: str
    phrase: str
    is_exact: bool
    """The phrase is all that the text says; of a category, nothing else in it shows another one."""
    language: Language | None = None


@cache
def receipt_words() -> _ReceiptWords:
    """Return the words of headers and rows."""
    return read("receipt_words.yaml", _ReceiptWords)


@cache
def category_words() -> tuple[CategoryWords, ...]:
    """Return the words of every category that can be proposed."""
    return read("category_words.yaml", _Categories).categories


def fields_named(header: str, of: KnownKind) -> tuple[Named, ...]:
    """Return the fields that a header names: those of phrases with more words first, then in the order of the data."""
    words = frozenset(words_of(header))
    found = [
        (-len(phrase), order, Named(field, text, len(phrase) == len(words)))
        for order, (field, phrase, text) in enumerate(_header_phrases()[of])
        if phrase <= words
    ]
    best: dict[str, Named] = {}
    for _, _, named in sorted(found, key=lambda each: each[:2]):
        best.setdefault(named.name, named)
    return tuple(best.values())


def field_named(header: str, of: KnownKind) -> Named | None:
    """Return the first field that a header names, or None."""
    return next(iter(fields_named(header, of)), None)


def row_role(text: str) -> Role | None:
    """Return what a row is that is no purchase, by its text: a total, tax, freight or a discount; None for others.

    Every word of the text belongs to a phrase, is a number or says nothing: "Shipping lamp" is a purchase.
    """
    words = frozenset(word for word in words_of(text) if not any(character.isdigit() for character in word))
    fillers = _fillers()
    for role, phrase in _row_phrases():
        more = _words_of_totals() if role == "total" else frozenset()
        if phrase <= words <= phrase | fillers | _role_words(role) | more:
            return role
    return None


def names_total(text: str) -> bool:
    """Return whether a text has the words of a total among others; it is one where its amount adds up."""
    words = frozenset(words_of(text))
    return any(role == "total" and phrase <= words for role, phrase in _row_phrases())


def used_phrase(description: str) -> str | None:
    """Return the words of a description that say that the thing was bought used, or None."""
    words = words_of(description)
    data = receipt_words().used
    before, after = _single_words(data.not_before), _single_words(data.not_after)
    for text in data.phrases:
        phrase = words_of(text)
        for start in range(len(words) - len(phrase) + 1):
            end = start + len(phrase)
            is_other = words[end : end + 1] in before or words[max(start - 1, 0) : start] in after
            if words[start:end] == phrase and not is_other:
                return text
    return None


def extra_kind(description: str) -> ExtraKind | None:
    """Return what a purchase is that is no part of a trailer, by its words, or None."""
    words = frozenset(words_of(description))
    return next((entry.kind for entry in receipt_words().extras if entry.phrase_in(words)), None)


def hinted_currencies(headers: Sequence[str]) -> tuple[str, tuple[str, ...]] | None:
    """Return the first header whose words hint at currencies, with these; None where none does."""
    for header in headers:
        words = frozenset(words_of(header))
        for entry in receipt_words().currencies:
            if entry.phrase_in(words) is not None:
                return header, entry.currencies
    return None


def _single_words(texts: tuple[str, ...]) -> frozenset[tuple[str, ...]]:
    return frozenset(map(words_of, texts))


def proposed_category(description: str, language: Language = "en") -> Named | None:
    """Return the category that a description shows, or None.

    Among phrases of the same length in several languages, the given language counts first.
    """
    head = _head(description)
    words = words_of(head)
    shown = frozenset(words)
    found = [
        (len(each.phrase), each.language == language, _place(words, each), each.category, each.text, each.language)
        for word in shown
        for each in _category_phrases().get(word, ())
        if each.phrase <= shown and shown.isdisjoint(_but_not()[each.category])
    ]
    if not found:
        return proposed_category(description[len(head) :].lstrip("(,-– "), language) if head != description else None
    best = max(found)
    categories = {category for length, _, _, category, _, _ in found if length == best[0]}
    return Named(best[3], best[4], len(categories) == 1, best[5])


def _place(words: tuple[str, ...], phrase: "_CategoryPhrase") -> int:
    """Return how near the phrase stands to where the thing itself is named in its language: more is nearer."""
    places = [place for place, word in enumerate(words) if word in phrase.phrase]
    return max(places) if phrase.language in _LAST_WORD_NAMES else -min(places)


def _head(description: str) -> str:
    """Return the part of a description before what says what the thing is for."""
    lowered = description.casefold()
    ends = [end for separator in _SPLIT if (end := lowered.find(separator)) > 0]
    return description[: min(ends)] if ends and len(lowered) == len(description) else description


@cache
def _header_phrases() -> Mapping[KnownKind, tuple[tuple[str, frozenset[str], str], ...]]:
    kinds: tuple[KnownKind, ...] = ("components", "labor")
    return {
        kind: tuple(
            (entry.field, frozenset(words_of(phrase)), phrase)
            for entry in receipt_words().columns
            if entry.of == kind
            for phrase in entry.phrases
        )
        for kind in kinds
    }


@cache
def _row_phrases() -> tuple[tuple[Role, frozenset[str]], ...]:
    return tuple(
        (entry.role, frozenset(words_of(phrase))) for entry in receipt_words().rows for phrase in entry.phrases
    )


@cache
def _role_words(role: Role) -> frozenset[str]:
    return frozenset(word for named, phrase in _row_phrases() if named == role for word in phrase)


@cache
def _fillers() -> frozenset[str]:
    return frozenset(word for filler in receipt_words().fillers for word in words_of(filler))


@cache
def _words_of_totals() -> frozenset[str]:
    return frozenset(word for text in receipt_words().of_totals for word in words_of(text))


@cache
def _but_not() -> Mapping[str, frozenset[str]]:
    return {
        entry.category: frozenset(word for text in entry.but_not for word in words_of(text))
        for entry in category_words()
    }


class _CategoryPhrase(NamedTuple):
    """A phrase that shows a category."""

    category: str
    language: Language
    phrase: frozenset[str]
    text: str


@cache
def _category_phrases() -> Mapping[str, tuple[_CategoryPhrase, ...]]:
    """Return the phrases by one of their words: a description has at most a few of them."""
    phrases: dict[str, list[_CategoryPhrase]] = {}
    for entry in category_words():
        for language in LANGUAGES:
            for text in getattr(entry, language):
                phrase = frozenset(words_of(text))
                phrases.setdefault(min(phrase), []).append(_CategoryPhrase(entry.category, language, phrase, text))
    return {word: tuple(found) for word, found in phrases.items()}
