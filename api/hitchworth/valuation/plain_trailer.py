"""A plain trailer of the registered class: how it wears where no base part says so, and its plausible prices."""

from collections.abc import Sequence
from datetime import date

from hitchworth.model.build import Base, Build
from hitchworth.model.entry import Component, Labor
from hitchworth.model.estimate import PlainTrailer
from hitchworth.money import Money, round_ratio
from hitchworth.reference.plain_trailer_prices import plausible_prices
from hitchworth.valuation.depreciation_rules import FULLY_GOOD, DepreciationRules
from hitchworth.valuation.valued_build import ValuedLine

PLAIN_TRAILER_SCHEDULE = "chassis"
NOT_DESCRIBED = Base(kind="")


def plain_trailer(build: Build, lines: Sequence[ValuedLine], rules: DepreciationRules, money: Money) -> PlainTrailer:
    """Return what the age and the condition of the trailer leave of a plain one, by the schedule of a chassis.

    The age is that of the base where it is stated, else that of the oldest line.
    """
    base = NOT_DESCRIBED if build.base is None else build.base
    since = base.in_service_on or _first_day(lines)
    prices = () if base.comparable_price is not None else plausible_prices(build.facts, build.currency)
    plausible = tuple(money.from_minor_units(money.to_minor_units(price)) for price in prices)
    if since is None:
        return PlainTrailer(percent_good=FULLY_GOOD, plausible_prices=plausible)
    worn = rules.depreciate_whole_trailer(PLAIN_TRAILER_SCHEDULE, since)
    condition, one = base.condition.as_integer_ratio()
    percent_good = round_ratio(worn.numerator * condition, worn.denominator * one, 6)
    return PlainTrailer(percent_good=percent_good, plausible_prices=plausible)


def _first_day(lines: Sequence[ValuedLine]) -> date | None:
    return min((_day(line.cost.entry) for line in lines), default=None)


def _day(entry: Component | Labor) -> date:
    if isinstance(entry, Labor):
        return entry.performed_on
    return entry.in_service_on or entry.acquired_on
