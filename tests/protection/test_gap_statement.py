"""The gap statement carries the protection report, in the words of its locale."""

import msgspec

from hitchworth import appraisal
from hitchworth.demo import demo_body
from hitchworth.localization.localize import localize
from hitchworth.model.request import GapRequest


def test_a_gap_statement_says_what_a_protection_check_says() -> None:
    asked = msgspec.json.decode(demo_body(), type=GapRequest)
    assert asked.as_of is not None
    stated = localize(appraisal.gap_statement(asked, asked.as_of), "de-DE").protection
    checked = appraisal.protection_report(asked.build, asked.policies, asked.as_of)
    assert stated == localize(checked, "de-DE", asked.build.currency)
    assert [measure.name for measure in stated.measures] == [each.name for each in asked.build.protections or ()]
    assert stated.uncovered_layers[0].text.startswith("Zur Schicht")
