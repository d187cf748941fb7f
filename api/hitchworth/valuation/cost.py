"""Cost: what an entry of the build was paid, and what the same thing costs on the valuation date."""

from datetime import date
from decimal import Decimal
from typing import TypeAlias

from msgspec import Struct

from hitchworth.model.build import Build, Component, Labor
from hitchworth.valuation.money import Money
from hitchworth.valuation.remarks import Remarks
from hitchworth.valuation.trending import PriceIndexes, Trend

Entry: TypeAlias = Component | Labor
SAME_CURRENCY = Decimal(1)


class EntryCost(Struct, frozen=True, gc=False):
    """An entry that stands on the valuation date, in whole minor units of the build's currency, each rounded once."""

    entry: Entry
    historic: int
    direct: int
    """Replacement cost before on-costs."""
    untaxed: bool = False
    """Material whose direct cost holds no tax yet."""
    exchange: Decimal = SAME_CURRENCY
    quote: Decimal | None = None
    """The quote for one unit, where that made the direct cost."""
    trend: Trend | None = None
    """The trend by a price index, where that made it."""


def entry_costs(build: Build, as_of: date, money: Money, remarks: Remarks) -> list[EntryCost]:
    """The entries that stand, components first, in the order of the build. A remark counts those left out.

    Labor stands from the day it was done, whatever became of the component that it served.
    """
    indexes = PriceIndexes(build.price_indexes, as_of, remarks)
    pricing = Pricing(build.currency, as_of, money, indexes, remarks)
    costs = [pricing.component(component) for component in build.components if stands(component, as_of)]
    costs += [labor_cost(labor, money) for labor in build.labor if labor.performed_on <= as_of]
    left_out = len(build.components) + len(build.labor) - len(costs)
    if left_out:
        remarks.add("entries_left_out", count=str(left_out))
    return costs


def stands(component: Component, as_of: date) -> bool:
    """Whether a component is part of the trailer: acquired on the date or before, and not yet removed."""
    return component.acquired_on <= as_of and (component.removed_on is None or component.removed_on > as_of)


def labor_cost(labor: Labor, money: Money) -> EntryCost:
    """Hours at the rate that was paid, and at the rate that a shop asks today."""
    historic = money.minor(labor.hours * labor.rate)
    direct = historic if labor.market_rate is None else money.minor(labor.hours * labor.market_rate)
    return EntryCost(labor, historic, direct)


class Pricing:
    """Prices components on one valuation date in one currency."""

    __slots__ = ("_as_of", "_currency", "_indexes", "_money", "_remarks")

    def __init__(self, currency: str, as_of: date, money: Money, indexes: PriceIndexes, remarks: Remarks) -> None:
        self._currency = currency
        self._as_of = as_of
        self._money = money
        self._indexes = indexes
        self._remarks = remarks

    def component(self, component: Component) -> EntryCost:
        """Historic cost = quantity x unit cost + tax + freight.

        Direct cost is the first that is known of: quantity x quote + freight; historic cost x index now / index then;
        historic cost.
        """
        quantity, freight = component.quantity, component.freight
        paid = quantity * component.unit_cost + freight
        if component.tax is not None:
            paid += component.tax
        exchange = SAME_CURRENCY if component.currency is None else self._exchange(component)
        if exchange is not SAME_CURRENCY:
            paid *= exchange
        historic = self._money.minor(paid)
        quote = None if component.replacement_unit_cost is None else self._quote(component)
        if quote is not None:
            direct = self._money.minor((quantity * quote + freight) * exchange)
            return EntryCost(component, historic, direct, True, exchange, quote)
        index = component.price_index
        trend = None if index is None else self._indexes.trend(index, component.acquired_on)
        direct = historic if trend is None else self._money.minor(paid * trend.now / trend.then)
        return EntryCost(component, historic, direct, component.tax is None, exchange, None, trend)

    def _exchange(self, component: Component) -> Decimal:
        if component.currency == self._currency:
            return SAME_CURRENCY
        if component.exchange_rate is None:
            self._remarks.add("exchange_rate_missing", component.id, currency=component.currency or "")
            return SAME_CURRENCY
        return component.exchange_rate

    def _quote(self, component: Component) -> Decimal | None:
        if component.quoted_on is not None and component.quoted_on > self._as_of:
            self._remarks.add("quote_not_yet_known", component.id, quoted_on=component.quoted_on.isoformat())
            return None
        return component.replacement_unit_cost
