"""Facts as people give them, in the units of the vocabulary."""

from datetime import date
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hitchworth.classification.assessment import assess
from hitchworth.classification.build_facts import parse_facts
from hitchworth.model.build import FactValue, Measurement
from hitchworth.reference.facts import facts, vocabulary
from hitchworth.reference.parsed_facts import InvalidFactError, parse_fact
from hitchworth.reference.units import convert, decimal_text, find_unit, parse_quantity, units

AS_OF = date(2026, 11, 25)


@pytest.mark.parametrize(
    ("text", "value", "unit"),
    [
        ("31.2", Fraction("31.2"), None),
        ("3000 lb", Fraction(3000), "lb"),
        ("8' 6\"", Fraction("8.5"), "ft"),
        ("8 ft 6 in", Fraction("8.5"), "ft"),
        ("8ft6in", Fraction("8.5"), "ft"),
        ("8'-6 1/2\"", 8 + Fraction(13, 24), "ft"),
        ("8′ 6″", Fraction("8.5"), "ft"),
        ("102 in", Fraction(102), "in"),
        ("6-1/2 ft", Fraction("6.5"), "ft"),
        ("400 SQ FT", Fraction(400), "ft2"),
        ("37 m²", Fraction(37), "m2"),
        ("2 lb 8 oz", Fraction("2.5"), "lb"),
    ],
)
def test_quantities_are_read_as_people_write_them(text: str, value: Fraction, unit: str | None) -> None:
    amount, found = parse_quantity(text)
    assert (amount, found.name if found else None) == (value, unit)


@pytest.mark.parametrize("text", ["3,000 lb", "6 in 8 ft", "8 ft 6 lb", "-3", "1e3", "1/0 in", "ft", "", "8' 6' 2\""])
def test_what_can_be_read_two_ways_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match="not a quantity"):
        parse_quantity(text)


# NIST Special Publication 811 (2008), appendix B.8: factors given there in bold are exact.
@pytest.mark.parametrize(
    ("unit", "base", "factor"),
    [
        ("lb", "kg", "0.45359237"),
        ("ft", "m", "0.3048"),
        ("in", "m", "0.0254"),
        ("mi", "m", "1609.344"),
        ("yd", "m", "0.9144"),
        ("ft2", "m2", "0.09290304"),
        ("in2", "m2", "0.00064516"),
        ("mph", "km/h", "1.609344"),
        ("gal", "L", "3.785411784"),
        ("gal_imp", "L", "4.54609"),
        ("ton_us", "kg", "907.18474"),
        ("oz", "kg", "0.028349523125"),
    ],
)
def test_units_convert_by_the_published_ratios(unit: str, base: str, factor: str) -> None:
    given, wanted = find_unit(unit), find_unit(base)
    assert given
    assert wanted
    assert convert(Fraction(1), given, wanted) == Fraction(factor)


def test_no_two_units_go_by_one_name() -> None:
    names = [name.casefold() for unit in units() for name in {unit.name, *unit.aliases}]
    assert len(names) == len(set(names))


@given(st.fractions(0, 1000), st.sampled_from(units()), st.sampled_from(units()))
def test_conversion_there_and_back_changes_nothing(value: Fraction, one: object, other: object) -> None:
    first, second = find_unit(getattr(one, "name", "")), find_unit(getattr(other, "name", ""))
    assert first
    assert second
    if first.quantity == second.quantity:
        assert convert(convert(value, first, second), second, first) == value
    else:
        with pytest.raises(ValueError, match="not a unit of"):
            convert(value, first, second)


@pytest.mark.parametrize(
    "given",
    ["8' 6\"", "102 in", 2.5908, "2.5908", Measurement(value=102, unit="in"), Measurement(value="259.08", unit="cm")],
)
def test_a_width_on_the_limit_is_on_the_limit_in_every_unit(given: FactValue) -> None:
    assert parse_fact(vocabulary()["width_m"], given).value == Fraction("2.5908")
    assessment = assess("US-FL", "travel_trailer", {"width_m": given}, AS_OF)
    width = next(element for element in assessment.registered.elements if element.id == "width")
    assert width.holds is True
    assert width.tests[0].compared == "2.5908"


def test_a_hair_above_the_limit_is_above_it() -> None:
    assessment = assess("US-FL", "travel_trailer", {"width_m": "8 ft 6 1/1000 in"}, AS_OF)
    assert next(element for element in assessment.registered.elements if element.id == "width").holds is False


@pytest.mark.parametrize(
    ("name", "given", "member"),
    [
        ("has_gas", "yes", "value"),
        ("has_gas", 1, "value"),
        ("sleeping_berths", 2.5, "value"),
        ("sleeping_berths", True, "value"),
        ("width_m", -1, "value"),
        ("width_m", 101, "value"),
        ("width_m", float("nan"), "value"),
        ("width_m", float("inf"), "value"),
        ("width_m", Measurement(value=3, unit="lb"), "unit"),
        ("width_m", Measurement(value=3, unit="cubit"), "unit"),
        ("width_m", Measurement(value="3 ft", unit="m"), "unit"),
        ("has_gas", Measurement(value=True, unit="m"), "unit"),
        ("sleeping_berths", "2 ft", "value"),
        ("built_by", "somebody", "value"),
        ("certified_to_standard", 3, "value"),
    ],
)
def test_a_fact_of_another_kind_is_refused(name: str, given: FactValue, member: str) -> None:
    with pytest.raises(InvalidFactError) as refusal:
        parse_fact(vocabulary()[name], given)
    assert refusal.value.member == member


