"""One peril has many writings."""

import pytest

from hitchworth.reference.perils import peril_key, same_peril


@pytest.mark.parametrize("written", ["water damage", " Water  Damage ", "WATER_DAMAGE", "water-damage"])
def test_the_same_peril_has_one_key(written: str) -> None:
    assert peril_key(written) == "water_damage"
    assert same_peril(written, "water_damage")


def test_another_peril_is_another() -> None:
    assert not same_peril("fire", "flood")
