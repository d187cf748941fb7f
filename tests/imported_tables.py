"""Import a text or a file in the tests, and look at the result in short."""

from decimal import Decimal
from typing import Any

import msgspec
import pytest

from hitchworth.model.build import Build
from hitchworth.model.entry import Component
from hitchworth.model.receipt_import import ImportSettings, ReceiptImport
from hitchworth.validation import InvalidInputError
from hitchworth.workbooks.imports import import_receipts


def imported(content: str | bytes, locale: str = "en-US", build: Build | None = None, **settings: Any) -> ReceiptImport:
    """What a file becomes."""
    read = content.encode() if isinstance(content, str) else content
    return import_receipts(read, msgspec.convert(settings, ImportSettings), locale, build)


def entries(content: str | bytes, locale: str = "en-US", **settings: Any) -> list[tuple[str, str, Decimal, Decimal]]:
    """Day, description, quantity and unit cost of each component; there are no questions."""
    result = imported(content, locale, **settings)
    assert result.questions == ()
    return [
        (part.acquired_on.isoformat(), part.description, part.quantity, part.unit_cost) for part in result.components
    ]


def costs(content: str | bytes, locale: str = "en-US", **settings: Any) -> list[str]:
    """The unit costs."""
    return [str(cost) for _, _, _, cost in entries(content, locale, **settings)]


def asked(content: str | bytes, locale: str = "en-US", **settings: Any) -> list[tuple[str, list[str]]]:
    """The code of each question and the answers that there are; nothing is taken over."""
    result = imported(content, locale, **settings)
    assert not result.components
    assert not result.labor
    return [(question.code, [choice.value for choice in question.choices]) for question in result.questions]


def faults(content: str | bytes, locale: str = "en-US", **settings: Any) -> list[tuple[str, str]]:
    """Cell and detail of each fault."""
    with pytest.raises(InvalidInputError) as caught:
        imported(content, locale, **settings)
    return [(fault.cell, fault.detail) for fault in caught.value.faults]


def notes(result: ReceiptImport) -> list[str]:
    """The codes of the notes."""
    return [note.code for note in result.notes]


def part_named(result: ReceiptImport, description: str) -> Component:
    """The only component of this description."""
    (found,) = (part for part in result.components if part.description == description)
    return found
