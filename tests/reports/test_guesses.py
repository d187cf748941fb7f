"""What is a guess or not priced stands as such on what is handed over."""

from collections.abc import Mapping
from typing import Any

import msgspec
import pytest
from msgspec.structs import replace

from hitchworth.demo import demo_request
from hitchworth.localization.localizer import localizer_for
from hitchworth.localization.terms import term_value
from hitchworth.model.request import GapRequest
from hitchworth.operations.appraisals import create_gap_statement
from hitchworth.operations.reports import Printing, create_conversation_sheet, create_letter, create_report
from hitchworth.reports import markdown, plain_text

PART = {"quantity": 1, "unit_cost": "400", "acquired_on": "2025-05-01"}
STOVE = PART | {"id": "stove", "description": "Stove", "category": "stove"}
USED = STOVE | {"id": "fridge", "description": "Fridge", "category": "fridge", "bought_used": True}
HOURS = {"id": "work", "task": "Build it", "hours": 120, "rate": 0, "performed_on": "2025-05-01"}


def request(*entries: Mapping[str, Any], place: str = "US-NC", **facts: Any) -> GapRequest:
    """Stove and hours at actual cash value on a build that is registered as a utility trailer."""
    build = {
        "name": "Trailer",
        "currency": "USD",
        "jurisdiction": place,
        "registered_class": "utility_trailer",
        "facts": facts,
        "components": [entry for entry in entries if "quantity" in entry],
        "labor": [entry for entry in entries if "hours" in entry],
    }
    policy = {"name": "phone", "kind": "recreational_vehicle", "basis": "actual_cash_value", "deductible": 500}
    fire = {"name": "fire", "peril": "fire", "extent": "total"}
    body = {"as_of": "2026-11-15", "build": build, "policies": [policy], "losses": [fire]}
    return msgspec.convert(body, GapRequest, strict=False)


def sheet(*entries: Mapping[str, Any]) -> str:
    return markdown.render(create_conversation_sheet(request(*entries)))


@pytest.mark.parametrize(
    ("hours", "evidence"),
    [
        ([{"market_rate": 60}], "120 hours at $60.00 an hour (guess)"),
        ([{"market_rate": 60, "evidence_grade": "written_quote"}], "120 hours at $60.00 an hour (written quote)"),
        ([{"market_rate": 60}, {"market_rate": 85, "hours": 10}], "130 hours at $60.00 to $85.00 an hour (guess)"),
        ([{"market_rate": 60}, {"hours": 10}], "120 hours at $60.00 an hour (guess), 10 hours without a rate"),
        ([{"rate": 20}], "120 hours at $20.00 an hour (guess)"),
    ],
)
def test_own_hours_have_their_rate_and_what_proves_it(hours: list[dict[str, Any]], evidence: str) -> None:
    work = [HOURS | each | {"id": f"work{place}"} for place, each in enumerate(hours)]
    (row,) = (line for line in sheet(STOVE, *work).splitlines() if line.startswith("| Own hours"))
    assert row.endswith(f"| {evidence} |")


@pytest.mark.parametrize(
    ("stated", "evidence"),
    [({}, "no evidence stated"), ({"evidence_grade": "receipt"}, "receipt"), ({"evidence_grade": "guess"}, "guess")],
)
def test_hired_hours_are_proved_only_by_what_is_stated(stated: dict[str, Any], evidence: str) -> None:
    welder = HOURS | {"hours": 3, "rate": 80, "hired": True} | stated
    (row,) = (line for line in sheet(STOVE, welder).splitlines() if line.startswith("| Hired hours"))
    assert row.endswith(f"| 3 hours at $80.00 an hour ({evidence}) |")


def test_a_guessed_rate_is_said_to_be_one_below_the_table() -> None:
    guess = "Own hours at a rate that is a guess until a shop quotes one: 120."
    assert guess in sheet(STOVE, HOURS | {"market_rate": 60})
    assert guess not in sheet(STOVE, HOURS | {"market_rate": 60, "evidence_grade": "written_quote"})


def test_what_is_not_priced_has_no_range_and_the_sheet_says_that_it_is_too_low() -> None:
    """400 for the stove and 400 for a used refrigerator; the hours add nothing."""
    printed = sheet(STOVE, USED, HOURS)
    assert "at least $800.00; no range, because the price new or the rate is not known (entries: 2)" in printed
    assert "This amount is too low as long as the price new or the rate of some entries is not known" in printed
    assert "| Own hours | not valued | not valued | 120 hours without a rate |" in printed
    assert "Own hours without a shop's rate: 120." in printed
    assert "Parts bought used, at the price paid: 1." in printed
    assert "90% confidence" not in printed
    whole = sheet(STOVE, HOURS | {"market_rate": 60})
    assert "90% confidence" in whole
    assert "too low" not in whole
    assert "bought used" not in whole


