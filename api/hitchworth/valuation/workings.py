"""Workings: the formulas of a line with their numbers, so that a person or a spreadsheet can redo it.

Numbers and signs only, "x" for times, so that they read the same in every language; each names the rule it goes
by, and `wording` says that in words of the trade.
"""

from decimal import Decimal
from fractions import Fraction
from typing import TypeAlias

from hitchworth.model.build import Labor, Method
from hitchworth.model.estimate import Figure, Working, WorkingRule
from hitchworth.model.options import DayCount
from hitchworth.valuation.age import Age, counted_age
from hitchworth.valuation.cost import SAME_CURRENCY, EntryCost
from hitchworth.valuation.money import Money, printed
from hitchworth.valuation.valued import Valued
from hitchworth.valuation.wear import AS_NEW, UNDEPRECIATED, Rule, Worn

PLACES = 12
"""Decimals of a share or an age: enough to redo an amount to its last digit."""

DAYS_A_YEAR = Fraction(1461, 4)
AGES: dict[DayCount, WorkingRule] = {
    "days_365_25": "age_in_days",
    "complete_months": "age_in_months",
    "complete_years": "age_in_years",
}
GOOD: dict[Method, WorkingRule] = {
    "none": "good_by_none",
    "straight_line": "good_by_straight_line",
    "declining_balance": "good_by_declining_balance",
    "sum_of_years": "good_by_sum_of_years",
    "table": "good_by_table",
    "present_worth": "good_by_present_worth",
}
Formula: TypeAlias = tuple[WorkingRule, str]
"""The rule, and what stands before the equals sign."""


def workings(valued: Valued, money: Money, day_count: DayCount) -> tuple[Working, ...]:
    """Seven: historic, direct and replacement cost, age, percent good, depreciation, actual cash value."""
    cost, worn = valued.cost, valued.worn
    replacement_cost, gone = money.amount(valued.replacement_cost), money.amount(valued.depreciation)
    good = _number(Fraction(worn.left, worn.whole))
    parts = " + ".join(str(money.amount(part)) for part in (cost.direct, *valued.on_costs))
    value = money.amount(valued.replacement_cost - valued.depreciation)
    return (
        _working("historic_cost", _with_freight(_historic(cost), cost, money), money.amount(cost.historic)),
        _working("direct_cost", _with_freight(_direct(cost), cost, money), money.amount(cost.direct)),
        _working("replacement_cost", ("replacement_cost", parts), replacement_cost),
        _working("age_years", _age(worn.age, day_count), _number(worn.age.years)),
        _working("percent_good", _percent_good(worn), good),
        _working("depreciation", ("depreciation", f"{replacement_cost} x (1 - {good})"), gone),
        _working("actual_cash_value", ("actual_cash_value", f"{replacement_cost} - {gone}"), value),
    )


def _working(figure: Figure, formula: Formula, result: Decimal | str) -> Working:
    rule, numbers = formula
    return Working(figure=figure, rule=rule, formula=f"{numbers} = {result}")


def _with_freight(formula: Formula, cost: EntryCost, money: Money) -> Formula:
    rule, numbers = formula
    return (rule, f"{numbers} + {money.amount(cost.freight)}") if cost.freight else formula


def _historic(cost: EntryCost) -> Formula:
    entry = cost.entry
    if isinstance(entry, Labor):
        return "hours_as_paid", f"{entry.hours:f} x {entry.rate:f}"
    paid = _sum(f"{entry.quantity:f} x {entry.unit_cost:f}", entry.tax, entry.freight)
    return "price_as_paid", _exchanged(paid, cost.exchange)


def _direct(cost: EntryCost) -> Formula:
    entry = cost.entry
    if isinstance(entry, Labor):
        return _direct_of_labor(entry, cost)
    if cost.quote is not None:
        quoted = _sum(f"{entry.quantity:f} x {cost.quote:f}", None, entry.freight)
        exchanged = _exchanged(quoted, cost.quoted_exchange)
        if cost.trend is None:
            return "price_by_quote", exchanged
        return "price_by_quote_and_index", f"({exchanged}){_trended(cost)}"
    _, paid = _historic(cost)
    return ("price_as_paid", paid) if cost.trend is None else ("price_by_index", f"({paid}){_trended(cost)}")


def _direct_of_labor(labor: Labor, cost: EntryCost) -> Formula:
    rate = labor.rate if cost.market_rate is None else cost.market_rate
    asked = f"{labor.hours:f} x {rate:f}"
    if cost.trend is not None:
        return "hours_by_index", asked + _trended(cost)
    return "hours_as_paid" if cost.market_rate is None else "hours_at_market_rate", asked


def _trended(cost: EntryCost) -> str:
    return "" if cost.trend is None else f" x {cost.trend.now:f} / {cost.trend.then:f}"


def _sum(product: str, *more: Decimal | None) -> str:
    return " + ".join([product, *(f"{part:f}" for part in more if part)])


def _exchanged(formula: str, rate: Decimal) -> str:
    return formula if rate is SAME_CURRENCY else f"({formula}) x {rate:f}"


def _age(age: Age, day_count: DayCount) -> Formula:
    since = age.years - Fraction(age.stated or 0)
    numbers = {
        "days_365_25": f"{_number(since * DAYS_A_YEAR)} / 365.25",
        "complete_months": f"{_number(since * 12)} / 12",
        "complete_years": _number(since),
    }
    if age.stated is None:
        return AGES[day_count], numbers[day_count]
    if not since:
        return "age_effective", f"{age.stated:f}"
    return "age_effective_grown", f"{age.stated:f} + {numbers[day_count]}"


def _percent_good(worn: Worn) -> Formula:
    formula = _by_schedule(worn.rule, worn.age)
    rule = "good_undepreciated" if worn.rule is UNDEPRECIATED else GOOD[worn.rule.schedule.method]
    return rule, formula if worn.condition == AS_NEW else f"({formula}) x {worn.condition:f}"


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
