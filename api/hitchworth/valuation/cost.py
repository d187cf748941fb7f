"""Cost: what was paid for each entry of the build, and what the same thing costs on the valuation date."""

from datetime import date
from decimal import Decimal
from typing import TypeAlias

from msgspec import Struct
from msgspec.structs import replace

from hitchworth.model.build import Build
from hitchworth.model.entry import Component, Labor, PriceContent
from hitchworth.model.timeline import is_installed_on, market_rate_known_on, quote_known_on
from hitchworth.money import Money, round_ratio, split
from hitchworth.reference.price_contents import bought_base_categories, price_contents
from hitchworth.valuation.labor_rates import note_rates
from hitchworth.valuation.notes import NoteCollector
from hitchworth.valuation.trending import PriceIndexes, Trend

Entry: TypeAlias = Component | Labor
SAME_CURRENCY = Decimal(1)
QUOTE_VALID_MONTHS = 12
"""An older quote is noted. Common practice."""
RATE_PLACES = 6
"""Decimal places of a rate of tax in a note."""


class EntryCost(Struct, frozen=True, gc=False):
    """The costs of an entry in whole minor units of the build's currency, each rounded once."""

    entry: Entry
    historical: int
    direct: int
    """Replacement cost before indirect costs."""
    includes: PriceContent
    """What the direct cost includes already of the indirect costs."""
    untaxed: bool = False
    """Material whose direct cost does not include sales tax yet."""
    tax: int = 0
    """The sales tax that the direct cost includes, as far as it is stated."""
    exchange: Decimal = SAME_CURRENCY
    quote: Decimal | None = None
    """The quote for one unit, if the direct cost comes from it."""
    trend: Trend | None = None
    """The trend by a price index, if the direct cost comes from it."""
    quoted_exchange: Decimal = SAME_CURRENCY
    """The exchange rate of the quote."""
    quote_taxed_as_paid: bool = False
    """The direct cost includes tax on the quote at the rate that was paid: tax x quote / unit cost."""
    market_rate: Decimal | None = None
    """The market rate of labor, if the direct cost comes from it."""
    freight: int = 0
    """The entry's part of a lump sum of freight, included in both costs."""

    @property
    def before_tax(self) -> int:
        """Direct cost without the sales tax in it."""
        return self.direct - self.tax

    @property
    def carries_tax(self) -> bool:
        """Whether the direct cost includes sales tax, stated or in a price that includes everything."""
        return bool(self.tax) or self.includes == "all"


