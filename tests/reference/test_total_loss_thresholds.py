"""Total-loss thresholds: every place has a row or the words that it was not looked up."""

import pytest

from hitchworth.reference.jurisdictions import jurisdictions
from hitchworth.reference.plausible_terms import plausible_values, source_of
from hitchworth.reference.registration_documents import class_families
from hitchworth.reference.total_loss_thresholds import TotalLossThreshold, total_loss_threshold, total_loss_thresholds

# ISO 3166-2: the fifty states and the District of Columbia
STATES = """
    AL AK AZ AR CA CO CT DE DC FL GA HI ID IL IN IA KS KY LA ME MD MA MI MN MS MO MT NE NV NH NJ NM NY NC ND OH OK OR PA
    RI SC SD TN TX UT VT VA WA WV WI WY
"""
# ISO 3166-2: the provinces and territories of Canada
PROVINCES = "AB BC MB NB NL NS NT NU ON PE QC SK YT"


def test_every_state_has_a_row() -> None:
    assert {f"US-{state}" for state in STATES.split()} == set(total_loss_thresholds().by_place)


def test_every_place_has_a_row_or_was_not_looked_up() -> None:
    """INT and INS are no places: international standards, and insurers' usual terms."""
    rows, left = set(total_loss_thresholds().by_place), total_loss_thresholds().not_looked_up
    assert len(left) == len(set(left))
    assert rows.isdisjoint(left)
    assert set(jurisdictions()) - {"INT", "INS"} <= rows | set(left)
    assert {f"CA-{province}" for province in PROVINCES.split()} <= set(left)


@pytest.mark.parametrize("law", total_loss_thresholds().by_place.values(), ids=total_loss_thresholds().by_place)
def test_a_row_says_how_it_decides(law: TotalLossThreshold) -> None:
    assert law.source
    assert all(0 < share <= 1 for share in law.shares)
    if law.rule == "share":
        assert law.share is not None
    if law.share is not None:
        assert law.rule == "share" or law.only_uninsured
    assert law.family in {None, *(family.name for family in class_families())}


def test_what_a_law_names_is_plausible_and_cited() -> None:
    # Oklahoma: 60 percent brands the title, 100 percent is the total loss. Minnesota: lists have 80 and 70 percent.
    assert plausible_values("total_loss_threshold", None, "US-OK", "USD") == ("0.60", "1", "none")
    assert plausible_values("total_loss_threshold", None, "US-MN", "USD") == ("0.70", "0.80", "none")
    assert plausible_values("total_loss_threshold", None, "US-CA", "USD") == ("0.75", "none")
    assert plausible_values("total_loss_threshold", None, "CA-ON", "CAD") == ("0.75", "none")
    assert "47 O.S. 1111" in source_of("total_loss_threshold", None, "US-OK", "USD")
    assert "local rule" in source_of("total_loss_threshold", None, "US-CA", "USD")


def test_a_place_that_was_not_looked_up_has_no_rule() -> None:
    assert total_loss_threshold("CA-ON") is None
    assert total_loss_threshold(None) is None
    assert total_loss_threshold("US-ND") is not None