# A used part with its price new, hours that were paid, hired hours at no cost, and hours at a market rate have a price.
@pytest.mark.parametrize(
    ("entry", "not_priced"),
    [
        (USED, ("fridge",)),
        (USED | {"bought_used": False}, ()),
        (USED | {"replacement_unit_cost": "600", "quoted_on": "2026-11-01"}, ()),
        (USED | {"replacement_unit_cost": "600", "quoted_on": "2026-12-01"}, ("fridge",)),
        (HOURS, ("work",)),
        (HOURS | {"rate": 20}, ()),
        (HOURS | {"hired": True}, ()),
        (HOURS | {"market_rate": 60}, ()),
    ],
)
def test_the_band_names_what_is_not_priced(entry: Mapping[str, Any], not_priced: tuple[str, ...]) -> None:
    build = request(STOVE, entry)
    assert create_gap_statement(build).estimate.band.not_priced == not_priced


def test_a_trailer_without_a_definition_is_no_camping_trailer() -> None:
    """A camping trailer folds. Whether it needs a permit is open; once that is known, the standard has the word."""
    built: dict[str, Any] = {"temporary_living_quarters": True, "collapsible": False, "self_propelled": False}
    assert "built as: trailer with living quarters" in _letter(request(STOVE, place="US-SD", **built))
    known = built | {"special_permit_needed": False, "permanently_towable": True}
    assert "built as: travel trailer (industry standard)" in _letter(request(STOVE, place="US-SD", **known))


def _letter(of: GapRequest) -> str:
    return plain_text.render(create_letter(of, "correct-class"))


def test_a_number_is_asked_for_where_there_is_none() -> None:
    asked = "please tell me how one is assigned"
    assert asked not in plain_text.render(create_letter(demo_request(), "change-class"))
    without = replace(demo_request(), build=replace(demo_request().build, vin=None))
    assert asked in plain_text.render(create_letter(without, "change-class"))


def test_a_remedy_of_a_working_reading_says_so() -> None:
    facts = {"temporary_living_quarters": True, "collapsible": False, "special_permit_needed": False}
    report = markdown.render(create_report(request(STOVE, place="US-SD", **facts), "class-report"))
    assert "is found by the nearest definitions, not by the law of the place on this class" in report
    assert "SDCL 32-3-53" in report
    of_law = markdown.render(create_report(request(STOVE, place="US-CA", **facts), "class-report"))
    assert "is found by the nearest definitions" not in of_law


# The brake law of North Carolina says house trailers, and nothing of registration.
def test_a_rule_by_class_may_count_already() -> None:
    facts: dict[str, Any] = {
        "gross_weight_rating_kg": "1990 lb",
        "has_brakes": False,
        "temporary_living_quarters": True,
    }
    report = markdown.render(create_report(request(STOVE, **facts), "class-report"))
    assert "Yes, by what it is built as; that may count already, so ask before you tow it" in report
    assert "No, by its registered class; the rule may go by what it is built as" in report
    assert "once it is registered" not in report


@pytest.mark.parametrize(
    ("term", "value", "words"),
    [
        ("coinsurance_rate", "0", "no clause"),
        ("coinsurance_rate", "0.8", "80%"),
        ("comparable_price", "none", "by its parts"),
        ("comparable_price", "1600.00", "$1,600.00"),
        ("limit", "none", "none"),
    ],
)
def test_what_is_not_there_is_said_in_the_words_of_its_term(term: str, value: str, words: str) -> None:
    assert term_value(localizer_for("en-US", "USD"), term, value) == words


def test_the_note_on_days_to_count_stands_only_where_such_days_do() -> None:
    note = "count business and working days yourself"
    assert note not in markdown.render(create_report(request(STOVE), "after-loss"))
    assert note in markdown.render(
        create_report(request(STOVE, place="FR"), "after-loss", Printing(include_unverified=True))
    )


def test_one_entry_is_no_plural() -> None:
    (note,) = (n for n in create_gap_statement(request(STOVE, HOURS)).estimate.notes if "own_hours" in n.code)
    assert note.text.startswith("Own work without a market rate: 120 hours (entries: 1).")
