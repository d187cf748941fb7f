"""Currencies that exist, lines in another currency with their rate, three points in order, margins that can be."""

from collections.abc import Iterator
from decimal import Decimal
from itertools import pairwise

from hitchworth.model.build import Build, Component
from hitchworth.model.fault import Fault
from hitchworth.reference.currencies import exponent_of

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
    terms = build.on_costs
    if terms.profit_basis == "margin" and terms.profit_rate >= 1:
        yield Fault(
            pointer="/on_costs/profit_rate",
            detail="A margin is a part of the price",
            expected="less than 1; or profit_basis markup",
            found=str(terms.profit_rate),
        )
