"""The tables that the commands print: cells compared with figures worked by hand.

The build: a stove for 1,000.00, three years old, and two batteries for 200.00 each, five years old, both in a straight
line to nothing over ten years. So percent good is 70 % and 50 %, and actual cash value 700.00 and 200.00.
"""

import csv
import io
import json
import re
from importlib.resources import files
from pathlib import Path
from typing import Any

import pytest

from hitchworth.cli import main
from hitchworth.demo import demo_body
from hitchworth.localization.texts import texts

SCHEDULE = {"method": "straight_line", "life_years": 10, "residual": 0}
STOVE = {
    "id": "stove",
    "description": "Stove",
    "category": "stove",
    "quantity": 1,
    "unit_cost": "1000.00",
    "acquired_on": "2023-01-01",
    "schedule": SCHEDULE,
}
BATTERY = STOVE | {
    "id": "battery",
    "description": "Battery",
    "category": "battery_lithium",
    "quantity": 2,
    "unit_cost": "200.00",
    "acquired_on": "2021-01-01",
}
BUILD = {"name": "Camper", "currency": "USD", "components": [STOVE, BATTERY]}
OPTIONS = {"day_count": "complete_years"}
VALUED = {"build": BUILD, "options": OPTIONS, "as_of": "2026-01-01"}
LOSS = {"occurred_on": "2026-01-01", "replaced": True}
HALF_THE_STOVE = [{"id": "stove", "fraction": "0.5"}]
KNOWN = {
    "covers_damage": True,
    "coinsurance_rate": "0",
    "sublimits": [],
    "order": ["sublimits", "coinsurance", "deductible", "limit"],
    "settles_as": "built_use",
    "counts_own_labor": True,
    "values_by": "cost_less_depreciation",
    "depreciates_labor": False,
    "holdback": True,
    "betterment_categories": [],
    "total_loss_tax_rate": "0",
    "excluded_perils": [],
    "knows_built_use": True,
    "without": [
        "limit",
        "custom_equipment_limit",
        "contents_limit",
        "replacement_years",
        "depreciation_cap",
        "total_loss_threshold",
    ],
}
"""What the policies of these tests say of every term that is not in question."""
POLICIES = [
    KNOWN | {"name": "depreciated", "basis": "actual_cash_value", "deductible": "100"},
    KNOWN | {"name": "new", "basis": "replacement_cost", "deductible": "250"},
]
SETTLED = VALUED | {
    "policies": POLICIES,
    "losses": [
        LOSS | {"name": "theft", "peril": "theft", "extent": "total"},
        LOSS | {"name": "hail", "peril": "hail", "extent": "partial", "damage": HALF_THE_STOVE},
    ],
}


