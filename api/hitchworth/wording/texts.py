"""The English texts, as they lie in texts/: every code of the core and every heading of the sheets has its text here.

English is both a locale and the key of the catalogs: a catalog translates the whole text.
"""

from collections.abc import Iterator, Mapping
from functools import cache
from importlib.resources import files
from typing import TypeVar

import msgspec
from msgspec import Struct

T = TypeVar("T")


class QuestionText(Struct, frozen=True, forbid_unknown_fields=True):
    """One topic: what to ask, why it matters, what to bring."""

    text: str
    why: str
    bring: tuple[str, ...]


class Term(Struct, frozen=True, forbid_unknown_fields=True):
    """One entry of the glossary."""

    term: str
    meaning: str


class Texts(Struct, frozen=True, forbid_unknown_fields=True):
    """All texts, by kind and code."""

    notes: dict[str, str]
    workings: dict[str, str]
    steps: dict[str, str]
    causes: dict[str, str]
    questions: dict[str, QuestionText]
    verdicts: dict[str, str]
    elements: dict[str, str]
    conditions: dict[str, str]
    gap: dict[str, str]
    adjustments: dict[str, str]
    approaches: dict[str, str]
    opinion: dict[str, str]
    crossings: dict[str, str]
    curve: dict[str, str]
    effects: dict[str, str]
    comparison: dict[str, str]
    cautions: tuple[str, ...]
    labels: dict[str, dict[str, str]]
    sheet: dict[str, str]
    glossary: tuple[Term, ...]


@cache
def texts() -> Texts:
    """Read once. Raises msgspec.ValidationError when a file does not fit."""
    merged: dict[str, object] = {}
    for file in sorted(files("hitchworth.wording").joinpath("texts").iterdir(), key=lambda file: file.name):
        merged |= msgspec.yaml.decode(file.read_bytes(), type=dict[str, object])
    return msgspec.convert(merged, Texts)


def messages() -> tuple[str, ...]:
    """Every text that a catalog has to translate, once each, in the order of the files."""
    return tuple(dict.fromkeys(_strings(msgspec.to_builtins(texts()))))


def _strings(value: object) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, Mapping):
        for part in value.values():
            yield from _strings(part)
    elif isinstance(value, (tuple, list)):
        for part in value:
            yield from _strings(part)
