"""Labels and parameters of texts in one locale."""

from decimal import Decimal

import pytest

from hitchworth.localization.localizer import localizer_for


@pytest.mark.parametrize("written", ["hail", "Hail", " HAIL "])
def test_a_peril_has_its_label_however_it_is_written(written: str) -> None:
    assert localizer_for("en-US").label("peril", written) == "hail"
    assert localizer_for("de-DE").label("peril", written) == "Hagel"


def test_a_peril_without_a_label_is_shown_as_it_was_written() -> None:
    assert localizer_for("en-US").label("peril", "Hail-Storm") == "Hail-Storm"
    assert localizer_for("en-US").label("peril", "falling_tree") == "falling tree"


def test_only_perils_have_more_than_one_spelling() -> None:
    assert localizer_for("en-US").label("category", "Solar-Panels") == "Solar-Panels"
    assert localizer_for("en-US").label("category", "solar_panels") == "solar panels"


def test_a_label_at_the_start_of_a_sentence_has_a_capital() -> None:
    assert localizer_for("en-US").format("{category:Category}: {most:money}", category="solar", most=Decimal(5)) == (
        "Solar: 5.00"
    )


def test_a_missing_parameter_is_an_ellipsis() -> None:
    assert localizer_for("en-US", "USD").format("{gap:money} of {cost:money}", gap=Decimal(1)) == "$1.00 of …"
