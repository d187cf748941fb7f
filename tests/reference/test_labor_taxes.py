"""Sales tax on labor by state: the rows, compared with what was read."""

import pytest

from hitchworth.localization.localizer import localizer_for
from hitchworth.reference.jurisdictions import jurisdictions
from hitchworth.reference.labor_taxes import labor_taxes
from hitchworth.reference.load import read

ROWS = labor_taxes()


def test_a_place_has_one_row_with_a_source() -> None:
    assert len(read("labor_taxes.yaml", tuple[dict[str, object], ...])) == len(ROWS)
    assert set(ROWS) <= set(jurisdictions())
    for row in ROWS.values():
        assert row.provenance in {"published", "unverified"}
        assert row.source.startswith("from memory") == (row.provenance == "unverified")
        assert localizer_for("de-DE").translate(row.source) != row.source


@pytest.mark.parametrize(
    ("places", "general_tax", "fabrication", "repair"),
    [
        # the tax offices of California (publication 108), Minnesota (fact sheet on labor) and Tennessee
        ("US-CA US-MN", True, True, False),
        ("US-TN", True, None, True),
        # an older table of state rules, with the repair of shoes as its sample
        ("US-AR US-DC US-FL US-HI US-IA US-KS US-LA US-MS US-NC", True, None, True),
        ("US-AZ US-CT US-GA US-ID US-IL US-IN US-KY US-MA US-MD US-ME US-MI US-ND US-NE", True, None, False),
        # two tables that disagree; Texas from memory
        ("US-AL US-TX", True, None, None),
        # from memory
        ("US-NM US-NJ US-NY US-OH US-PA US-SD US-UT US-WA US-WV US-WI US-WY", True, None, True),
        ("US-MO US-NV US-OK US-RI US-SC US-VA US-VT", True, None, False),
        # no general sales tax: Alaska by a list, the others from memory
        ("US-AK US-DE US-MT US-NH US-OR", False, None, None),
    ],
)
def test_what_is_taxed(places: str, *, general_tax: bool, fabrication: bool | None, repair: bool | None) -> None:
    for place in places.split():
        row = ROWS[place]
        assert (row.general_tax, row.fabrication, row.repair) == (general_tax, fabrication, repair), place


def test_every_state_but_one_has_a_row() -> None:
    """Nothing was found of Colorado, and nothing of the territories was looked up."""
    states = {code for code in jurisdictions() if code.startswith("US-")}
    assert states - set(ROWS) == {"US-CO", "US-AS", "US-GU", "US-MP", "US-PR", "US-VI"}
