"""One peril has many writings, and several names."""

from collections import Counter

import pytest

from hitchworth.reference.load import read
from hitchworth.reference.perils import canonical_peril, gradual_perils, peril_key, same_peril, similar_perils
from hitchworth.reference.plausible_terms import plausible_terms

DATA = read("perils.yaml", dict[str, object])
GRADUAL = {entry["peril"]: entry["also"] for entry in DATA["gradual"]}  # type: ignore[attr-defined]
SAME: dict[str, list[str]] = DATA["same"]  # type: ignore[assignment]


@pytest.mark.parametrize("written", ["water damage", " Water  Damage ", "WATER_DAMAGE", "water-damage"])
def test_the_same_peril_has_one_key(written: str) -> None:
    assert peril_key(written) == "water_damage"
    assert same_peril(written, "water_damage")


def test_another_peril_is_another() -> None:
    assert not same_peril("fire", "flood")
    assert not same_peril("hail", "wind")


@pytest.mark.parametrize(
    ("written", "peril"),
    [
        *(("Windstorm", "wind"), ("tornado", "wind"), ("hail storm", "hail"), ("burglary", "theft")),
        *(("roll-over", "roll_over"), ("Rollover", "collision"), ("Dry Rot", "rot"), ("rodents", "vermin")),
        *(("wear and tear", "wear"), ("Mildew", "mold"), ("rust", "corrosion"), ("frost", "freezing")),
        *(("deer", "animals"), ("falling tree", "falling_objects"), ("meteor", "meteor"), ("storm", "storm")),
    ],
)
def test_a_peril_is_compared_by_one_name(written: str, peril: str) -> None:
    assert canonical_peril(written) == peril
    assert canonical_peril(peril) == peril


def test_every_name_is_a_key_and_belongs_to_one_peril() -> None:
    names = [name for group in (GRADUAL, SAME) for peril, also in group.items() for name in (peril, *also)]
    assert [name for name, count in Counter(names).items() if count > 1] == []
    assert all(peril_key(name) == name for name in names)


def test_gradual_damage_is_what_every_kind_of_policy_excludes_by_custom() -> None:
    # Trade articles on auto and household forms and on touring caravan policies name these exclusions.
    gradual = {"wear", "rot", "mold", "corrosion", "slow_leak", "vermin", "breakdown", "freezing", "neglect"}
    assert gradual_perils() == set(GRADUAL) == gradual
    assert gradual.isdisjoint(SAME)


def test_every_peril_with_other_names_has_answers_of_its_own() -> None:
    answered = {entry.term.partition(".")[2] for entry in plausible_terms() if entry.term.startswith("covers_perils.")}
    assert set(SAME) <= answered


@pytest.mark.parametrize(
    ("written", "similar"),
    [
        ("thetf", ("theft",)),
        ("wind storms", ("wind", "hail", "storm")),
        ("vandalisim", ("vandalism",)),
        ("fire", ()),
        ("Hail Storm", ()),
        ("rust", ()),
        ("meteorite", ()),
    ],
)
def test_near_names_of_a_peril_that_is_not_listed(written: str, similar: tuple[str, ...]) -> None:
    assert similar_perils(written) == similar
