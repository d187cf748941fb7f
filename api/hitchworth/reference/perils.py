"""The names of perils: free words, so the same peril may be written with capitals, spaces, hyphens, or another word."""

from functools import cache
from typing import Literal

from msgspec import Struct

from hitchworth.reference.load import read
from hitchworth.reference.words import similar_names


class GradualPeril(Struct, frozen=True, forbid_unknown_fields=True):
    """Damage that comes slowly, with other words for it."""

    peril: str
    also: tuple[str, ...]


class _Perils(Struct, frozen=True, forbid_unknown_fields=True):
    gradual: tuple[GradualPeril, ...]
    same: dict[str, tuple[str, ...]]
    other: tuple[str, ...]
    provenance: Literal["common_practice"]


@cache
def _data() -> _Perils:
    return read("perils.yaml", _Perils)


def peril_key(text: str) -> str:
    """Return the name in small letters, its words joined by underscores."""
    return "_".join(text.casefold().replace("_", " ").replace("-", " ").split())


def canonical_peril(text: str) -> str:
    """Return the one name by which a peril is compared: windstorm, for instance, is wind."""
    key = peril_key(text)
    return _synonyms().get(key, key)


def same_peril(a: str, b: str) -> bool:
    """Return whether two names are of one peril."""
    return canonical_peril(a) == canonical_peril(b)


@cache
def gradual_perils() -> frozenset[str]:
    """Return the keys of perils that every kind of policy excludes by custom."""
    return frozenset(entry.peril for entry in _data().gradual)


def similar_perils(text: str) -> tuple[str, ...]:
    """Return listed perils whose names look like one that is not listed, the nearest first."""
    known = {*gradual_perils(), *_data().same, *_data().other}
    if canonical_peril(text) in known:
        return ()
    similar = similar_names(peril_key(text), {*known, *_synonyms()})
    return tuple(dict.fromkeys(map(canonical_peril, similar)))


@cache
def _synonyms() -> dict[str, str]:
    data = _data()
    gradual = {word: entry.peril for entry in data.gradual for word in entry.also}
    return gradual | {word: peril for peril, words in data.same.items() for word in words}
