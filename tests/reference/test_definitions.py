"""Every definition file: its sources are named, its predicates parse, and every condition of it can matter."""

from collections import Counter
from collections.abc import Iterator, Mapping
from datetime import date
from fractions import Fraction
from importlib.resources import files
from itertools import combinations

import pytest

from hitchworth.classification.answer_search import AnswerSearch
from hitchworth.classification.build_facts import BuildFacts
from hitchworth.classification.judgment import judge
from hitchworth.reference.claims import claims
from hitchworth.reference.class_change_effects import class_change_rows
from hitchworth.reference.condition import Condition, Element, parse_comparison, parse_condition
from hitchworth.reference.coverage import coverage
from hitchworth.reference.definitions import Definition, condition_of, definitions, definitions_for
from hitchworth.reference.jurisdictions import UnknownJurisdictionError, jurisdictions
from hitchworth.reference.parsed_facts import ParsedFact, Value
from hitchworth.reference.registration_documents import class_families
from hitchworth.reference.total_loss_thresholds import total_loss_thresholds
from hitchworth.reference.towing_rules import towing_rules

TODAY = date(2026, 11, 25)
NOTHING_KNOWN = BuildFacts({}, as_planned=False)

each = pytest.mark.parametrize("definition", definitions(), ids=lambda definition: definition.id)


@each
def test_its_sources_are_named(definition: Definition) -> None:
    assert definition.title
    assert len(definition.citation) > 8
    assert definition.version
    if definition.provenance == "published":
        assert definition.text_source or definition.elements_note or definition.elements_provenance


@each
def test_it_lies_in_the_file_of_its_jurisdiction(definition: Definition) -> None:
    folder = files("hitchworth.reference").joinpath("data", "definitions", f"{definition.jurisdiction.casefold()}.yaml")
    assert f"- id: {definition.id}\n" in folder.read_text("utf-8")


@each
def test_its_predicates_parse_and_every_condition_is_named(definition: Definition) -> None:
    root = condition_of(definition.id)
    assert root.rule in {"all", "any"}
    assert all(part.id and part.text for part in root.parts)
    ids = [condition.id for condition in _conditions(root) if condition.id]
    assert len(ids) == len(set(ids))


def _conditions(condition: Condition) -> Iterator[Condition]:
    yield condition
    for part in condition.parts:
        yield from _conditions(part)


@each
def test_an_example_meets_it_and_one_misses_it(definition: Definition) -> None:
    root = condition_of(definition.id)
    for wanted in (True, False):
        assert judge(root, _example(root, wanted)).holds is wanted


@each
def test_every_condition_of_it_can_be_the_one_that_decides(definition: Definition) -> None:
    """For every comparison there is a trailer that meets the definition by the fact of this comparison alone."""
    root = condition_of(definition.id)
    search = AnswerSearch([root], NOTHING_KNOWN)
    for leaf in (condition for condition in _conditions(root) if condition.comparison):
        assert leaf.comparison
        surroundings = [search.answers_for(other, wanted) for other, wanted in _surroundings(root, leaf) or ()]
        way = search.at_least(len(surroundings), surroundings)[0]
        example = {fact: sorted(values, key=str)[0] for fact, values in way.items()}
        fact = leaf.comparison.fact
        outcomes = {judge(root, _build_facts({**example, fact: value})).holds for value in search.values(fact)}
        assert True in outcomes, leaf.comparison
        assert outcomes != {True}, leaf.comparison


def _surroundings(condition: Condition, leaf: Condition) -> list[tuple[Condition, bool]] | None:
    """How the other conditions must come out for the leaf to decide; None where the leaf is not under the condition."""
    if condition is leaf:
        return []
    for part in condition.parts:
        within = _surroundings(part, leaf)
        if within is not None:
            others = [other for other in condition.parts if other is not part]
            return [*within, *((other, place < condition.needed - 1) for place, other in enumerate(others))]
    return None


def _example(root: Condition, wanted: bool) -> BuildFacts:
    way = AnswerSearch([root], NOTHING_KNOWN).answers_for(root, wanted)[0]
    return _build_facts({fact: sorted(values, key=str)[0] for fact, values in way.items()})


def _build_facts(values: Mapping[str, Value]) -> BuildFacts:
    return BuildFacts(
        {fact: ParsedFact(value=value, given=str(value)) for fact, value in values.items()}, as_planned=False
    )


def test_every_jurisdiction_has_definitions_and_every_definition_a_jurisdiction() -> None:
    with_definitions = {definition.jurisdiction for definition in definitions()}
    for entry in jurisdictions().values():
        assert set(entry.chain) & with_definitions, entry.code
        assert set(entry.chain) <= set(jurisdictions()), entry.code
        assert entry.chain[0] == entry.code
    assert with_definitions <= set(jurisdictions())


