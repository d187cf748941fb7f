"""The words of second opinions, value curves and comparisons, in every locale."""

from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from typing import Any

import msgspec
import pytest

from hitchworth import appraisal
from hitchworth.localization.locales import available
from hitchworth.localization.localize import localize
from hitchworth.model.estimate_comparison import EstimateComparison
from hitchworth.model.request import EstimateComparisonRequest, SalesComparisonRequest, ValueCurveRequest
from hitchworth.model.sales_comparison import ApproachWeights, SalesComparison
from hitchworth.model.value_curve import ValueCurve
from web_server import example

TODAY = date(2026, 6, 1)
FILLED = {"label", "text", "statement", "caution", "reason", "weight_reason"}


def sales_comparison(**changes: Any) -> SalesComparison:
    request = msgspec.json.decode(example("sales-comparison"), type=SalesComparisonRequest)
    return appraisal.sales_comparison(msgspec.structs.replace(request, **changes), TODAY)


def curve(limit: str | None = "10900") -> ValueCurve:
    request = msgspec.json.decode(example("value-curve"), type=ValueCurveRequest)
    return appraisal.value_curve(msgspec.structs.replace(request, limit=None if limit is None else Decimal(limit)))


def comparison() -> EstimateComparison:
    request = msgspec.json.decode(example("estimate-comparison"), type=EstimateComparisonRequest)
    return appraisal.compare(request, date(2025, 1, 15), TODAY)


def filled(value: Any) -> Iterator[str]:
    """Every text that the wording has to fill in."""
    if isinstance(value, dict):
        for name, part in value.items():
            yield from [part] if name in FILLED else filled(part)
    elif isinstance(value, (list, tuple)):
        for part in value:
            yield from filled(part)


@pytest.mark.parametrize("locale", available())
@pytest.mark.parametrize("made", [sales_comparison, curve, comparison])
def test_every_text_is_filled_in(made: Any, locale: str) -> None:
    texts = list(filled(msgspec.to_builtins(localize(made(), locale))))
    assert texts
    assert [text for text in texts if not text or "…" in text or "{" in text] == []


@pytest.mark.parametrize("locale", [locale for locale in available() if locale != "en-US"])
@pytest.mark.parametrize("made", [sales_comparison, curve, comparison])
def test_a_statement_is_in_its_language(made: Any, locale: str) -> None:
    assert localize(made(), locale).statement != localize(made(), "en-US").statement


def test_the_statement_of_a_curve_says_whether_the_limit_covers() -> None:
    assert "first fails" in localize(curve(), "en-US").statement
    assert "on every day" in localize(curve("20000"), "en-US").statement
    assert "between $0.00 and" in localize(curve(None), "en-US").statement


def test_a_given_reason_is_kept_and_a_missing_one_is_filled_in() -> None:
    given = localize(sales_comparison(), "en-US")
    assert [one.reason for one in given.reconciliation] == ["every part is documented", "two sales only"]
    alike = localize(sales_comparison(weights=ApproachWeights()), "en-US")
    assert {one.reason for one in alike.reconciliation} == {"weighted equally"}
