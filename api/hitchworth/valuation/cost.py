"""Cost: what was paid for each entry of the build, and what the same thing costs on the valuation date."""

from datetime import date
from decimal import Decimal
from typing import TypeAlias

from msgspec import Struct
from msgspec.structs import replace

from hitchworth.model.build import Build, Component, Labor
from hitchworth.model.timeline import is_installed_on
from hitchworth.money import Money, split
from hitchworth.valuation.notes import NoteCollector
from hitchworth.valuation.trending import PriceIndexes, Trend

Entry: TypeAlias = Component | Labor
SAME_CURRENCY = Decimal(1)
QUOTE_VALID_MONTHS = 12
"""An older quote is noted. Common practice."""


class EntryCost(Struct, frozen=True, gc=False):
    """The costs of an entry in whole minor units of the build's currency, each rounded once."""

    entry: Entry
    historical: int
    direct: int
    """Replacement cost before indirect costs."""
    untaxed: bool = False
    """Material whose direct cost does not include sales tax yet."""
    exchange: Decimal = SAME_CURRENCY
    quote: Decimal | None = None
    """The quote for one unit, if the direct cost comes from it."""
    trend: Trend | None = None
    """The trend by a price index, if the direct cost comes from it."""
    quoted_exchange: Decimal = SAME_CURRENCY
    """The exchange rate of the quote."""
    market_rate: Decimal | None = None
    """The market rate of labor, if the direct cost comes from it."""
    freight: int = 0
    """The entry's part of a lump sum of freight, included in both costs."""


def entry_costs(build: Build, as_of: date, money: Money, notes: NoteCollector) -> list[EntryCost]:
    """Return the costs of the entries that are in the trailer on the date, in the order of the build, components first.

    Labor counts from the day it was done, even if the component that it served has been removed since. A note counts
    the entries that are left out.
    """
    indexes = PriceIndexes(build.price_indexes, as_of, notes)
    pricing = Pricing(build.currency, as_of, money, indexes, notes)
    costs = [pricing.price_component(each) for each in build.components if is_installed_on(each, as_of)]
    if build.indirect_costs.freight_lump_sum:
        costs = add_freight(costs, money.to_minor_units(build.indirect_costs.freight_lump_sum), notes)
    work = [labor for labor in build.labor if labor.performed_on <= as_of]
    _note_own_hours(work, notes)
    costs += [pricing.price_labor(labor) for labor in work]
    left_out = len(build.components) + len(build.labor) - len(costs)
    if left_out:
        notes.add("entries_left_out", count=str(left_out))
    return costs


def _note_own_hours(work: list[Labor], notes: NoteCollector) -> None:
    """Own hours without a market rate add only what was paid for them, often nothing."""
    own = [labor.hours for labor in work if not labor.hired and labor.market_rate is None]
    if own:
        notes.add("own_hours_without_market_rate", count=str(len(own)), hours=f"{sum(own):f}")


def add_freight(costs: list[EntryCost], freight: int, notes: NoteCollector) -> list[EntryCost]:
    """Split a lump sum of freight over the components by what was paid for each, or evenly if nothing was paid."""
    if not costs:
        notes.add("freight_without_components")
        return costs
    paid = [cost.historical for cost in costs]
    parts = split(freight, paid if any(paid) else [1] * len(paid), [cost.entry.id for cost in costs])
    return [
        replace(cost, historical=cost.historical + part, direct=cost.direct + part, freight=part)
        for cost, part in zip(costs, parts, strict=True)
    ]


