"""Cost: what an entry of the build was paid, and what the same thing costs on the valuation date."""

from datetime import date
from decimal import Decimal
from typing import TypeAlias

from msgspec import Struct
from msgspec.structs import replace

from hitchworth.model.build import Build, Component, Labor
from hitchworth.model.timeline import is_installed_on
from hitchworth.valuation.money import Money, split
from hitchworth.valuation.remarks import Remarks
from hitchworth.valuation.trending import PriceIndexes, Trend

Entry: TypeAlias = Component | Labor
SAME_CURRENCY = Decimal(1)
FRESH_MONTHS = 12
"""A quote is taken as it stands for so long. Common practice."""


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
    quoted_exchange: Decimal = SAME_CURRENCY
    """The exchange rate of the quote."""
    market_rate: Decimal | None = None
    """The market rate of labor, where that made the direct cost."""
    freight: int = 0
    """The entry's part of a lump sum of freight, which both costs hold."""


def entry_costs(build: Build, as_of: date, money: Money, remarks: Remarks) -> list[EntryCost]:
    """The entries that stand, components first, in the order of the build. A remark counts those left out.

    Labor stands from the day it was done, whatever became of the component that it served.
    """
    indexes = PriceIndexes(build.price_indexes, as_of, remarks)
    pricing = Pricing(build.currency, as_of, money, indexes, remarks)
    costs = [pricing.component(component) for component in build.components if is_installed_on(component, as_of)]
    if build.indirect_costs.freight_lump_sum:
        costs = with_freight(costs, money.minor(build.indirect_costs.freight_lump_sum), remarks)
    work = [labor for labor in build.labor if labor.performed_on <= as_of]
    _note_own_hours(work, remarks)
    costs += [pricing.labor(labor) for labor in work]
    left_out = len(build.components) + len(build.labor) - len(costs)
    if left_out:
        remarks.add("entries_left_out", count=str(left_out))
    return costs


def _note_own_hours(work: list[Labor], remarks: Remarks) -> None:
    """Own hours that name no market rate add only what was paid for them, often nothing."""
    own = [labor.hours for labor in work if not labor.hired and labor.market_rate is None]
    if own:
        remarks.add("own_hours_without_market_rate", count=str(len(own)), hours=f"{sum(own):f}")


def with_freight(costs: list[EntryCost], freight: int, remarks: Remarks) -> list[EntryCost]:
    """A lump sum of freight, split over the components by what was paid for each; evenly where nothing was paid."""
    if not costs:
        remarks.add("freight_without_components")
        return costs
    paid = [cost.historic for cost in costs]
    parts = split(freight, paid if any(paid) else [1] * len(paid))
    return [
        replace(cost, historic=cost.historic + part, direct=cost.direct + part, freight=part)
        for cost, part in zip(costs, parts, strict=True)
    ]


class Pricing:
    """Prices components and labor on one valuation date in one currency."""

    __slots__ = ("_as_of", "_currency", "_indexes", "_money", "_remarks")

    def __init__(self, currency: str, as_of: date, money: Money, indexes: PriceIndexes, remarks: Remarks) -> None:
        self._currency = currency
        self._as_of = as_of
        self._money = money
        self._indexes = indexes
        self._remarks = remarks

    def component(self, component: Component) -> EntryCost:
        """Historic cost = quantity x unit cost + tax + freight.

        Direct cost is the first that is known of: quantity x quote + freight; historic cost; each x index now / index
        then, where the line names an index.
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
            rate, trend = self._quoted_exchange(component, exchange), self._trend_of_quote(component)
            asked = (quantity * quote + freight) * rate
            direct = self._money.minor(asked if trend is None else asked * trend.now / trend.then)
            return EntryCost(component, historic, direct, True, exchange, quote, trend, rate)
        index = component.price_index
        trend = None if index is None else self._indexes.trend(index, component.acquired_on)
        direct = historic if trend is None else self._money.minor(paid * trend.now / trend.then)
        return EntryCost(component, historic, direct, component.tax is None, exchange, None, trend)

    def labor(self, labor: Labor) -> EntryCost:
        """Hours at the rate that was paid, and at the rate that a shop asks today.

        A price index brings the rate to the date: a market rate from its day, where that is given; without a market
        rate the rate that was paid.
        """
        historic = self._money.minor(labor.hours * labor.rate)
        market_rate = self._market_rate(labor)
        since = labor.performed_on if market_rate is None else labor.market_rate_on
        index = labor.price_index
        trend = None if index is None or since is None else self._indexes.trend(index, since)
        asked = labor.hours * (labor.rate if market_rate is None else market_rate)
        direct = self._money.minor(asked if trend is None else asked * trend.now / trend.then)
        return EntryCost(labor, historic, direct, trend=trend, market_rate=market_rate)

    def _market_rate(self, labor: Labor) -> Decimal | None:
        """The market rate, unless it is of a day after the valuation date."""
        if labor.market_rate is None or labor.market_rate_on is None or labor.market_rate_on <= self._as_of:
            return labor.market_rate
        self._remarks.add("market_rate_not_yet_known", labor.id, market_rate_on=labor.market_rate_on.isoformat())
        return None

    def _exchange(self, component: Component) -> Decimal:
        if component.currency == self._currency:
            return SAME_CURRENCY
        if component.exchange_rate is None:
            self._remarks.add("exchange_rate_missing", component.id, currency=component.currency or "")
            return SAME_CURRENCY
        if component.exchange_rate_source is not None:
            self._remarks.add(
                "exchange_rate_from",
                component.currency or "",
                rate=f"{component.exchange_rate:f}",
                source=component.exchange_rate_source,
            )
        return component.exchange_rate

    def _quoted_exchange(self, component: Component, exchange: Decimal) -> Decimal:
        """The rate of the quote's day, where the line is in another currency and has one."""
        quoted = component.quoted_exchange_rate
        return exchange if quoted is None or component.currency in {None, self._currency} else quoted

    def _quote(self, component: Component) -> Decimal | None:
        if component.quoted_on is not None and component.quoted_on > self._as_of:
            self._remarks.add("quote_not_yet_known", component.id, quoted_on=component.quoted_on.isoformat())
            return None
        return component.replacement_unit_cost

    def _trend_of_quote(self, component: Component) -> Trend | None:
        """From the month of the quote, where that is past and the line names an index; a remark on a stale quote."""
        day, index = component.quoted_on, component.price_index
        if day is None:
            self._remarks.add("quote_undated", component.id)
            return None
        if _months(day) == _months(self._as_of):
            return None
        trend = None if index is None else self._indexes.trend(index, day)
        if trend is None and (_months(self._as_of), self._as_of.day) > (_months(day) + FRESH_MONTHS, day.day):
            self._remarks.add("quote_old", component.id, quoted_on=day.isoformat())
        return trend


def _months(day: date) -> int:
    return 12 * day.year + day.month
