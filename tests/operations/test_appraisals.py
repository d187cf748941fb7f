"""The appraisals as functions: in the locale and currency of the request, on its date or today."""

import re
from collections.abc import Callable
from datetime import date
from importlib.resources import files
from typing import Any

import msgspec
import pytest
from msgspec.structs import replace

from hitchworth.demo import demo_request
from hitchworth.model.options import Options
from hitchworth.model.request import (
    ClassificationRequest,
    EstimateComparisonRequest,
    EstimateRequest,
    GapRequest,
    ProtectionRequest,
    SalesComparisonRequest,
    SettlementRequest,
    ValueCurveRequest,
)
from hitchworth.operations import appraisals
from hitchworth.operations.reports import Printing, create_conversation_sheet
from hitchworth.operations.requests import currency_of
from hitchworth.reports import markdown

TODAY = date(2031, 2, 3)
OPERATIONS: dict[str, tuple[Callable[[Any], Any], type[Any], Callable[[Any], str]]] = {
    "estimate": (appraisals.create_estimate, EstimateRequest, lambda result: result.lines[0].workings[0].text),
    "estimate-comparison": (
        appraisals.create_estimate_comparison,
        EstimateComparisonRequest,
        lambda result: result.statement,
    ),
    "value-curve": (appraisals.create_value_curve, ValueCurveRequest, lambda result: result.statement),
    "sales-comparison": (appraisals.create_sales_comparison, SalesComparisonRequest, lambda result: result.statement),
    "classification": (appraisals.create_classification, ClassificationRequest, lambda result: result.statement),
    "settlement": (
        appraisals.create_settlements,
        SettlementRequest,
        lambda result: result.settlements[0].steps[0].label,
    ),
    "gap-statement": (appraisals.create_gap_statement, GapRequest, lambda result: result.statement),
    "protection-check": (
        appraisals.create_protection_check,
        ProtectionRequest,
        lambda result: result.paybacks[0].text,
    ),
}
"""For each example: the operation, the type of its request, and a text of its result."""


def example(name: str) -> Any:
    body = (files("hitchworth.web") / "examples" / f"{name}.json").read_bytes()
    request = msgspec.json.decode(body, type=OPERATIONS[name][1])
    return replace(request, options=Options(workings=True)) if name == "estimate" else request


@pytest.mark.parametrize("name", OPERATIONS)
def test_a_result_is_in_the_locale_of_the_request(name: str) -> None:
    operation, _, text_of = OPERATIONS[name]
    texts = {text_of(operation(replace(example(name), locale=tag))) for tag in ("en-US", "de-DE", "fr-CA")}
    assert all(texts)
    assert len(texts) == 3


@pytest.mark.parametrize("name", OPERATIONS)
def test_the_currency_of_a_request_is_that_of_its_build(name: str) -> None:
    assert currency_of(example(name)) == (None if name == "classification" else "USD")


def test_amounts_in_texts_are_in_the_currency_of_the_request() -> None:
    request = example("protection-check")
    euros = replace(request, build=replace(request.build, currency="EUR"))
    assert "$89.00" in appraisals.create_protection_check(request).paybacks[0].text
    assert "€89.00" in appraisals.create_protection_check(euros).paybacks[0].text
    settlement = example("settlement")
    policy = replace(settlement.policies[0], deductible=None)
    assumed = appraisals.create_settlements(replace(settlement, policies=(policy,))).settlements[0].assumed
    (deductible,) = (note.text for note in assumed if note.code == "assumed_deductible")
    assert re.search(r"\$[\d,]+\.00", deductible)


@pytest.mark.parametrize("name", OPERATIONS)
def test_an_operation_keeps_the_name_and_the_description_of_its_function(name: str) -> None:
    operation = OPERATIONS[name][0]
    assert getattr(appraisals, operation.__name__) is operation
    assert operation.__doc__


@pytest.mark.parametrize(
    "name", ["estimate", "sales-comparison", "classification", "gap-statement", "protection-check"]
)
def test_a_request_without_a_date_is_of_today(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(appraisals, "today", lambda: TODAY)
    operation = OPERATIONS[name][0]
    assert operation(replace(example(name), as_of=None)).as_of == TODAY
    assert operation(replace(example(name), as_of=date(2026, 1, 31))).as_of == date(2026, 1, 31)


def test_each_side_of_a_comparison_without_a_date_is_of_today(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(appraisals, "today", lambda: TODAY)
    request = example("estimate-comparison")
    sides = {"before": replace(request.before, as_of=None), "after": replace(request.after, as_of=None)}
    for changes, dates in (
        ({}, ("2025-01-15", "2026-06-01")),
        (sides, ("2031-02-03", "2031-02-03")),
        ({"before": sides["before"]}, ("2031-02-03", "2026-06-01")),
    ):
        result = appraisals.create_estimate_comparison(replace(request, **changes))
        assert (str(result.before.as_of), str(result.after.as_of)) == dates


def test_the_sheet_has_the_texts_and_the_digest_of_the_gap_statement() -> None:
    request = replace(demo_request(), locale="de-DE")
    statement, sheet = appraisals.create_gap_statement(request), create_conversation_sheet(request)
    text = markdown.render(sheet).replace("\\", "")
    assert next(question for question in statement.questions if question.to == "insurer").text in text
    assert statement.digest in sheet.footer
    assert (sheet.language, sheet.paper) == ("de-DE", "a4")
    assert create_conversation_sheet(request, Printing(paper="letter")).paper == "letter"
