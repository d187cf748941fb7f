"""The search for answers: every value at which an outcome can change, and the alternatives with the fewest facts."""

from fractions import Fraction

from hitchworth.classification.answer_search import MAX_ALTERNATIVES, AnswerSearch, fewest_facts_first
from hitchworth.classification.build_facts import parse_facts
from hitchworth.reference.condition import AtLeast, Condition, Element, parse_condition

UNKNOWN = parse_facts({})
LENGTH = "overall_length_m"


def _condition(*tests: str) -> Condition:
    return parse_condition(Element(all=tuple(Element(test=test) for test in tests)))


def test_a_number_is_tried_at_and_around_each_threshold() -> None:
    # thresholds 2 and 4: half of the smallest of 4 - 2, 2 and 1 is 1/2
    search = AnswerSearch([_condition(f"{LENGTH} >= 4", f"{LENGTH} < 2")], UNKNOWN)
    assert search.values(LENGTH) == frozenset(map(Fraction, ("1.5", "2", "2.5", "3.5", "4", "4.5")))


def test_close_thresholds_are_told_apart() -> None:
    search = AnswerSearch([_condition(f"{LENGTH} > 2.5", f"{LENGTH} <= 2.6")], UNKNOWN)
    assert search.values(LENGTH) == frozenset(map(Fraction, ("2.45", "2.5", "2.55", "2.6", "2.65")))


def test_a_small_threshold_has_a_value_below_it() -> None:
    search = AnswerSearch([_condition(f"{LENGTH} >= 0.2")], UNKNOWN)
    assert search.values(LENGTH) == frozenset(map(Fraction, ("0.1", "0.2", "0.3")))


def test_a_whole_number_is_tried_in_whole_steps_and_never_below_zero() -> None:
    assert AnswerSearch([_condition("wheels > 0")], UNKNOWN).values("wheels") == {0, 1}
    assert AnswerSearch([_condition("wheels <= 2")], UNKNOWN).values("wheels") == {1, 2, 3}


def test_words_and_booleans_are_tried_in_full() -> None:
    search = AnswerSearch([_condition("built_by in [owner]", "has_gas == true")], UNKNOWN)
    assert search.values("built_by") == {"manufacturer", "owner", "workshop"}
    assert search.values("has_gas") == {True, False}


def test_the_answers_to_one_fact_must_agree() -> None:
    both = _condition(f"{LENGTH} >= 4", f"{LENGTH} < 2")
    search = AnswerSearch([both], UNKNOWN)
    assert search.answers_for(both, outcome=True) == ()
    assert [set(answers) for answers in search.answers_for(both, outcome=False)] == [{LENGTH}, {LENGTH}]


def test_a_known_fact_needs_no_answer() -> None:
    condition = _condition("has_gas == true", "has_sink == true")
    search = AnswerSearch([condition], parse_facts({"has_gas": True}))
    assert search.answers_for(condition, outcome=True) == ({"has_sink": frozenset({True})},)
    known = AnswerSearch([condition], parse_facts({"has_gas": False}))
    assert known.answers_for(condition, outcome=False)[0] == {}
    assert known.answers_for(condition, outcome=True) == ()


def test_all_but_n_must_fail_for_at_least_n_to_fail() -> None:
    parts = tuple(Element(test=f"{name} == true") for name in ("has_gas", "has_sink", "has_toilet"))
    condition = parse_condition(Element(at_least=AtLeast(n=2, of=parts)))
    search = AnswerSearch([condition], UNKNOWN)
    assert {len(answers) for answers in search.answers_for(condition, outcome=True)} == {2}
    assert {len(answers) for answers in search.answers_for(condition, outcome=False)} == {2}


def test_alternatives_are_kept_once_and_the_fewest_facts_come_first() -> None:
    gas, sink = {"has_gas": frozenset({True})}, {"has_gas": frozenset({True}), "has_sink": frozenset({True})}
    assert fewest_facts_first([sink, gas, gas]) == (gas, sink)


def test_the_number_of_alternatives_is_bounded() -> None:
    many = [{f"fact_{place:03}": frozenset({True})} for place in range(100)]
    assert MAX_ALTERNATIVES == 64
    assert fewest_facts_first(many) == tuple(many[:64])
