"""The terms of a policy on the sheet: each one that is stated is printed, with its value."""

from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from msgspec.structs import fields, replace

from demo_sheet import demo_statement, report_context
from hitchworth.model.policy import Allowance, Answer, PerilDeductible, Policy, Sublimit
from hitchworth.reports.policy_terms import ITEMS, NOT_TERMS, VALUES, policy_terms, term_value

EVERY_TERM: dict[str, Any] = {
    "basis": "replacement_cost",
    "amount": Decimal(30000),
    "limit": Decimal(25000),
    "deductible": Decimal(500),
    "coinsurance_rate": Decimal("0.8"),
    "order": ("deductible", "sublimits", "coinsurance", "limit"),
    "sublimits": (Sublimit(category="contents", amount=Decimal(1200)), Sublimit(category="solar", amount=Decimal(900))),
    "settles_as": "registered_class",
    "depreciates_labor": False,
    "holdback": False,
    "total_loss_tax_rate": Decimal("0.0875"),
    "excluded_perils": ("flood", "Hail-Storm"),
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
    "allowances": (
        Allowance(kind="towing", limit=Decimal(300)),
        Allowance(kind="storage", limit=Decimal(600), per_day=Decimal(25), waiting_days=2),
    ),
    "annual_premium": Decimal(310),
}

PRINTED = {
    "Basis of settlement": "Replacement cost",
    "Agreed, stated or market value": "$30,000.00",
    "Limit": "$25,000.00",
    "Deductible": "$500.00",
    "Share to be insured (coinsurance)": "80%",
    "Order of the steps": "deductible; sublimits; coinsurance; limit",
    "Sublimits": "contents $1,200.00; solar $900.00",
    "Settles by": "Registered class",
    "Depreciates labor": "no",
    "Withholds depreciation (holdback)": "no",
    "Sales tax on a total loss": "8.75%",
    "Excluded perils": "flood; Hail-Storm",
    "Deductibles by peril": "hail: 2% of the value, at least $1,000.00; theft: $250.00; "
    "wind: $100.00 + 5% of the loss; fire: 1% of the limit; flood: $0.00",
    "Maximum depreciation of a line": "60%",
    "Parts paid less depreciation when replaced (betterment)": "tires; battery",
    "Years for which replacement cost is paid": "5",
    "Days to claim recoverable depreciation": "180",
    "Repair cost that makes a total loss, as a share of the value": "75%",
    "Title and transfer fees on a total loss": "$120.00",
    "Covers the trailer under construction": "no",
    "Towing, storage and loss of use": "towing up to $300.00; "
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
    assert [field.name for field in fields(Policy) if getattr(EVERY, field.name) == field.default] == []


def test_every_term_that_is_stated_is_printed() -> None:
    assert printed(EVERY) == PRINTED


def test_a_term_that_is_not_stated_is_not_printed() -> None:
    assert printed(LEAST) == {"Basis of settlement": "Actual cash value"}


@pytest.mark.parametrize("term", [field.name for field in fields(Policy) if field.name not in NOT_TERMS])
def test_each_term_has_a_way_to_be_written(term: str) -> None:
    value = EVERY_TERM[term]
    assert isinstance(value, bool) or term in (ITEMS if isinstance(value, tuple) else VALUES)


@pytest.mark.parametrize("term", [field.name for field in fields(Policy) if field.name not in NOT_TERMS])
def test_a_term_that_is_set_alone_is_printed(term: str) -> None:
    (label,) = set(printed(Policy(**{"name": "one", "basis": "market_value", term: EVERY_TERM[term]}))) - {
        "Basis of settlement" if term != "basis" else ""
    }
    assert label in PRINTED


def test_a_term_that_is_known_to_be_unknown_says_so() -> None:
    assert printed(replace(LEAST, deductible=None))["Deductible"] == "not known"


def test_the_newest_answer_replaces_the_term() -> None:
    first = Answer(policy="least", term="deductible", value=700, said_on=date(2026, 3, 1))
    second = Answer(policy="least", term="deductible", value=250, said_on=date(2026, 5, 1))
    other = Answer(policy="another", term="deductible", value=1)
    assert printed(LEAST, second, first, other) == {
        "Basis of settlement": "Actual cash value",
        "Deductible": "$250.00",
    }
    assert printed(LEAST, Answer(policy="least", term="deductible", value=0))["Deductible"] == "none"


def test_an_answer_about_a_fact_is_written_as_it_was_given() -> None:
    context = report_context(demo_statement())
    assert term_value(context, "", "12.5") == "12.5"
    assert term_value(context, "", value=None) == "not known"
