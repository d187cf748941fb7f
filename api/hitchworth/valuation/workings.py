"""Workings: the formulas of a line with their numbers, so that a person or a spreadsheet can redo it.

Numbers and signs only, "x" for times, so that they read the same in every language.
"""

from decimal import Decimal
from fractions import Fraction

from hitchworth.model.build import Component
from hitchworth.model.options import DayCount
from hitchworth.valuation.age import Age, counted_age
from hitchworth.valuation.cost import SAME_CURRENCY, EntryCost
from hitchworth.valuation.money import Money, printed
from hitchworth.valuation.valued import Valued
from hitchworth.valuation.wear import AS_NEW, Rule, Worn

PLACES = 12
"""Decimals of a share or an age: enough to redo an amount to its last digit."""

DAYS_A_YEAR = Fraction(1461, 4)


def workings(valued: Valued, money: Money, day_count: DayCount) -> tuple[str, ...]:
    """Seven formulas: historic, direct and replacement cost, age, percent good, depreciation, actual cash value."""
    cost, worn = valued.cost, valued.worn
    replacement_cost, gone = money.amount(valued.replacement_cost), money.amount(valued.depreciation)
    good = _number(Fraction(worn.left, worn.whole))
    parts = " + ".join(str(money.amount(part)) for part in (cost.direct, *valued.on_costs))
    return (
        f"{_historic(cost)} = {money.amount(cost.historic)}",
        f"{_direct(cost)} = {money.amount(cost.direct)}",
        f"{parts} = {replacement_cost}",
        f"{_age(worn.age, day_count)} = {_number(worn.age.years)}",
        f"{_percent_good(worn)} = {good}",
        f"{replacement_cost} x (1 - {good}) = {gone}",
        f"{replacement_cost} - {gone} = {money.amount(valued.replacement_cost - valued.depreciation)}",
    )


def _historic(cost: EntryCost) -> str:
    entry = cost.entry
    if not isinstance(entry, Component):
        return f"{entry.hours:f} x {entry.rate:f}"
    return _exchanged(_sum(f"{entry.quantity:f} x {entry.unit_cost:f}", entry.tax, entry.freight), cost)


def _direct(cost: EntryCost) -> str:
    entry = cost.entry
    if not isinstance(entry, Component):
        rate = entry.rate if entry.market_rate is None else entry.market_rate
        return f"{entry.hours:f} x {rate:f}"
    if cost.quote is not None:
        return _exchanged(_sum(f"{entry.quantity:f} x {cost.quote:f}", None, entry.freight), cost)
    if cost.trend is not None:
        return f"({_historic(cost)}) x {cost.trend.now:f} / {cost.trend.then:f}"
    return _historic(cost)


def _sum(product: str, *more: Decimal | None) -> str:
    return " + ".join([product, *(f"{part:f}" for part in more if part)])


def _exchanged(formula: str, cost: EntryCost) -> str:
    return formula if cost.exchange is SAME_CURRENCY else f"({formula}) x {cost.exchange:f}"


def _age(age: Age, day_count: DayCount) -> str:
    if age.stated or day_count == "complete_years":
        return _number(age.years)
    if day_count == "complete_months":
        return f"{_number(age.years * 12)} / 12"
    return f"{_number(age.years * DAYS_A_YEAR)} / 365.25"


def _percent_good(worn: Worn) -> str:
    formula = _by_schedule(worn.rule, worn.age)
    return formula if worn.condition == AS_NEW else f"({formula}) x {worn.condition:f}"


def _by_schedule(rule: Rule, exact: Age) -> str:
    """In proportion between the two points of the schedule that the age lies between."""
    age = counted_age(exact, rule.schedule.convention).years
    span, share = rule.curve.span(age), rule.curve.at(age)
    if span.share == span.end_share or share == Fraction(rule.schedule.residual):
        return _number(share)
    start, end = _number(span.share), _number(span.end_share)
    if not span.age:
        return f"{start} - ({start} - {end}) x {_number(age)} / {_number(span.end_age)}"
    since, until = _number(span.age), _number(span.end_age)
    return f"{start} - ({start} - {end}) x ({_number(age)} - {since}) / ({until} - {since})"


def _number(exact: Fraction) -> str:
    text = f"{printed(*exact.as_integer_ratio(), PLACES):f}"
    return text.rstrip("0").rstrip(".")
