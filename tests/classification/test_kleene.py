"""Kleene's strong three-valued logic, by the truth tables of Introduction to Metamathematics (1952), section 64."""

from collections.abc import Sequence
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hitchworth.classification.kleene import Truth, all_of, any_of, at_least, negation

T, F, U = True, False, None
TRUTHS: tuple[Truth, ...] = (T, U, F)

CONJUNCTION = {
    (T, T): T, (T, U): U, (T, F): F,
    (U, T): U, (U, U): U, (U, F): F,
    (F, T): F, (F, U): F, (F, F): F,
}  # fmt: skip
DISJUNCTION = {
    (T, T): T, (T, U): T, (T, F): T,
    (U, T): T, (U, U): U, (U, F): U,
    (F, T): T, (F, U): U, (F, F): F,
}  # fmt: skip


@pytest.mark.parametrize("pair", list(product(TRUTHS, TRUTHS)))
def test_all_and_any_follow_the_tables(pair: tuple[Truth, Truth]) -> None:
    assert all_of(pair) is CONJUNCTION[pair]
    assert any_of(pair) is DISJUNCTION[pair]


def test_negation_follows_the_table() -> None:
    assert [negation(truth) for truth in TRUTHS] == [F, U, T]


def test_of_nothing_all_hold_and_none_does() -> None:
    assert all_of(()) is True
    assert any_of(()) is False


@given(st.lists(st.sampled_from(TRUTHS), max_size=6), st.integers(0, 7))
def test_at_least_agrees_with_every_way_to_settle_the_unknown(truths: Sequence[Truth], needed: int) -> None:
    settled = product(*((truth,) if truth is not None else (True, False) for truth in truths))
    outcomes = {sum(way) >= needed for way in settled}
    assert at_least(needed, truths) is (outcomes.pop() if len(outcomes) == 1 else None)


@given(st.lists(st.sampled_from(TRUTHS), max_size=6))
def test_de_morgan(truths: Sequence[Truth]) -> None:
    assert negation(all_of(truths)) is any_of(negation(truth) for truth in truths)