def entry_costs(build: Build, as_of: date, money: Money, notes: NoteCollector) -> list[EntryCost]:
    """Return the costs of the entries that are in the trailer on the date, in the order of the build, components first.

    Labor counts from the day it was done, even if the component that it served has been removed since. A note counts
    the entries that are left out.
    """
    indexes = PriceIndexes(build.price_indexes, as_of, notes)
    pricing = Pricing(build, as_of, money, indexes, notes)
    costs = [pricing.price_component(each) for each in build.components if is_installed_on(each, as_of)]
    if build.indirect_costs.freight_lump_sum:
        costs = add_freight(costs, money.to_minor_units(build.indirect_costs.freight_lump_sum), notes)
    work = [labor for labor in build.labor if labor.performed_on <= as_of]
    note_rates(work, build.currency, as_of, notes)
    costs += [pricing.price_labor(labor) for labor in work]
    left_out = len(build.components) + len(build.labor) - len(costs)
    if left_out:
        notes.add("entries_left_out", count=str(left_out))
    return costs


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
    """Prices components and labor of a build on one valuation date, in the build's currency."""

    __slots__ = ("_as_of", "_bought_base", "_currency", "_indexes", "_money", "_notes", "_taxes_quotes")

    def __init__(self, build: Build, as_of: date, money: Money, indexes: PriceIndexes, notes: NoteCollector) -> None:
        self._currency = build.currency
        self._bought_base = bought_base_categories(build.base)
        self._taxes_quotes = bool(build.indirect_costs.sales_tax_rate)
        self._as_of = as_of
        self._money = money
        self._indexes = indexes
        self._notes = notes

    def price_component(self, component: Component) -> EntryCost:
        """Return the costs of a component.

        Historic cost = quantity x unit cost + tax + freight. Direct cost = quantity x quote + freight if there is a
        quote, else historical cost; either is multiplied by index now / index then if the line names an index. A quote
        that the build does not tax brings the tax that the line paid, in proportion to its price.
        """
        quantity, freight = component.quantity, component.freight
        paid = quantity * component.unit_cost + freight
        if component.tax is not None:
            paid += component.tax
        exchange = SAME_CURRENCY if component.currency is None else self._exchange(component)
        if exchange is not SAME_CURRENCY:
            paid *= exchange
        historical = self._money.to_minor_units(paid)
        includes = self._content_of_price(component)
        quote = None if component.replacement_unit_cost is None else self._quote(component)
        if quote is not None:
            return self._price_by_quote(component, quote, historical, exchange, includes)
        index = component.price_index
        trend = None if index is None else self._indexes.trend(index, component.acquired_on)
        return EntryCost(
            component,
            historical,
            historical if trend is None else self._trended(paid, trend),
            includes,
            untaxed=component.tax is None and includes != "all",
            tax=self._trended(component.tax * exchange, trend) if component.tax else 0,
            exchange=exchange,
            trend=trend,
        )

    def _content_of_price(self, component: Component) -> PriceContent:
        """What the price includes: as stated, or as customary for a bought base or for material."""
        if component.price_includes is not None:
            return component.price_includes
        is_base = component.category in self._bought_base
        return (price_contents().bought_base if is_base else price_contents().material).includes

    def _price_by_quote(
        self, component: Component, quote: Decimal, historical: int, exchange: Decimal, includes: PriceContent
    ) -> EntryCost:
        rate, trend = self._quoted_exchange(component, exchange), self._trend_of_quote(component)
        tax = None if includes == "all" else self._tax_of_quote(component, quote)
        quoted = (component.quantity * quote + component.freight + (tax or 0)) * rate
        return EntryCost(
            component,
            historical,
            self._trended(quoted, trend),
            includes,
            untaxed=tax is None and includes != "all",
            tax=self._trended(tax * rate, trend) if tax else 0,
            exchange=exchange,
            quote=quote,
            trend=trend,
            quoted_exchange=rate,
            quote_taxed_as_paid=tax is not None,
        )

    def _tax_of_quote(self, component: Component, quote: Decimal) -> Decimal | None:
        """The tax at the rate that was paid, where the build has no rate of its own. A gift has no rate."""
        if self._taxes_quotes or not component.tax:
            return None
        if not component.unit_cost:
            self._notes.add("quote_without_tax", component.id)
            return None
        price = component.quantity * component.unit_cost
        rate = round_ratio(*(component.tax / price).as_integer_ratio(), RATE_PLACES)
        self._notes.add("quote_taxed_as_paid", component.id, rate=f"{rate:f}")
        return component.tax * quote / component.unit_cost

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
        direct = self._trended(market_cost, trend)
        includes = _content_of_rate(labor, market_rate)
        return EntryCost(labor, historical, direct, includes, trend=trend, market_rate=market_rate)

    def _trended(self, amount: Decimal, trend: Trend | None) -> int:
        return self._money.to_minor_units(amount if trend is None else amount * trend.now / trend.then)

    def _market_rate(self, labor: Labor) -> Decimal | None:
        market_rate = market_rate_known_on(labor, self._as_of)
        if market_rate is None and labor.market_rate is not None and labor.market_rate_on is not None:
            self._notes.add("market_rate_not_yet_known", labor.id, market_rate_on=labor.market_rate_on.isoformat())
        return market_rate

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
        quote = quote_known_on(component, self._as_of)
        if quote is None and component.quoted_on is not None:
            self._notes.add("quote_not_yet_known", component.id, quoted_on=component.quoted_on.isoformat())
        return quote

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


def _content_of_rate(labor: Labor, market_rate: Decimal | None) -> PriceContent:
    """What the rate includes: as stated of it, or as customary for a market rate, hired work or own work."""
    if labor.rate_includes is not None and market_rate == labor.market_rate:
        return labor.rate_includes
    customary = price_contents()
    if market_rate is not None:
        return customary.market_rate.includes
    return (customary.hired if labor.hired else customary.own_work).includes


def _month_number(day: date) -> int:
    return 12 * day.year + day.month
