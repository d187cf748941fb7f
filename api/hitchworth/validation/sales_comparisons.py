"""A second opinion that can be reckoned: prices, rules and weights that say something."""

from collections.abc import Iterator

from hitchworth.model.fault import Fault
from hitchworth.model.request import SalesComparisonRequest
from hitchworth.model.sales_comparison import AdjustmentRule
from hitchworth.reference.price_indexes import price_index_named


def comparables_without_price(request: SalesComparisonRequest) -> Iterator[Fault]:
    """What was given away tells no value."""
    for index, comparable in enumerate(request.comparables):
        if not comparable.price:
            yield Fault(
                pointer=f"/comparables/{index}/price",
                detail="A comparable was sold for a price",
                expected="more than 0",
                found="0",
            )


def rules_without_worth(request: SalesComparisonRequest) -> Iterator[Fault]:
    """An adjustment is either an amount or a rate."""
    for pointer, rule in _rules(request):
        if (rule.amount is None) == (rule.rate is None):
            yield Fault(
                pointer=pointer,
                detail="An adjustment says what the difference is worth",
                expected="either amount or rate",
                found="neither" if rule.amount is None else "both",
            )


def weights_all_zero(request: SalesComparisonRequest) -> Iterator[Fault]:
    """Something has to count."""
    terms = request.weights
    for pointer, weights in (
        ("/comparables", [comparable.weight for comparable in request.comparables]),
        ("/weights", [terms.cost, terms.sales_comparison]),
    ):
        if all(weight is not None and not weight.weight for weight in weights):
            yield Fault(pointer=pointer, detail="Every weight is 0", expected="one weight above 0", found="none")


def unknown_price_index(request: SalesComparisonRequest) -> Iterator[Fault]:
    """The index for the date of sale is one of the build's own or one of the published list."""
    name = request.adjustments.price_index
    if name is not None and name not in request.build.price_indexes and price_index_named(name) is None:
        yield Fault(
            pointer="/adjustments/price_index",
            detail="No price index of this name",
            expected="a name from the build's price_indexes or from GET /v1/price-indexes",
            found=name,
        )


def _rules(request: SalesComparisonRequest) -> Iterator[tuple[str, AdjustmentRule]]:
    terms = request.adjustments
    for name in ("per_year", "per_size_unit", "per_condition_step"):
        rule = getattr(terms, name)
        if rule is not None:
            yield f"/adjustments/{name}", rule
    for index, value in enumerate(terms.equipment):
        yield f"/adjustments/equipment/{index}", value
    for index, comparable in enumerate(request.comparables):
        for place, own in enumerate(comparable.adjustments):
            yield f"/comparables/{index}/adjustments/{place}", own
