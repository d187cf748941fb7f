"""Currencies that exist, lines in another currency with their rate, costs that can be, and three points in order."""

from collections.abc import Iterator
from decimal import Decimal
from itertools import pairwise

from hitchworth.model.build import Build, Component, Labor
from hitchworth.model.fault import Fault
from hitchworth.reference.currencies import exponent_of
from hitchworth.validation.bounds import bound_faults

MOST_A_LINE = Decimal(10**12)
"""In the build's currency, of the smallest unit too: more than a trailer can cost."""

ZERO, ONE = Decimal(0), Decimal(1)
_A_CODE = "a code of ISO 4217, such as USD, EUR, GBP"


def unknown_currencies(build: Build) -> Iterator[Fault]:
    """Every code is one of the list."""
    codes = [("/currency", build.currency)]
    codes += [
        (f"/components/{index}/currency", code)
        for index, part in enumerate(build.components)
        if (code := part.currency)
    ]
    for pointer, code in codes:
        if exponent_of(code) is None:
            yield Fault(pointer=pointer, detail="Unknown currency", expected=_A_CODE, found=code)


def rates_missing(build: Build) -> Iterator[Fault]:
    """A line in another currency says what one unit of it is worth."""
    for index, part in enumerate(build.components):
        if (part.currency or build.currency) != build.currency and not part.exchange_rate:
            yield Fault(
                pointer=f"/components/{index}/exchange_rate",
                detail=f"The line is in {part.currency}, the build in {build.currency}: a rate is needed",
                expected=f"units of {build.currency} for one {part.currency}, more than 0",
                found="nothing" if part.exchange_rate is None else str(part.exchange_rate),
            )


def lines_too_dear(build: Build) -> Iterator[Fault]:
    """No line costs more than a trailer can."""
    groups: tuple[tuple[str, tuple[Component | Labor, ...]], ...] = (
        ("components", build.components),
        ("labor", build.labor),
    )
    for name, lines in groups:
        for index, line in enumerate(lines):
            for price, cost in _costs(line):
                # A number that is out of bounds has its own fault.
                if cost > MOST_A_LINE and not any(bound_faults(line)):
                    yield Fault(
                        pointer=f"/{name}/{index}/{price}",
                        detail="The line costs more than a trailer can",
                        expected=f"a cost of at most {MOST_A_LINE:,} in the build's currency",
                        found=f"{cost:,.0f}",
                    )


def _costs(line: Component | Labor) -> Iterator[tuple[str, Decimal]]:
    """What the line cost and costs, by the field that holds the price."""
    if isinstance(line, Labor):
        yield "rate", line.hours * line.rate
        if line.market_rate is not None:
            yield "market_rate", line.hours * line.market_rate
        return
    exchange = line.exchange_rate or ONE
    beside = line.freight + (line.tax or ZERO)
    yield "unit_cost", (line.quantity * line.unit_cost + beside) * exchange
    if line.replacement_unit_cost is not None:
        quoted = line.quantity * line.replacement_unit_cost + beside
        yield "replacement_unit_cost", quoted * (line.quoted_exchange_rate or exchange)


def quotes_at_no_rate(build: Build) -> Iterator[Fault]:
    """A quote's own exchange rate is more than 0."""
    for index, part in enumerate(build.components):
        if part.quoted_exchange_rate is not None and not part.quoted_exchange_rate:
            yield Fault(
                pointer=f"/components/{index}/quoted_exchange_rate",
                detail="A rate is never 0",
                expected=f"units of {build.currency} for one {part.currency or build.currency}, more than 0",
                found="0",
            )


def rates_of_own_currency(build: Build) -> Iterator[Fault]:
    """A line in the build's own currency is exchanged at 1, if at all."""
    for index, part in enumerate(build.components):
        if (part.currency or build.currency) != build.currency:
            continue
        # A quote at no rate, and what is no number, have their own faults.
        rates = ("exchange_rate", part.exchange_rate), ("quoted_exchange_rate", part.quoted_exchange_rate or None)
        for name, rate in rates:
            if rate is not None and rate.is_finite() and rate != ONE:
                yield Fault(
                    pointer=f"/components/{index}/{name}",
                    detail=f"The line is in {build.currency}, as the build is",
                    expected="no rate, or 1; or the line's currency",
                    found=str(rate),
                )


def points_out_of_order(build: Build) -> Iterator[Fault]:
    """The least plausible cost is no more than the likely one, and that no more than the greatest."""
    for index, part in enumerate(build.components):
        for name, least, greatest in _crossed(part):
            yield Fault(
                pointer=f"/components/{index}/{name}",
                detail="Low, likely and high are out of order",
                expected=f"at most {greatest}",
                found=str(least),
            )


def _crossed(part: Component) -> Iterator[tuple[str, Decimal, Decimal]]:
    given = [
        (name, point)
        for name, point in (("low", part.low), ("likely", part.likely), ("high", part.high))
        if point is not None
    ]
    for (name, least), (_, greatest) in pairwise(given):
        if least > greatest:
            yield name, least, greatest


def margins_of_everything(build: Build) -> Iterator[Fault]:
    """A profit that is a share of the price leaves something for the cost."""
    terms = build.indirect_costs
    if terms.profit_basis == "margin" and terms.profit_rate >= 1:
        yield Fault(
            pointer="/indirect_costs/profit_rate",
            detail="A margin is a part of the price",
            expected="less than 1; or profit_basis markup",
            found=str(terms.profit_rate),
        )