def test_a_fact_outside_the_vocabulary_is_refused() -> None:
    with pytest.raises(KeyError):
        assess("DE", None, {"shoe_size": 43}, AS_OF)


def test_planned_facts_count_only_as_planned() -> None:
    readings = parse_facts({"has_gas": Measurement(value=True, planned=True), "has_sink": True})
    assert readings["has_gas"].value is None
    assert readings.as_planned()["has_gas"].value is True
    assert readings.as_planned()["has_sink"].value is True


def test_a_fact_follows_from_two_others() -> None:
    readings = parse_facts({"gross_weight_rating_kg": "3000 lb", "empty_weight_kg": "2000 lb", "tow_curb_weight_kg": 0})
    assert readings["carrying_capacity_kg"].value == Fraction("453.59237")
    assert readings["empty_share_pct"].value == Fraction(200, 3)
    assert readings["mass_ratio_gross_to_tow_empty"].value is None


def test_a_fact_computed_from_a_planned_one_is_planned() -> None:
    facts = parse_facts({"gross_weight_rating_kg": 1000, "empty_weight_kg": Measurement(value=600, planned=True)})
    assert facts["carrying_capacity_kg"].value is None
    computed = facts.as_planned()["carrying_capacity_kg"]
    assert (computed.value, computed.given, computed.planned) == (400, "400", True)


def test_a_fact_computed_from_known_ones_is_not_planned() -> None:
    facts = parse_facts({"gross_weight_rating_kg": 1000, "empty_weight_kg": 600})
    assert not facts.as_planned()["carrying_capacity_kg"].planned
    assert not facts.any_planned


def test_a_plan_without_a_value_is_no_plan() -> None:
    assert not parse_facts({"has_gas": Measurement(value=None, planned=True)}).any_planned


def test_a_difference_may_subtract_zero_but_nothing_is_divided_by_it() -> None:
    facts = parse_facts({"gross_weight_rating_kg": 0, "empty_weight_kg": 0, "loaded_weight_kg": 5})
    assert facts["carrying_capacity_kg"].value == 0
    assert facts["loaded_share_pct"].value is None


@pytest.mark.parametrize(
    ("given", "fact", "value"),
    [
        # StVZO s. 42(2): (1,300 + 75) / 2 = 687.5; 660 of 687.5 kg is 96 %
        ({"tow_curb_weight_kg": 1300}, "unbraked_limit_kg", Fraction("687.5")),
        ({"tow_curb_weight_kg": 1300, "loaded_weight_kg": 660}, "loaded_share_of_unbraked_limit_pct", Fraction(96)),
        # Act (2001:559) (Sweden), s. 2: both totals together
        ({"tow_gross_weight_kg": 2100, "gross_weight_rating_kg": 1300}, "combination_gross_kg", Fraction(3400)),
        # Regulation (EU) 2018/858, Annex I, introductory part, 2.2.3: the load on the coupler does not count
        ({"gross_weight_rating_kg": 790, "coupling_load_rating_kg": 50}, "axle_rating_kg", Fraction(740)),
        # Annex I Part C, 5.3: 75 of 1,500 kg is 5 %
        ({"gross_weight_rating_kg": 1500, "coupling_load_rating_kg": 75}, "coupling_load_share_pct", Fraction(5)),
        # 777 of 740 kg is 105 %; the rating is itself computed
        (
            {"axle_load_kg": 777, "gross_weight_rating_kg": 790, "coupling_load_rating_kg": 50},
            "axle_load_share_pct",
            Fraction(105),
        ),
        ({"gross_weight_rating_kg": 790}, "axle_rating_kg", None),
        ({"tow_gross_weight_kg": 2100}, "combination_gross_kg", None),
        ({}, "unbraked_limit_kg", None),
    ],
)
def test_facts_computed_from_others_by_hand(given: dict[str, FactValue], fact: str, value: Fraction | None) -> None:
    assert parse_facts(given)[fact].value == value


def test_a_fact_that_is_given_is_not_computed() -> None:
    given = {"gross_weight_rating_kg": 1000, "empty_weight_kg": 600, "carrying_capacity_kg": 300}
    assert parse_facts(given)["carrying_capacity_kg"].value == 300


@given(st.integers(-(10**9), 10**9), st.integers(0, 6))
def test_decimals_are_written_in_full(digits: int, places: int) -> None:
    value = Fraction(digits, 10**places)
    assert Fraction(decimal_text(value)) == value
    assert "E" not in decimal_text(value)


def test_what_never_ends_is_shown_to_six_places() -> None:
    assert decimal_text(Fraction(2, 3)) == "0.666667"


def test_every_fact_has_a_unit_that_is_known_and_a_bound() -> None:
    for fact in facts():
        assert fact.question.endswith("?"), fact.name
        assert fact.measure, fact.name
        assert fact.unit is None or find_unit(fact.unit), fact.name
        assert (fact.maximum is not None) == (fact.type in {"number", "integer"}), fact.name
        assert (fact.type == "enum") == bool(fact.values), fact.name
        assert fact.computed is None or set(fact.computed.of) <= set(vocabulary()), fact.name
