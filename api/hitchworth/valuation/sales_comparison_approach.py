"""The sales comparison approach: what like trailers sold for, each adjusted to the one that is valued."""

from datetime import date
from decimal import Decimal

from msgspec.structs import replace

from hitchworth.model.request import SalesComparisonRequest
from hitchworth.model.sales_comparison import Comparable, ComparedSale, SalesComparisonApproach, Weight
from hitchworth.reference.adjustment_guides import adjustment_guides
from hitchworth.valuation.adjustment_grid import AdjustmentGrid
from hitchworth.valuation.money import Money, printed
from hitchworth.valuation.reconciliation import reconciled
from hitchworth.valuation.remarks import Remarks

ONE, NONE = Decimal(1), Decimal(0).scaleb(-4)


def sales_comparison_approach(
    request: SalesComparisonRequest, as_of: date, money: Money, remarks: Remarks
) -> SalesComparisonApproach:
    """Adjust each comparable to the subject, and weigh what they indicate.

    A comparable sold after the valuation date, or whose adjustments leave nothing of its price, is shown and does not
    count. No price may be 0.
    """
    comparables = request.comparables
    grid = AdjustmentGrid(request, as_of, money, remarks)
    sales = [_compared(comparable, grid, money, remarks) for comparable in comparables]
    counting = [place for place, sale in enumerate(sales) if _counts(sale, as_of, remarks)]
    weights = [weight_of(comparables[place].weight) for place in counting]
    if not any(weights):
        return SalesComparisonApproach(comparables=tuple(sales), low=None, high=None, indicated_value=None)
    values = [money.minor(sales[place].indicated_value) for place in counting]
    found = reconciled(values, weights, money)
    for place, weight, part in zip(counting, found.weights, found.contributions, strict=True):
        sales[place] = replace(sales[place], weight=weight, contribution=money.amount(part))
    weighed = [value for value, weight in zip(values, weights, strict=True) if weight]
    return SalesComparisonApproach(
        comparables=tuple(sales),
        low=money.amount(min(weighed)),
        high=money.amount(max(weighed)),
        indicated_value=money.amount(found.value),
    )


def weight_of(weight: Weight | None) -> Decimal:
    """The weight that is given; 1 for none."""
    return ONE if weight is None else weight.weight


def _counts(sale: ComparedSale, as_of: date, remarks: Remarks) -> bool:
    if sale.sold_on > as_of:
        remarks.add("sold_after_valuation", sale.description, sold_on=sale.sold_on.isoformat())
    elif sale.indicated_value <= 0:
        remarks.add("nothing_left_of_price", sale.description)
    else:
        return True
    return False


def _compared(comparable: Comparable, grid: AdjustmentGrid, money: Money, remarks: Remarks) -> ComparedSale:
    price = money.amount(money.minor(comparable.price))
    adjustments = tuple(grid.adjustments(replace(comparable, price=price)))
    net = sum((one.amount for one in adjustments), money.amount(0))
    gross = sum((abs(one.amount) for one in adjustments), money.amount(0))
    net_share, gross_share = _share(net, price, money), _share(gross, price, money)
    if abs(net_share) > adjustment_guides().net:
        share, guide = str(abs(net_share)), str(adjustment_guides().net)
        remarks.add("net_adjustment_large", comparable.description, share=share, guide=guide)
    if gross_share > adjustment_guides().gross:
        share, guide = str(gross_share), str(adjustment_guides().gross)
        remarks.add("gross_adjustment_large", comparable.description, share=share, guide=guide)
    return ComparedSale(
        description=comparable.description,
        source=comparable.source,
        sold_on=comparable.sold_on,
        price=price,
        adjustments=adjustments,
        net_adjustment=net,
        gross_adjustment=gross,
        net_share=net_share,
        gross_share=gross_share,
        indicated_value=price + net,
        weight=NONE,
        weight_reason="" if comparable.weight is None else comparable.weight.reason,
        contribution=money.amount(0),
    )


def _share(amount: Decimal, price: Decimal, money: Money) -> Decimal:
    """Over the price, to four places; half up by its size. 0 of a price that is less than half a minor unit."""
    if not price:
        return NONE
    size = printed(money.minor(abs(amount)), money.minor(price), 4)
    return size if amount >= 0 else -size
