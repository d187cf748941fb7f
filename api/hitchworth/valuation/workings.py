"""Workings: the formulas of a line with their numbers, so that a person or a spreadsheet can redo it.

Each names the rule it goes by, and `wording` says that in words of the trade.
"""

from collections.abc import Iterator, Sequence
from decimal import Decimal
from fractions import Fraction

from hitchworth.model.build import Convention, Labor, Method
from hitchworth.model.estimate import Figure, Working, WorkingRule
from hitchworth.model.options import DayCount
from hitchworth.valuation.age import Age, counted_age
from hitchworth.valuation.cost import SAME_CURRENCY, EntryCost
from hitchworth.valuation.depreciation_rules import AS_NEW, UNDEPRECIATED, Depreciated, Rule
from hitchworth.valuation.formula import Formula, number
from hitchworth.valuation.indirect_cost_workings import indirect_cost_formulas
from hitchworth.valuation.indirect_costs import Charges
from hitchworth.valuation.money import Money
from hitchworth.valuation.percent_good import HALF_YEAR
from hitchworth.valuation.valued_line import Valued
from hitchworth.valuation.year_shares import year_share

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
    "present_worth": "good_by_present_worth",
}


def workings(
    lines: Sequence[Valued], added: Charges, money: Money, day_count: DayCount
) -> Iterator[tuple[Working, ...]]:
    """For each line: historic and direct cost, its part of each on-cost, replacement cost, age, the age that the
    schedule counts where its convention makes another, the shares at the years beside it, percent good, depreciation,
    actual cash value.
    """
    for place, line in enumerate(lines):
        yield (*_cost(line, added, place, money), *_wear(line.worn, day_count), *_value(line, money))


def _cost(line: Valued, added: Charges, place: int, money: Money) -> Iterator[Working]:
    cost = line.cost
    yield _working("historic_cost", _with_freight(_historic(cost), cost, money), money.amount(cost.historic))
    yield _working("direct_cost", _with_freight(_direct(cost), cost, money), money.amount(cost.direct))
    for figure, formula, part in indirect_cost_formulas(added, place, cost.direct, money):
        yield _working(figure, formula, part)
    parts = " + ".join(str(money.amount(part)) for part in (cost.direct, *line.indirect_costs))
    yield _working("replacement_cost", ("replacement_cost", parts), money.amount(line.replacement_cost))


def _wear(worn: Depreciated, day_count: DayCount) -> Iterator[Working]:
    schedule, age = worn.rule.schedule, worn.age
    yield _working("age_years", _age(age, day_count), number(age.years))
    counted = counted_age(age, schedule.convention).years
    if schedule.convention != "by_day" and counted:
        yield _working("counted_age", _counted(schedule.convention, counted), number(counted))
    if worn.rule.curve.at(counted) != Fraction(schedule.residual):
        yield from _years(worn.rule, counted)
    yield _working("percent_good", _percent_good(worn, counted), number(Fraction(worn.left, worn.whole)))


def _years(rule: Rule, age: Fraction) -> Iterator[Working]:
    """The shares at the points of the schedule that the age lies between."""
    span = rule.curve.span(age)
    points: tuple[tuple[Figure, Fraction, Fraction], ...] = (
        ("share_at_start", span.age, span.share),
        ("share_at_end", span.end_age, span.end_share),
    )
    for figure, at, share in points if span.share != span.end_share and age != span.age else points[:1]:
        formula = year_share(rule.schedule, at, share)
        if formula is not None:
            yield _working(figure, formula, number(share))


def _value(line: Valued, money: Money) -> Iterator[Working]:
    replacement_cost, depreciation = money.amount(line.replacement_cost), money.amount(line.depreciation)
    good = number(Fraction(line.worn.left, line.worn.whole))
    yield _working("depreciation", ("depreciation", f"{replacement_cost} x (1 - {good})"), depreciation)
    value = money.amount(line.replacement_cost - line.depreciation)
    yield _working("actual_cash_value", ("actual_cash_value", f"{replacement_cost} - {depreciation}"), value)


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
        "days_365_25": f"{number(since * DAYS_A_YEAR)} / 365.25",
        "complete_months": f"{number(since * 12)} / 12",
        "complete_years": number(since),
    }
    if age.stated is None:
        return AGES[day_count], numbers[day_count]
    if not since:
        return "age_effective", f"{age.stated:f}"
    return "age_effective_grown", f"{age.stated:f} + {numbers[day_count]}"


def _counted(convention: Convention, counted: Fraction) -> Formula:
    if convention == "full_year":
        return "counted_full_year", number(counted)
    return "counted_half_year", f"{number(counted + HALF_YEAR)} - 1 / 2"


def _percent_good(worn: Depreciated, counted: Fraction) -> Formula:
    formula = _by_schedule(worn.rule, counted)
    return _good(worn.rule), formula if worn.condition == AS_NEW else f"({formula}) x {worn.condition:f}"


def _good(rule: Rule) -> WorkingRule:
    if rule is UNDEPRECIATED:
        return "good_undepreciated"
    schedule = rule.schedule
    if schedule.method == "table":
        return "good_by_table_stepped" if schedule.interpolation == "step" else "good_by_table_interpolated"
    return GOOD[schedule.method]


def _by_schedule(rule: Rule, age: Fraction) -> str:
    """In proportion between the two points of the schedule that the age lies between."""
    span, share = rule.curve.span(age), rule.curve.at(age)
    if age == span.age or span.share == span.end_share or share == Fraction(rule.schedule.residual):
        return number(share)
    start, end = number(span.share), number(span.end_share)
    if not span.age:
        return f"{start} - ({start} - {end}) x {number(age)} / {number(span.end_age)}"
    since, until = number(span.age), number(span.end_age)
    return f"{start} - ({start} - {end}) x ({number(age)} - {since}) / ({until} - {since})"
