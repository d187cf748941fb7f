"""What the source says about types: the meaning of the values of an enumeration, the notes of shared types."""

import ast
from typing import Literal, get_args, get_origin

import pytest

from hitchworth.model import options
from hitchworth.model.entry import EvidenceGrade
from hitchworth.model.protection import CircuitCheck
from hitchworth.reference.circuits import circuit_rules
from hitchworth.reference.evidence_ranges import evidence_ranges
from hitchworth.web import type_documentation
from hitchworth.web.type_documentation import (
    Alias,
    aliases,
    documented,
    explained_values,
    explanations,
    modules,
    with_notes,
)


def test_a_line_explains_a_value_and_may_be_continued() -> None:
    text = "How it is counted.\n\nby_day: each day\n  by itself\nby_day_off: days: off\nother"
    assert explained_values(("by_day", "by_day_off", "unknown"), text) == {
        "by_day": "each day by itself",
        "by_day_off": "days: off other",
    }


def test_numbers_and_signs_are_values_too() -> None:
    assert explained_values((1, "<", "<="), "1: first\n<: less\n<=: at most") == {
        1: "first",
        "<": "less",
        "<=": "at most",
    }


def test_a_docstring_belongs_to_the_name_right_above_it() -> None:
    source = 'A: T = 1\n"""of A"""\n"""of nothing"""\nB: T = 2\nC = 3\n"""of C"""\nD: T = 4\n"""of D"""\n'
    assert documented(ast.parse(source).body) == {"A": "of A", "D": "of D"}


def test_an_alias_has_its_name_and_its_text() -> None:
    (rounding,) = (alias for alias in aliases(options) if alias.name == "Rounding")
    assert rounding.kind == options.Rounding
    assert rounding.text.startswith("How an amount exactly halfway")


def test_every_enumeration_of_the_model_explains_each_of_its_values() -> None:
    for alias in (alias for module in modules() for alias in aliases(module)):
        if get_origin(alias.kind) is Literal:
            explained = explanations()[frozenset(get_args(alias.kind))]
            assert set(explained) == set(get_args(alias.kind)), alias.name
            assert all(explained.values()), alias.name


def meaning(kind: object, value: object) -> str:
    return explanations()[frozenset(get_args(kind))][value]


@pytest.mark.parametrize("grade", get_args(EvidenceGrade))
def test_a_grade_of_evidence_says_its_range(grade: EvidenceGrade) -> None:
    known = evidence_ranges()[grade]
    assert meaning(EvidenceGrade, grade).endswith(f"{known.below} percent below to {known.above} percent above")


def test_a_check_of_a_circuit_says_what_it_compares_with() -> None:
    rules = circuit_rules()
    fuse, drop, gauge = rules.fuse_sizing, rules.voltage_drop, rules.thinnest_conductor
    assert f"{fuse.minimum_multiple} times" in meaning(CircuitCheck, "fuse_carries_load")
    assert f"{100 * drop.critical:.0f} percent for a main or critical" in meaning(CircuitCheck, "voltage_drop")
    assert f"{100 * drop.other:.0f} percent for others" in meaning(CircuitCheck, "voltage_drop")
    assert f"no thinner than {gauge.awg} AWG" in meaning(CircuitCheck, "thinnest_conductor")


@pytest.mark.parametrize(
    ("description", "notes", "text"),
    [
        ("The age.", [], "The age."),
        ("The age.", ["In years."], "The age. In years."),
        ("The age. Null: not known.", ["In years."], "The age. In years. Null: not known."),
        ("", ["In years."], "In years."),
    ],
)
def test_notes_stand_before_what_null_means(description: str, notes: list[str], text: str) -> None:
    assert with_notes(description, notes) == text


def test_two_explanations_of_the_same_values_are_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    pair = (Alias(Literal["a"], "First", "a: one"), Alias(Literal["a"], "Second", "a: another"))
    monkeypatch.setattr(type_documentation, "modules", lambda: (options,))
    monkeypatch.setattr(type_documentation, "aliases", lambda module: iter(pair))
    explanations.cache_clear()
    try:
        with pytest.raises(ValueError, match="Second are explained in two ways"):
            explanations()
    finally:
        explanations.cache_clear()
