"""Short ways to write a build to quote, and to quote it."""

from datetime import date
from decimal import Decimal
from typing import Any

from hitchworth.model.build import Build
from hitchworth.model.entry import Component, Labor
from hitchworth.model.options import Options
from hitchworth.model.pricing import Markup, QuotePricing, QuoteTax
from hitchworth.model.quote import Quote
from hitchworth.quoting.quote import quote

DAY = date(2026, 6, 1)
NO_TAX = QuoteTax(rate=Decimal(0))


def D(number: str | int) -> Decimal:  # noqa: N802
    return Decimal(number)


def part(name: str, cost: str | int, quantity: str | int = 1, category: str = "body", **more: Any) -> Component:
    """A component at its price; material, so overhead and profit are added to it."""
    fields: dict[str, Any] = {"acquired_on": DAY, "price_includes": "nothing"} | more
    return Component(id=name, description=name, category=category, quantity=D(quantity), unit_cost=D(cost), **fields)


def work(name: str, hours: str | int, rate: str | int = 0, **more: Any) -> Labor:
    """Hours; what is paid for one is a wage, so overhead and profit are added to it."""
    fields: dict[str, Any] = {"performed_on": DAY, "rate_includes": "nothing"} | more
    return Labor(id=name, task=name, hours=D(hours), rate=D(rate), **fields)


def camper(*entries: Component | Labor, **more: Any) -> Build:
    return Build(
        name="Camper",
        currency=more.pop("currency", "USD"),
        components=tuple(entry for entry in entries if isinstance(entry, Component)),
        labor=tuple(entry for entry in entries if isinstance(entry, Labor)),
        **more,
    )


def quoted(*entries: Component | Labor, build: Build | None = None, workings: bool = False, **pricing: Any) -> Quote:
    """The quote of these entries; without tax unless it is given."""
    terms = QuotePricing(**{"tax": NO_TAX} | pricing)
    return quote(build or camper(*entries), terms, DAY, Options(workings=workings))


def rates(overhead: str = "0", profit: str = "0", **more: Any) -> Markup:
    return Markup(overhead_rate=D(overhead), profit_rate=D(profit), **more)
