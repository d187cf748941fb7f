"""The terms of a policy on the sheet: each one that is stated is printed, with its value."""

from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from msgspec.structs import fields, replace

from demo_sheet import demo_statement, report_context
from hitchworth.localization.terms import VALUE_FORMATS
from hitchworth.model.answer import Answer
from hitchworth.model.policy import Allowance, PerilDeductible, Policy, Sublimit
from hitchworth.reports.policy_terms import ITEMS, NOT_TERMS, policy_terms, value_text

EVERY_TERM: dict[str, Any] = {
    "kind": "recreational_vehicle",
    "covers_damage": True,
    "basis": "replacement_cost",
    "amount": Decimal(30000),
    "limit": Decimal(25000),
    "deductible": Decimal(500),
    "coinsurance_rate": Decimal("0.8"),
    "order": ("deductible", "sublimits", "coinsurance", "limit"),
    "sublimits": (Sublimit(category="contents", amount=Decimal(1200)), Sublimit(category="solar", amount=Decimal(900))),
    "custom_equipment_limit": Decimal(3000),
    "contents_limit": Decimal(0),
    "settles_as": "registered_class",
    "counts_own_labor": True,
    "values_by": "broad_evidence",
    "depreciates_labor": False,
    "deducts_obsolescence": False,
    "holdback": False,
    "total_loss_tax_rate": Decimal("0.0875"),
    "adds_tax_to_stated_amount": False,
    "excluded_perils": ("flood", "Hail-Storm"),
    "covers_perils": {"theft": True},
    "covers_situations": {"abroad": False},
    "peril_deductibles": (
        PerilDeductible(peril="Hail", rate=Decimal("0.02"), minimum=Decimal(1000)),
        PerilDeductible(peril="theft", amount=Decimal(250)),
        PerilDeductible(peril="wind", amount=Decimal(100), rate=Decimal("0.05"), applies_to="loss"),
        PerilDeductible(peril="fire", rate=Decimal("0.01"), applies_to="limit"),
        PerilDeductible(peril="flood"),
    ),
    "depreciation_cap": Decimal("0.6"),
    "betterment_categories": ("tires", "battery"),
    "replacement_years": Decimal(5),
    "holdback_days": 180,
    "total_loss_threshold": Decimal("0.75"),
    "total_loss_fees": Decimal(120),
    "covers_under_construction": False,
    "knows_built_use": True,
    "lender": "First Lender",
    "loan_balance": Decimal(8000),
    "allowances": (
        Allowance(kind="towing", limit=Decimal(300)),
        Allowance(kind="storage", limit=Decimal(600), per_day=Decimal(25), waiting_days=2),
    ),
    "annual_premium": Decimal(310),
}

PRINTED = {
    "Kind of policy": "RV policy",
    "Covers damage to the trailer": "Yes",
    "Basis of settlement": "Replacement cost",
    "Agreed, stated or market value": "$30,000.00",
    "Limit": "$25,000.00",
    "Deductible": "$500.00",
    "Coinsurance percentage": "80%",
    "Order of the steps": "Deductible, sublimits, coinsurance, limit",
    "Sublimits": "Contents $1,200.00; solar $900.00",
    "Limit for custom equipment": "$3,000.00",
    "Limit for contents": "None",
    "Settles by class or by built use": "Registered class",
    "Counts own hours": "Yes",
    "How actual cash value is found": "All the evidence",
    "Depreciates labor": "No",
    "Deducts obsolescence": "No",
    "Withholds depreciation (holdback)": "No",
    "Sales tax on a total loss": "8.75%",
    "Pays tax and fees on top of the stated amount": "No",
    "Excluded perils": "Flood, Hail-Storm",
    "Covers theft": "Yes",
    "Covers the trailer in another country": "No",
    "Deductibles by peril": "Hail: 2% of the value, at least $1,000.00; theft: $250.00; "
    "wind: $100.00 + 5% of the loss; fire: 1% of the limit; flood: $0.00",
    "Maximum depreciation of a line": "60%",
    "Parts paid less depreciation when replaced (betterment)": "Tires, battery",
    "Years for which replacement cost is paid": "5",
    "Days to claim recoverable depreciation": "180",
    "Repair cost that makes a total loss, as a share of the value": "75%",
    "Title and transfer fees on a total loss": "$120.00",
    "Covers the trailer under construction": "No",
    "Insurer knows what the trailer is built for": "Yes",
    "Lender named as loss payee": "First Lender",
    "Balance of the loan": "$8,000.00",
    "Towing, storage and loss of use": "Towing up to $300.00; "
    "storage up to $600.00, at most $25.00 a day, waiting period in days: 2",
    "Annual premium": "$310.00",
}
EVERY = Policy(name="every", **EVERY_TERM)
LEAST = Policy(name="least", basis="actual_cash_value")


def printed(policy: Policy, *answers: Answer) -> dict[str, str]:
    context = report_context(replace(demo_statement(), answers=answers))
    return {fact.label: fact.value for fact in policy_terms(context, policy).rows}


def test_the_policy_of_these_tests_sets_every_term_to_something_else_than_its_default() -> None:
    assert set(EVERY_TERM) | set(NOT_TERMS) == {field.name for field in fields(Policy)}
    assert [field.name for field in fields(Policy) if getattr(EVERY, field.name) == field.default] == ["without"]


def test_every_term_that_is_stated_is_printed() -> None:
    assert printed(EVERY) == PRINTED


def test_a_term_that_is_not_stated_is_not_printed() -> None:
    assert printed(LEAST) == {"Basis of settlement": "Actual cash value"}


@pytest.mark.parametrize("term", [field.name for field in fields(Policy) if field.name not in NOT_TERMS])
def test_each_term_has_a_way_to_be_written(term: str) -> None:
    assert term in ITEMS or term in VALUE_FORMATS


def test_a_term_that_the_policy_does_not_have_says_so() -> None:
    assert printed(replace(LEAST, without=("limit", "lender"))) == {
        "Basis of settlement": "Actual cash value",
        "Limit": "None",
        "Lender named as loss payee": "None",
    }


@pytest.mark.parametrize("term", [field.name for field in fields(Policy) if field.name not in NOT_TERMS])
def test_a_term_that_is_set_alone_is_printed(term: str) -> None:
    (label,) = set(printed(Policy(**{"name": "one", "basis": "market_value", term: EVERY_TERM[term]}))) - {
        "Basis of settlement" if term != "basis" else ""
    }
    assert label in PRINTED


def test_a_term_that_an_answer_leaves_open_says_so() -> None:
    assert printed(LEAST, Answer(policy="least", term="deductible", value=None))["Deductible"] == "Not known"


def test_an_answer_about_one_peril_has_a_row_of_its_own() -> None:
    assert printed(LEAST, Answer(policy="least", term="covers_perils.hail", value=False))["Covers hail"] == "No"


def test_the_newest_answer_replaces_the_term() -> None:
    first = Answer(policy="least", term="deductible", value=700, said_on=date(2026, 3, 1))
    second = Answer(policy="least", term="deductible", value=250, said_on=date(2026, 5, 1))
    other = Answer(policy="another", term="deductible", value=1)
    assert printed(LEAST, second, first, other) == {
        "Basis of settlement": "Actual cash value",
        "Deductible": "$250.00",
    }
    assert printed(LEAST, Answer(policy="least", term="deductible", value=0))["Deductible"] == "None"


def test_an_answer_about_a_fact_is_written_as_it_was_given() -> None:
    context = report_context(demo_statement())
    assert value_text(context, "", "12.5") == "12.5"
    assert value_text(context, "", value=None) == "not known"