class Pricing:
    """Prices components and labor on one valuation date in one currency."""

    __slots__ = ("_as_of", "_currency", "_indexes", "_money", "_notes")

    def __init__(self, currency: str, as_of: date, money: Money, indexes: PriceIndexes, notes: NoteCollector) -> None:
        self._currency = currency
        self._as_of = as_of
        self._money = money
        self._indexes = indexes
        self._notes = notes

    def price_component(self, component: Component) -> EntryCost:
        """Return the costs of a component.

        Historic cost = quantity x unit cost + tax + freight. Direct cost = quantity x quote + freight if there is a
        quote, else historical cost; either is multiplied by index now / index then if the line names an index.
        """
        quantity, freight = component.quantity, component.freight
        paid = quantity * component.unit_cost + freight
        if component.tax is not None:
            paid += component.tax
        exchange = SAME_CURRENCY if component.currency is None else self._exchange(component)
        if exchange is not SAME_CURRENCY:
            paid *= exchange
        historical = self._money.to_minor_units(paid)
        quote = None if component.replacement_unit_cost is None else self._quote(component)
        if quote is not None:
            rate, trend = self._quoted_exchange(component, exchange), self._trend_of_quote(component)
            quoted = (quantity * quote + freight) * rate
            direct = self._money.to_minor_units(quoted if trend is None else quoted * trend.now / trend.then)
            return EntryCost(component, historical, direct, True, exchange, quote, trend, rate)
        index = component.price_index
        trend = None if index is None else self._indexes.trend(index, component.acquired_on)
        direct = historical if trend is None else self._money.to_minor_units(paid * trend.now / trend.then)
        return EntryCost(component, historical, direct, component.tax is None, exchange, None, trend)

    def price_labor(self, labor: Labor) -> EntryCost:
        """Return the costs of labor: hours at the rate that was paid, and at the rate that a shop asks today.

        A price index trends a market rate from its own day, if that is given; without a market rate, it trends the
        rate that was paid from the day of the work.
        """
        historical = self._money.to_minor_units(labor.hours * labor.rate)
        market_rate = self._market_rate(labor)
        since = labor.performed_on if market_rate is None else labor.market_rate_on
        index = labor.price_index
        trend = None if index is None or since is None else self._indexes.trend(index, since)
        market_cost = labor.hours * (labor.rate if market_rate is None else market_rate)
        direct = self._money.to_minor_units(market_cost if trend is None else market_cost * trend.now / trend.then)
        return EntryCost(labor, historical, direct, trend=trend, market_rate=market_rate)

    def _market_rate(self, labor: Labor) -> Decimal | None:
        """The market rate, unless its day is after the valuation date."""
        if labor.market_rate is None or labor.market_rate_on is None or labor.market_rate_on <= self._as_of:
            return labor.market_rate
        self._notes.add("market_rate_not_yet_known", labor.id, market_rate_on=labor.market_rate_on.isoformat())
        return None

    def _exchange(self, component: Component) -> Decimal:
        if component.currency == self._currency:
            return SAME_CURRENCY
        if component.exchange_rate is None:
            self._notes.add("exchange_rate_missing", component.id, currency=component.currency or "")
            return SAME_CURRENCY
        if component.exchange_rate_source is not None:
            self._notes.add(
                "exchange_rate_from",
                component.currency or "",
                rate=f"{component.exchange_rate:f}",
                source=component.exchange_rate_source,
            )
        return component.exchange_rate

    def _quoted_exchange(self, component: Component, exchange: Decimal) -> Decimal:
        """The rate on the day of the quote, if the line is in another currency and states one."""
        quoted = component.quoted_exchange_rate
        return exchange if quoted is None or component.currency in {None, self._currency} else quoted

    def _quote(self, component: Component) -> Decimal | None:
        if component.quoted_on is not None and component.quoted_on > self._as_of:
            self._notes.add("quote_not_yet_known", component.id, quoted_on=component.quoted_on.isoformat())
            return None
        return component.replacement_unit_cost

    def _trend_of_quote(self, component: Component) -> Trend | None:
        """The trend from an earlier month to the valuation month, if the line names an index. An old quote is noted."""
        day, index = component.quoted_on, component.price_index
        if day is None:
            self._notes.add("quote_undated", component.id)
            return None
        if _month_number(day) == _month_number(self._as_of):
            return None
        trend = None if index is None else self._indexes.trend(index, day)
        if trend is None and (_month_number(self._as_of), self._as_of.day) > (
            _month_number(day) + QUOTE_VALID_MONTHS,
            day.day,
        ):
            self._notes.add("quote_old", component.id, quoted_on=day.isoformat())
        return trend


def _month_number(day: date) -> int:
    return 12 * day.year + day.month
