"""Sales tax on labor by state: the rows, compared with what was read."""

import pytest

from hitchworth.localization.localizer import localizer_for
from hitchworth.reference.jurisdictions import jurisdictions
from hitchworth.reference.labor_taxes import labor_taxes
from hitchworth.reference.load import read
from hitchworth.reference.quote_rules import tax_rule

ROWS = labor_taxes()


def test_a_place_has_one_row_with_a_source() -> None:
    assert len(read("labor_taxes.yaml", tuple[dict[str, object], ...])) == len(ROWS)
    assert set(ROWS) <= set(jurisdictions())
    for row in ROWS.values():
        assert row.provenance in {"published", "unverified"}
        assert row.source.startswith("from memory") == (row.provenance == "unverified")
        assert localizer_for("de-DE").translate(row.source) != row.source


@pytest.mark.parametrize(
    ("places", "general_tax", "repair"),
    [
        # an older table of state rules, with the repair of shoes as its sample; Minnesota's fact sheet on labor
        ("US-AR US-DC US-FL US-HI US-IA US-KS US-LA US-MS US-NC", True, True),
        ("US-AZ US-CA US-CT US-GA US-IL US-IN US-KY US-MA US-MD US-ME US-MI US-MN US-ND US-NE", True, False),
        # two tables that disagree; Texas from memory
        ("US-AL US-TX", True, None),
        # from memory
        ("US-NM US-NJ US-NY US-OH US-PA US-SD US-UT US-WV US-WI US-WY", True, True),
        ("US-MO US-NV US-OK US-RI US-SC US-VT", True, False),
        # no general sales tax: Alaska by a list, the others from memory
        ("US-AK US-DE US-MT US-NH US-OR", False, None),
    ],
)
def test_what_is_taxed(places: str, *, general_tax: bool, repair: bool | None) -> None:
    for place in places.split():
        row = ROWS[place]
        assert (row.general_tax, row.repair) == (general_tax, repair), place


def test_every_state_but_one_has_a_row_or_a_rule_of_its_own_and_none_has_both() -> None:
    """Nothing was found of repair in Colorado, and nothing of the territories was looked up."""
    states = {code for code in jurisdictions() if code.startswith("US-")}
    own = {code for code in states if tax_rule(code, "repair")}
    assert own == {"US-ID", "US-TN", "US-VA", "US-WA"}
    assert own.isdisjoint(ROWS)
    assert states - own - set(ROWS) == {"US-CO", "US-AS", "US-GU", "US-MP", "US-PR", "US-VI"}