class Printed:
    """What a command printed: the rows of its tables, by the cells in them."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.rows = [re.split(r"\s{2,}", line.strip()) for line in text.splitlines()]

    def row(self, name: str) -> list[str]:
        """The amounts of the only row with this name."""
        (row,) = self.every(name)
        return row

    def every(self, name: str) -> list[list[str]]:
        """The amounts of each row with this name."""
        return [row[1:] for row in self.rows if row[0] == name]

    def sums(self) -> list[list[str]]:
        """The amounts of each row below a rule."""
        return [row[1:] for line, row in zip(["", *self.rows], self.rows, strict=False) if line == [""]]


@pytest.fixture
def printed(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Any:
    def run(command: str, body: dict[str, Any], *options: str) -> Printed:
        file = tmp_path / "request.json"
        file.write_text(json.dumps(body), "utf-8")
        assert main([command, str(file), *options]) == 0
        return Printed(capsys.readouterr().out)

    return run


def test_the_lines_of_an_estimate_have_cost_age_percent_good_and_value(printed: Any) -> None:
    found = printed("estimate", VALUED)
    assert ["$1,000.00", "3.0", "70%", "$700.00"] in found.every("Stove")
    assert found.row("Battery") == ["$400.00", "5.0", "50%", "$200.00"]


def test_the_categories_of_an_estimate_have_cost_depreciation_and_value(printed: Any) -> None:
    found = printed("estimate", VALUED)
    assert ["$1,000.00", "$300.00", "$700.00"] in found.every("Stove")
    assert found.row("Lithium battery") == ["$400.00", "$200.00", "$200.00"]
    assert ["$1,400.00", "$500.00", "$900.00"] in found.sums()


def test_the_totals_of_an_estimate_lead_from_direct_cost_to_replacement_cost(printed: Any) -> None:
    # 1,400.00 of parts; overhead 10 % of it, 140.00; profit 20 % of it, not on overhead, 280.00; together 1,820.00
    costs = {"overhead_rate": "0.10", "profit_rate": "0.20", "compounded": False}
    found = printed("estimate", VALUED | {"build": BUILD | {"indirect_costs": costs}})
    amounts = [row[-1] for row in found.rows if len(row) > 1]
    start = amounts.index("$1,400.00")
    assert amounts[start : start + 3] == ["$1,400.00", "$140.00", "$280.00"]
    assert ["$1,820.00"] in found.sums()


def test_payments_are_shown_by_policy_and_loss(printed: Any) -> None:
    # Theft: all of it, 1,400.00 new and 900.00 depreciated. Hail: half the stove, 500.00 new and 350.00 depreciated.
    for command in ("settle", "gap"):
        found = printed(command, SETTLED)
        assert found.row("depreciated") == ["$800.00", "$250.00"]  # 900 - 100, 350 - 100
        assert found.row("new") == ["$1,150.00", "$250.00"]  # 1,400 - 250, 500 - 250
        assert ["$1,400.00", "$500.00"] in [row[1:] for row in found.rows]


def test_what_is_paid_at_best_is_shown_below_a_policy_with_an_open_term(printed: Any) -> None:
    policy = KNOWN | {"name": "open", "basis": "actual_cash_value", "deductible": None}
    body = SETTLED | {"policies": [policy, *POLICIES]}
    (theft, hail) = json.loads(printed("settle", body, "--format", "json").text)["settlements"][:2]
    worst, best = ([f"${float(row[key]):,.2f}" for row in (theft, hail)] for key in ("payable", "payable_at_best"))
    assert worst != best
    found = printed("settle", body)
    place = next(index for index, row in enumerate(found.rows) if row[0] == "open")
    assert [row[1:] for row in found.rows[place : place + 2]] == [worst, best]
    assert [row[0] for row in found.rows[place + 2 : place + 4]] == ["depreciated", "new"]  # nothing open, one row each


def test_gaps_are_shown_by_policy_loss_and_cause(printed: Any) -> None:
    found = printed("gap", SETTLED)
    assert ["$500.00", "$150.00"] in [row[1:] for row in found.rows]  # depreciation: 1,400 - 900, 500 - 350
    assert found.every("Deductible") == [["$100.00", "$100.00"], ["$250.00", "$250.00"]]
    assert ["$600.00", "$250.00"] in found.sums()  # 1,400 - 800, 500 - 250
    assert ["$250.00", "$250.00"] in found.sums()  # 1,400 - 1,150, 500 - 250


def test_the_first_five_questions_are_numbered_and_the_others_are_counted(printed: Any) -> None:
    found = printed("gap", SETTLED)
    count = len(json.loads(printed("gap", SETTLED, "--format", "json").text)["questions"])
    assert [row[0] for row in found.rows if row[0].isdecimal()] == ["1", "2", "3", "4", "5"]
    assert f"More questions, in the reports: {count - 5}." in found.text


def test_a_cause_that_takes_nothing_from_one_loss_has_a_dash_there(printed: Any) -> None:
    policy = POLICIES[0] | {"excluded_perils": ["hail"]}
    found = printed("gap", SETTLED | {"policies": [policy]})
    assert ["–", "$500.00"] in [row[1:] for row in found.rows]  # excluded: all of the hail, nothing of the theft


def test_steps_have_their_amount_and_what_is_left_after_it(printed: Any) -> None:
    found = printed("settle", SETTLED)
    assert found.every("Deductible") == [
        ["-$100.00", "$800.00"],
        ["-$100.00", "$250.00"],
        ["-$250.00", "$1,150.00"],
        ["-$250.00", "$250.00"],
    ]
    assert [row for row in found.sums() if len(row) == 1] == [["$800.00"], ["$250.00"], ["$1,150.00"], ["$250.00"]]


def test_settlements_as_csv_have_payment_and_gap(printed: Any) -> None:
    rows = list(csv.DictReader(io.StringIO(printed("settle", SETTLED, "--format", "csv").text)))
    assert [(row["policy"], row["loss"], row["payable"], row["gap"]) for row in rows] == [
        ("depreciated", "theft", "800.00", "600.00"),
        ("depreciated", "hail", "250.00", "250.00"),
        ("new", "theft", "1150.00", "250.00"),
        ("new", "hail", "250.00", "250.00"),
    ]


def test_a_curve_has_cost_value_and_insurance_to_value_by_date(printed: Any) -> None:
    # A year later the stove is at 60 % and the batteries are at 40 %: 600.00 + 160.00.
    # 800 / 900 = 89 %, 800 / 760 = 105 %.
    body = {"build": BUILD, "options": OPTIONS, "dates": ["2026-01-01", "2027-01-01"], "limit": "800"}
    found = printed("curve", body)
    assert found.row("Jan 1, 2026") == ["$1,400.00", "$900.00", "89%"]
    assert found.row("Jan 1, 2027") == ["$1,400.00", "$760.00", "105%"]
    del body["limit"]
    assert printed("curve", body).row("Jan 1, 2027") == ["$1,400.00", "$760.00", "–"]


def test_a_comparison_has_its_changes_in_words_and_by_effect(printed: Any, tmp_path: Path) -> None:
    # A second stove: +1,000.00 new, +700.00 depreciated. No batteries: -400.00 and -200.00. Together 600.00 and 500.00.
    before = {"build": BUILD, "as_of": "2026-01-01", "options": OPTIONS}
    after = before | {"build": BUILD | {"components": [STOVE | {"quantity": 2}]}}
    other = tmp_path / "after.json"
    other.write_text(json.dumps(after), "utf-8")
    found = printed("compare", before, str(other))
    assert found.row("Stove: quantity from 1 to 2") == ["$1,000.00", "$700.00"]
    assert found.row("Component Battery removed") == ["-$400.00", "-$200.00"]
    assert [row for row in found.sums() if len(row) == 2] == [["$600.00", "$500.00"]]


def test_a_sales_comparison_has_its_adjusted_sales_and_its_reconciliation(printed: Any) -> None:
    # One sale at 10,000.00, a foot shorter than the build at 650.00 a foot: 10,650.00. Cost approach: 900.00.
    # Weights 1 and 3: 225.00 + 7,987.50 = 8,212.50.
    body = VALUED | {
        "subject": {"age_years": 3, "size": 10},
        "comparables": [
            {
                "description": "Squareback",
                "price": "10000.00",
                "sold_on": "2025-12-01",
                "source": "bill of sale",
                "age_years": 3,
                "size": 9,
                "weight": {"weight": 1, "reason": "the only sale"},
            }
        ],
        "adjustments": {"size_unit": "ft", "per_size_unit": {"amount": "650.00", "reason": "list prices by length"}},
        "weights": {
            "cost": {"weight": 1, "reason": "few receipts"},
            "sales_comparison": {"weight": 3, "reason": "a recent sale"},
        },
    }
    found = printed("opinion", body)
    assert found.row("Squareback") == ["$10,000.00", "$650.00", "$10,650.00", "100%"]
    amounts = [row[1:] for row in found.rows]
    assert ["$900.00", "25%", "$225.00"] in amounts
    assert ["$10,650.00", "75%", "$7,987.50"] in amounts
    assert ["$8,212.50"] in found.sums()


def test_an_assessment_has_each_definition_with_its_citation_and_result(
    printed: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "300")  # nothing is broken into lines
    labels = texts().labels["holds"]
    results = {True: labels["true"], False: labels["false"], None: labels["unknown"]}
    body = json.loads(demo_body())
    body["build"]["facts"]["special_permit_needed"] = None
    built = json.loads(printed("classify", body, "--format", "json").text)["built"]
    assert {definition["holds"] for definition in built} == {True, False, None}
    assert {definition["verified"] for definition in built} == {True, False}
    rows = {row[0]: row[1:] for row in printed("classify", body).rows if len(row) == 3}
    for definition in built:
        citation, result = rows[definition["title"]]
        assert citation.startswith(definition["citation"])
        assert (citation == definition["citation"]) is definition["verified"]
        assert result == results[definition["holds"]]


def test_a_class_without_a_definition_is_shown_with_what_it_was_read_by(
    printed: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "400")  # nothing is broken into lines
    body = json.loads(demo_body())
    body["build"] |= {"jurisdiction": "GB", "facts": {"carries_property": False, "temporary_living_quarters": True}}
    found = printed("classify", body)
    assert "are not the law on this class: Caravan (special-purpose trailer, approval side) (" in found.text
    rows = {row[0]: row[2] for row in found.rows if len(row) == 3}
    assert rows["Goods trailer"] == "not met; used in place of a definition of the class"
    assert rows["Living van (construction and use)"] == "not known"
    caravan = rows["Caravan (special-purpose trailer, approval side)"]
    assert caravan == "met; speaks against the class, though it is not the law on it"


def test_a_protection_check_shows_measures_paybacks_and_the_circuits_that_need_attention(printed: Any) -> None:
    body = json.loads((files("hitchworth.web") / "examples" / "protection-check.json").read_bytes())
    body["build"]["protections"].append({"name": "motion_sensor"})
    found = printed("protect", body)
    fitted = [row[1:3] for row in found.rows if len(row) > 3]
    assert ["theft", "Apr 1, 2025"] in fitted
    assert "4.94 years" in found.text  # 89.00 / 18.00 a year
    assert "$12.00 a year" in found.text  # 5 % of the premium of 240.00
    circuits = [row[0] for row in found.rows if row[0] in {"battery to fuse block", "roof fan", "reading lights"}]
    # The lights fail three checks: 0.75 mm2 is thin, 10 A is a large fuse for it, no guard.
    # Open are: whether 5,000 A are enough for a lithium battery; whether the fan and the lights are apart from line
    # voltage; the guard of the fan, and the rating of 0.75 mm2.
    open_checks = ["battery to fuse block", *["roof fan"] * 2, *["reading lights"] * 2]
    assert circuits == ["reading lights"] * 3 + open_checks


def test_a_protection_check_without_measures_circuits_or_paybacks_has_no_tables(printed: Any) -> None:
    found = printed("protect", {"build": {"name": "Camper", "currency": "USD"}, "as_of": "2026-01-01"})
    assert "───" not in found.text
    assert found.text.strip()
