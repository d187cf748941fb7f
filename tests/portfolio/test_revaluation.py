"""A part of a portfolio revalued: figures worked by hand in `portfolio_documents`."""

from datetime import date
from decimal import Decimal

import msgspec
from msgspec.structs import replace

from hitchworth.model.portfolio import RevaluationTerms, RevaluedBuild
from hitchworth.operations.portfolios import read_portfolio_document
from hitchworth.portfolio.revaluation import SourceDocument, revalue
from portfolio_documents import TERMS, camper


def revalued(document: object, terms: RevaluationTerms = TERMS) -> RevaluedBuild:
    body = document if isinstance(document, bytes) else msgspec.json.encode(document)
    (found,) = revalue([SourceDocument("a", body)], terms, read_portfolio_document)
    return found


def test_the_limit_is_outgrown_on_the_day_on_which_the_second_part_is_bought() -> None:
    found = revalued(camper("A"))
    assert (found.id, found.name, found.currency, found.problem) == ("a", "A", "USD", None)
    assert (found.replacement_cost, found.actual_cash_value) == (Decimal("1000.00"), Decimal("1000.00"))
    assert (found.gap, found.gap_policy, found.gap_loss) == (Decimal("250.00"), "RV", "theft")
    (limit,) = found.limits
    assert (limit.policy, limit.term, limit.state, limit.limit) == ("RV", "limit", "outgrown", Decimal(1200))
    assert (limit.since, limit.lacking, limit.prices) == (date(2027, 3, 1), Decimal("300.00"), "known")  # 1,500 - 1,200


def test_a_limit_is_not_looked_at_beyond_the_horizon() -> None:
    days = (date(2027, 3, 1) - TERMS.as_of).days
    assert revalued(camper("A"), replace(TERMS, horizon_days=days)).limits
    assert not revalued(camper("A"), replace(TERMS, horizon_days=days - 1)).limits


def test_a_limit_that_does_not_cover_the_value_is_exceeded() -> None:
    (limit,) = revalued(camper("A", limit="900")).limits
    assert (limit.state, limit.since, limit.lacking, limit.prices) == (
        "exceeded",
        date(2026, 2, 1),
        Decimal("100.00"),
        None,
    )


def test_a_limit_is_compared_with_the_replacement_cost_where_that_is_asked_for() -> None:
    document = camper("A")
    document["policies"][0]["basis"] = "actual_cash_value"
    document["build"]["components"][1]["schedule"] = {"method": "straight_line", "life_years": 1}
    asked = replace(TERMS, as_of=date(2027, 9, 1))  # the second part has lost half a year of its one
    (by_policy,), (by_terms,) = (
        revalued(document, terms).limits for terms in (asked, replace(asked, basis="replacement_cost"))
    )
    assert by_policy.lacking < 100
    assert by_terms.lacking == 300
    assert (by_policy.basis, by_terms.basis) == ("actual_cash_value", "replacement_cost")


def test_the_greatest_gap_counts() -> None:
    document = camper("A")
    document["policies"].append({**document["policies"][0], "name": "Poor", "deductible": "600"})
    assert (revalued(document).gap, revalued(document).gap_policy) == (Decimal("600.00"), "Poor")


def test_policies_that_share_a_loss_have_one_gap() -> None:
    document = camper("A")
    document["policies"].append({**document["policies"][0], "name": "Second"})
    document["coordination"] = {"policies": ["RV", "Second"], "method": "primary_excess"}
    found = revalued(document)
    assert found.gap_policy is None
    assert found.gap is not None
    assert found.gap < 250


def test_nothing_said_of_policies_is_no_gap_of_zero() -> None:
    found = revalued({"build": camper("A")["build"]})
    assert (found.gap, found.gap_policy, found.gap_loss, found.limits) == (None, None, None, ())
    assert found.replacement_cost == 1000


def test_what_cannot_be_valued_says_why() -> None:
    wrong = revalued({"build": {"name": "A", "currency": "dollars"}})
    assert (wrong.id, wrong.currency, wrong.replacement_cost) == ("a", None, None)
    assert wrong.problem is not None
    assert "/build/currency" in wrong.problem
    assert revalued(b"{").problem
    named = revalued({"build": {"name": "A", "currency": "USD", "components": [{"id": 1}] * 2}}).problem or ""
    fields = ("id", "description", "category", "quantity", "unit_cost")  # the first five of a dozen places
    assert named.endswith(": " + ", ".join(f"/build/components/0/{field}" for field in fields))
    assert next(iter(revalue([SourceDocument("a", b"", "No id")], TERMS, read_portfolio_document))).problem == "No id"


def test_the_date_of_the_terms_counts_and_not_that_of_the_document() -> None:
    dated = revalued({**camper("A"), "as_of": "2028-01-01"})
    assert dated.replacement_cost == 1000
    assert revalued(camper("A"), replace(TERMS, as_of=date(2028, 1, 1))).replacement_cost == 1500


def test_the_same_document_has_the_same_digest() -> None:
    first, again, other = revalued(camper("A")), revalued(camper("A")), revalued(camper("B"))
    assert first.document == again.document != other.document
