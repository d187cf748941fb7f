"""Every note and every question of an import has its text, and every question the option that answers it."""

import ast
from collections.abc import Iterator
from pathlib import Path
from typing import get_args

import hitchworth.workbooks
from hitchworth.cli.import_report import NOTE_OPTIONS
from hitchworth.cli.imports import OPTIONS
from hitchworth.localization.texts import texts
from hitchworth.model.receipt_import import Confidence, ImportSettings, LeftOutReason, RowOutcome
from hitchworth.reference.receipt_words import ExtraKind
from hitchworth.workbooks.calendar import EventReason
from hitchworth.workbooks.merging import Likeness

NEEDED = ("acquired_on", "description", "amount", "performed_on", "task")
"""What is asked for where no column holds it."""


def calls(name: str) -> Iterator[list[ast.expr]]:
    """The arguments of every call of a method in the package."""
    for path in Path(hitchworth.workbooks.__file__).parent.glob("*.py"):
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute) and node.func.attr == name:
                yield node.args


def plain(arguments: Iterator[list[ast.expr]], place: int) -> set[str]:
    """The arguments in a place that are plain texts."""
    found = (each[place] for each in arguments if len(each) > place)
    return {node.value for node in found if isinstance(node, ast.Constant) and isinstance(node.value, str)}


def test_every_note_has_a_text_and_no_text_is_left_over() -> None:
    events = {f"event_{reason}" for reason in get_args(EventReason) if reason != "not_selected"}
    extras = {f"extra_{kind}" for kind in get_args(ExtraKind)}
    assert set(texts().import_notes) == plain(calls("note"), 0) | events | extras
    assert set(NOTE_OPTIONS) <= set(texts().import_notes)


def test_every_question_has_a_text_and_an_option() -> None:
    assert set(texts().import_questions) == plain(calls("ask"), 0) | {f"missing_{field}" for field in NEEDED}
    settings = plain(calls("ask"), 1)
    assert settings == set(OPTIONS)
    of_a_document = {"lines"}  # over HTTP no document is there, of which a row could be a line
    assert settings - of_a_document <= set(ImportSettings.__struct_fields__)


def test_every_outcome_and_likeness_has_its_words() -> None:
    labels = texts().labels
    assert set(labels["confidence"]) == set(get_args(Confidence))
    assert set(labels["row_outcome"]) == set(get_args(RowOutcome))
    assert set(labels["left_out_reason"]) == set(get_args(LeftOutReason))
    assert set(get_args(Likeness)) <= set(texts().import_report)
