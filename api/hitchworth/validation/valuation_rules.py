"""Rules for requests about values: options, value curves, sales comparisons, and comparisons of two estimates."""

from collections.abc import Iterator
from decimal import Decimal
from itertools import pairwise

from hitchworth.model.estimate_comparison import DEFAULT_EFFECTS
from hitchworth.model.fault import Fault
from hitchworth.model.options import Options
from hitchworth.model.request import EstimateComparisonRequest, SalesComparisonRequest, ValueCurveRequest
from hitchworth.model.sales_comparison import AdjustmentRule
from hitchworth.reference.currencies import exponent_of
from hitchworth.validation.fault_texts import OUT_OF_RANGE
from hitchworth.validation.names import duplicates
from hitchworth.validation.schedule_rules import unknown_price_index

MIN_CONFIDENCE, MAX_CONFIDENCE = Decimal("0.5"), Decimal("0.999")

MAX_CURVE_LINES = 200_000
"""Lines times dates of one value curve: some seconds of computation; the search for crossings comes to them."""


def confidence_out_of_range(options: Options) -> Iterator[Fault]:
    """A band at less than even odds, or at certainty, has no meaning."""
    if not MIN_CONFIDENCE <= options.confidence <= MAX_CONFIDENCE:
        yield Fault(
            pointer="/options/confidence",
            detail=OUT_OF_RANGE,
            expected=f"a number from {MIN_CONFIDENCE} to {MAX_CONFIDENCE}",
            found=str(options.confidence),
        )


def dates_not_ascending(request: ValueCurveRequest) -> Iterator[Fault]:
    """Each date of a value curve is after the one before it."""
    for index, (before, after) in enumerate(pairwise(request.dates), start=1):
        if after <= before:
            yield Fault(
                pointer=f"/dates/{index}",
                detail="Dates are not in ascending order",
                expected=f"a date after {before}",
                found=after.isoformat(),
            )


def too_many_dates(request: ValueCurveRequest) -> Iterator[Fault]:
    """A large build is valued on fewer dates."""
    lines = len(request.build.components) + len(request.build.labor)
    if lines * len(request.dates) > MAX_CURVE_LINES:
        yield Fault(
            pointer="/dates",
            detail="Too many dates for a build of this size",
            expected=f"at most {MAX_CURVE_LINES // lines} dates for {lines:,} lines",
            found=str(len(request.dates)),
        )


def different_currencies(request: EstimateComparisonRequest) -> Iterator[Fault]:
    """Two builds to compare are in one currency. An unknown currency has a fault of its own."""
    before, after = request.before.build.currency, request.after.build.currency
    return other_currency(after, before, "/after/build/currency", "the build before")


def other_currency(code: str, wanted: str, pointer: str, of: str) -> Iterator[Fault]:
    """Yield a fault when a build is in another currency than `of`, what it is compared with; both are known."""
    if code != wanted and exponent_of(code) is not None and exponent_of(wanted) is not None:
        yield Fault(
            pointer=pointer,
            detail="The two builds are in different currencies",
            expected=f"{wanted}, the currency of {of}",
            found=code,
        )


def incomplete_effect_order(request: EstimateComparisonRequest) -> Iterator[Fault]:
    """The order has each effect once. One that is left out would be missing from the sum."""
    if sorted(request.order) != sorted(DEFAULT_EFFECTS):
        yield Fault(
            pointer="/order",
            detail="The order must have each effect once",
            expected=f"in any order: {', '.join(DEFAULT_EFFECTS)}",
            found=", ".join(request.order) or "none",
        )


def duplicate_comparables(request: SalesComparisonRequest) -> Iterator[Fault]:
    """Each comparable has a description of its own."""
    descriptions = (comparable.description for comparable in request.comparables)
    return duplicates("description", {"/comparables/{}/description": descriptions})


def duplicate_equipment(request: SalesComparisonRequest) -> Iterator[Fault]:
    """Equipment has one value, and each trailer lists it once."""
    values = (value.item for value in request.adjustments.equipment)
    yield from duplicates("item", {"/adjustments/equipment/{}/item": values})
    trailers = [("/subject", request.subject)]
    trailers += [(f"/comparables/{index}", comparable) for index, comparable in enumerate(request.comparables)]
    for at, trailer in trailers:
        yield from duplicates("item", {f"{at}/equipment/{{}}": trailer.equipment or ()})


def zero_comparable_prices(request: SalesComparisonRequest) -> Iterator[Fault]:
    """A comparable was sold: what was given away does not show a value."""
    for index, comparable in enumerate(request.comparables):
        if not comparable.price:
            yield Fault(
                pointer=f"/comparables/{index}/price",
                detail="Must be greater than 0",
                expected="the price at which it was sold",
                found="0",
            )


def invalid_adjustments(request: SalesComparisonRequest) -> Iterator[Fault]:
    """An adjustment is an amount or a rate, not both."""
    for pointer, rule in _adjustments(request):
        if (rule.amount is None) == (rule.rate is None):
            yield Fault(
                pointer=pointer,
                detail="An adjustment needs an amount or a rate",
                expected="either amount or rate",
                found="neither" if rule.amount is None else "both",
            )


def zero_weights(request: SalesComparisonRequest) -> Iterator[Fault]:
    """At least one comparable, and at least one approach to value, has a weight greater than 0."""
    approaches = request.weights
    for pointer, weights in (
        ("/comparables", [comparable.weight for comparable in request.comparables]),
        ("/weights", [approaches.cost, approaches.sales_comparison]),
    ):
        if all(weight is not None and not weight.weight for weight in weights):
            yield Fault(
                pointer=pointer, detail="Every weight is 0", expected="at least one weight above 0", found="none"
            )


def unknown_adjustment_price_index(request: SalesComparisonRequest) -> Iterator[Fault]:
    """The price index that adjusts for the date of sale is one of the build's own or a published one."""
    return unknown_price_index(request.adjustments.price_index, request.build.price_indexes, "/adjustments/price_index")


def _adjustments(request: SalesComparisonRequest) -> Iterator[tuple[str, AdjustmentRule]]:
    """Yield every adjustment of the request with its pointer."""
    terms = request.adjustments
    for name in ("per_year", "per_size_unit", "per_condition_step"):
        rule = getattr(terms, name)
        if rule is not None:
            yield f"/adjustments/{name}", rule
    for index, value in enumerate(terms.equipment):
        yield f"/adjustments/equipment/{index}", value
    for index, comparable in enumerate(request.comparables):
        for place, adjustment in enumerate(comparable.adjustments):
            yield f"/comparables/{index}/adjustments/{place}", adjustment