def test_every_place_with_a_figure_of_its_own_is_a_jurisdiction() -> None:
    """A builder there is not refused, though only the wider definitions are known."""
    with_figures = {
        *(limit.jurisdiction for limit in claims().time_limits if limit.jurisdiction),
        *(place for each in towing_rules() for place in each.rule.jurisdictions if place != "*"),
        *total_loss_thresholds().by_place,
        *(row.place for row in class_change_rows()),
    }
    assert with_figures - set(jurisdictions()) == set()


def test_ids_are_given_once() -> None:
    assert max(Counter(definition.id for definition in definitions()).values()) == 1


def test_two_definitions_of_one_class_never_hold_in_one_place_at_one_time() -> None:
    for one, other in combinations(definitions(), 2):
        if (one.jurisdiction, one.class_) == (other.jurisdiction, other.class_):
            ends = (one.valid_to or date.max, other.valid_to or date.max)
            starts = (one.valid_from or date.min, other.valid_from or date.min)
            assert min(ends) < max(starts), (one.id, other.id)


def test_only_classes_contradict_classes() -> None:
    known = {definition.class_ for definition in definitions()} | {
        name for family in class_families() for name in family.classes
    }
    for definition in definitions():
        assert definition.role == "class" or not definition.contradicts, definition.id
        assert set(definition.contradicts) <= known, definition.id


def test_the_library_is_complete() -> None:
    """How many there are, and how many were read, as counted on 2026-11-27; 104 and 48 before that day."""
    assert len(definitions()) >= 252
    assert sum(definition.verified for definition in definitions()) >= 211
    assert sum(definition.provenance == "unverified" for definition in definitions()) > 20


def test_the_coverage_counts_every_definition_once() -> None:
    assert sum(entry.definitions for entry in coverage()) == len(definitions())
    by_code = {entry.code: entry for entry in coverage()}
    assert by_code["PT"].definitions == by_code["US-ME"].definitions == 0
    assert 0 < by_code["US"].verified < by_code["US"].definitions
    assert [(word.kind, word.word) for word in by_code["US-CT"].words] == [
        ("goods", "Utility trailer"),
        ("living", "Camp trailer"),
    ]
    assert [(word.kind, word.status) for word in by_code["US-AK"].words] == [
        ("goods", "not_found"),
        ("living", "not_found"),
    ]


def test_the_nearest_definition_of_a_class_replaces_the_wider_one() -> None:
    ids = {definition.id for definition in definitions_for("DE", TODAY)}
    assert "de-wohnanhaenger" in ids
    assert "eu-caravan" not in ids
    assert "eu-goods-trailer" in ids


@pytest.mark.parametrize(
    ("day", "expected"),
    [(date(2017, 8, 31), "us-tx-travel-trailer-before-2017"), (date(2017, 9, 1), "us-tx-travel-trailer")],
)
def test_a_definition_holds_in_its_time(day: date, expected: str) -> None:
    found = [definition.id for definition in definitions_for("US-TX", day) if definition.class_ == "travel_trailer"]
    assert found == [expected]


def test_an_unknown_jurisdiction_lists_those_there_are() -> None:
    with pytest.raises(UnknownJurisdictionError, match="US-WA"):
        definitions_for("XX", TODAY)


def test_a_definition_whose_conditions_are_unverified_is_not_verified() -> None:
    by_id = {definition.id: definition for definition in definitions()}
    assert by_id["eu-caravan"].verified
    assert by_id["us-wa-travel-trailer"].verified
    assert not by_id["us-wi-recreational-vehicle"].verified
    assert not by_id["eu-goods-trailer"].verified
    assert not by_id["ins-utility-trailer"].verified


@pytest.mark.parametrize(
    "text",
    [
        "shoe_size == 43",
        "has_gas = true",
        "has_gas == yes",
        "has_gas > true",
        "width_m <= wide",
        "built_by in [somebody]",
        "built_by in owner",
        "width_m in [1, 2]",
        "width_m",
    ],
)
def test_a_predicate_that_makes_no_sense_is_refused(text: str) -> None:
    with pytest.raises((ValueError, KeyError)):
        parse_comparison(text)


def test_a_condition_is_of_one_kind() -> None:
    test = Element(test="has_gas == true")
    for element in (Element(), Element(id="e1"), Element(test="has_gas == true", any=(test,))):
        with pytest.raises(ValueError, match="one of"):
            parse_condition(element)


def test_thresholds_are_exact() -> None:
    assert parse_comparison("width_m <= 2.5908").threshold == Fraction(25908, 10000)
