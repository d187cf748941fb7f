"""The valuation as in a textbook: slow, in plain Decimal and Fraction, formula by formula.

The tests compare the fast code with it. The two share only the records and the library of schedules.
"""

from datetime import date
from decimal import ROUND_HALF_EVEN, ROUND_HALF_UP, Context, Decimal, localcontext
from fractions import Fraction
from math import ceil, floor
from typing import NamedTuple

from msgspec.structs import replace

from hitchworth.model.build import Build
from hitchworth.model.entry import Component, Labor, PriceContent
from hitchworth.model.options import Options
from hitchworth.model.schedule import Schedule
from hitchworth.reference.currencies import exponent_of
from hitchworth.reference.schedules import schedule_for, schedule_named


class TextbookLine(NamedTuple):
    """The amounts of one line."""

    historical_cost: Decimal
    direct_cost: Decimal
    replacement_cost: Decimal
    depreciation: Decimal
    actual_cash_value: Decimal


def value(build: Build, as_of: date, options: Options) -> dict[str, TextbookLine]:
    """Return every line that is in the trailer on the date, by id."""
    with localcontext(Context(prec=200)):
        return _value(build, as_of, options)


def _value(build: Build, as_of: date, options: Options) -> dict[str, TextbookLine]:
    def rounded(exact: Fraction) -> Decimal:
        number = Decimal(exact.numerator) / Decimal(exact.denominator)
        mode = ROUND_HALF_UP if options.rounding == "half_up" else ROUND_HALF_EVEN
        return number.quantize(Decimal(1).scaleb(-(exponent_of(build.currency) or 0)), mode)

    entries: list[Component | Labor] = [part for part in build.components if _is_installed_on(part, as_of)]
    entries += [work for work in build.labor if work.performed_on <= as_of]
    historical = [rounded(_historical(entry, build)) for entry in entries]
    direct = [rounded(_direct(entry, build, as_of)) for entry in entries]
    terms = build.indirect_costs
    freight = _freight(entries, historical, rounded(Fraction(terms.freight_lump_sum)), build)
    historical = [cost + part for cost, part in zip(historical, freight, strict=True)]
    direct = [cost + part for cost, part in zip(direct, freight, strict=True)]
    unit = Decimal(1).scaleb(-(exponent_of(build.currency) or 0))
    content = [_content(entry, as_of) for entry in entries]
    before_tax = [cost - rounded(_tax_in(entry, build, as_of)) for entry, cost in zip(entries, direct, strict=True)]
    lacks_overhead = [c if has == "nothing" else Decimal(0) for has, c in zip(content, before_tax, strict=True)]
    overhead = rounded(Fraction(sum(lacks_overhead, Decimal(0))) * Fraction(terms.overhead_rate))
    overheads = _split(overhead, lacks_overhead, unit, entries)
    earned_on = [
        cost + (part if terms.compounded else 0) if has in {"nothing", "overhead"} else Decimal(0)
        for has, cost, part in zip(content, before_tax, overheads, strict=True)
    ]
    earned, rate = Fraction(sum(earned_on, Decimal(0))), Fraction(terms.profit_rate)
    profit = rounded(earned * rate if terms.profit_basis == "markup" else earned / (1 - rate) - earned)
    bases = [cost if _taxed(entry, build, as_of) else Decimal(0) for entry, cost in zip(entries, direct, strict=True)]
    taxes = [rounded(Fraction(base) * Fraction(terms.sales_tax_rate)) for base in bases]
    if terms.sales_tax_basis == "total":
        taxes = _split(rounded(Fraction(sum(bases, Decimal(0))) * Fraction(terms.sales_tax_rate)), bases, unit, entries)
    lines = {}
    for entry, *costs in zip(
        entries, historical, direct, overheads, _split(profit, earned_on, unit, entries), taxes, strict=True
    ):
        replacement = sum(costs[1:], Decimal(0))
        depreciation = rounded(Fraction(replacement) * (1 - _percent_good(entry, build, as_of, options)))
        lines[entry.id] = TextbookLine(costs[0], costs[1], replacement, depreciation, replacement - depreciation)
    return lines


def _freight(entries: list[Component | Labor], paid: list[Decimal], freight: Decimal, build: Build) -> list[Decimal]:
    """The lump sum over the components, by what was paid for each, or evenly if nothing was paid."""
    unit = Decimal(1).scaleb(-(exponent_of(build.currency) or 0))
    parts = [cost if isinstance(entry, Component) else Decimal(0) for entry, cost in zip(entries, paid, strict=True)]
    if not any(parts):
        parts = [Decimal(isinstance(entry, Component)) for entry in entries]
    return _split(freight, parts, unit, entries) if any(parts) else [Decimal(0)] * len(entries)


def _split(total: Decimal, weights: list[Decimal], unit: Decimal, entries: list[Component | Labor]) -> list[Decimal]:
    """Largest remainder: round every part down, then hand out the rest one unit at a time, to equals by their id."""
    whole = sum(weights, Decimal(0))
    if not total:
        return [Decimal(0)] * len(weights)
    exact = [Fraction(total) * Fraction(weight) / Fraction(whole) / Fraction(unit) for weight in weights]
    units = [floor(part) for part in exact]
    while sum(units) * unit < total:
        losses = [part - taken for part, taken in zip(exact, units, strict=True)]
        equals = [place for place, loss in enumerate(losses) if loss == max(losses)]
        units[min(equals, key=lambda place: entries[place].id)] += 1
    return [unit * taken for taken in units]


def _is_installed_on(part: Component, as_of: date) -> bool:
    return part.acquired_on <= as_of and not (part.removed_on and part.removed_on <= as_of)


def _exchange(part: Component, build: Build) -> Fraction:
    foreign = part.currency is not None and part.currency != build.currency
    return Fraction(part.exchange_rate or 1) if foreign else Fraction(1)


def _historical(entry: Component | Labor, build: Build) -> Fraction:
    if isinstance(entry, Labor):
        return Fraction(entry.hours) * Fraction(entry.rate)
    paid = Fraction(entry.quantity) * Fraction(entry.unit_cost) + Fraction(entry.tax or 0) + Fraction(entry.freight)
    return paid * _exchange(entry, build)


def _direct(entry: Component | Labor, build: Build, as_of: date) -> Fraction:
    if isinstance(entry, Labor):
        return _direct_labor(entry, build, as_of)
    if _has_quote(entry, as_of):
        quoted = Fraction(entry.quantity) * Fraction(entry.replacement_unit_cost or 0) + Fraction(entry.freight)
        if _taxed_as_paid(entry, build):
            quoted += Fraction(entry.tax or 0) / Fraction(entry.unit_cost) * Fraction(entry.replacement_unit_cost or 0)
        foreign = entry.currency is not None and entry.currency != build.currency
        rate = entry.quoted_exchange_rate if foreign else None
        quoted *= _exchange(entry, build) if rate is None else Fraction(rate)
        day = entry.quoted_on
        if day is None or entry.price_index is None or (day.year, day.month) == (as_of.year, as_of.month):
            return quoted
        then, now = (_index(entry.price_index, build, day) for day in (day, as_of))
        return quoted if then is None or now is None else quoted * now / then
    historical = _historical(entry, build)
    if entry.price_index is None:
        return historical
    then, now = (_index(entry.price_index, build, day) for day in (entry.acquired_on, as_of))
    return historical if then is None or now is None else historical * now / then


def _tax_in(entry: Component | Labor, build: Build, as_of: date) -> Fraction:
    """The sales tax in the direct cost: what the same line without its tax costs less."""
    if isinstance(entry, Labor) or (_has_quote(entry, as_of) and not _taxed_as_paid(entry, build)):
        return Fraction(0)
    return _direct(entry, build, as_of) - _direct(replace(entry, tax=Decimal(0)), build, as_of)


def _direct_labor(entry: Labor, build: Build, as_of: date) -> Fraction:
    market_rate = entry.market_rate
    if entry.market_rate_on is not None and entry.market_rate_on > as_of:
        market_rate = None
    asked = Fraction(entry.hours) * Fraction(entry.rate if market_rate is None else market_rate)
    since = entry.performed_on if market_rate is None else entry.market_rate_on
    if entry.price_index is None or since is None:
        return asked
    then, now = (_index(entry.price_index, build, day) for day in (since, as_of))
    return asked if then is None or now is None else asked * now / then


def _taxed_as_paid(part: Component, build: Build) -> bool:
    """A quote keeps the rate that the line paid, unless the build has a rate or the quote includes its tax."""
    has_rate = bool(build.indirect_costs.sales_tax_rate)
    return bool(part.tax and part.unit_cost and not has_rate and part.price_includes != "all")


def _content(entry: Component | Labor, as_of: date) -> PriceContent:
    """What the price includes: as stated, else overhead and profit for a bought base, a market rate and hired work."""
    if isinstance(entry, Component):
        bought = entry.category in {"chassis", "trailer"}
        return entry.price_includes or ("overhead_and_profit" if bought else "nothing")
    later = entry.market_rate_on is not None and entry.market_rate_on > as_of
    asked = entry.market_rate is not None and not later
    if entry.rate_includes is not None and (asked or entry.market_rate is None):
        return entry.rate_includes
    return "overhead_and_profit" if asked or entry.hired else "nothing"


def _has_quote(part: Component, as_of: date) -> bool:
    return part.replacement_unit_cost is not None and not (part.quoted_on and part.quoted_on > as_of)


def _index(name: str, build: Build, day: date) -> Fraction | None:
    known = [row for row in build.price_indexes[name] if row.month <= day.isoformat()[:7]]
    return Fraction(known[-1].value) if known else None


def _taxed(entry: Component | Labor, build: Build, as_of: date) -> bool:
    if _content(entry, as_of) == "all":
        return False
    if isinstance(entry, Labor):
        return bool(build.indirect_costs.tax_labor)
    return entry.tax is None or (_has_quote(entry, as_of) and not _taxed_as_paid(entry, build))


def _percent_good(entry: Component | Labor, build: Build, as_of: date, options: Options) -> Fraction:
    if isinstance(entry, Labor):
        if options.labor_depreciation == "none":
            return Fraction(1)
        for part in build.components:
            if options.labor_depreciation == "with_component" and part.id == entry.component_id:
                return _percent_good(part, build, as_of, options)
        schedule, since, stated, condition = entry.schedule, entry.performed_on, None, Decimal(1)
        grown_from = None
    else:
        grown_from = entry.effective_age_on
        schedule, since = entry.schedule, entry.in_service_on or entry.acquired_on
        stated, condition = entry.effective_age_years, entry.condition
    if schedule is None:
        schedule = schedule_for(entry.category).schedule
    elif isinstance(schedule, str):
        record = schedule_named(schedule)
        assert record is not None
        schedule = record.schedule
    if stated is None:
        age = _age(since, as_of, options)
    else:
        age = Fraction(stated) + (_age(grown_from, as_of, options) if grown_from else 0)
    share = share_left(schedule, age)
    if isinstance(entry, Component) and _bought_used(entry):
        share = _share_of_used(entry, share, schedule, as_of, options)
    return share * Fraction(condition)


def _share_of_used(part: Component, share: Fraction, schedule: Schedule, as_of: date, options: Options) -> Fraction:
    """What is left of a used part, of its price new or of what was paid."""
    if not _has_quote(part, as_of):
        before = max(share_left(schedule, _age_at_purchase(part, options)), share)
        return share / before if before else Fraction(1)
    if _was_in_service_before(part) or part.effective_age_years is not None or not part.replacement_unit_cost:
        return share
    return share * min(Fraction(part.unit_cost) / Fraction(part.replacement_unit_cost), Fraction(1))


def _was_in_service_before(part: Component) -> bool:
    return part.in_service_on is not None and part.in_service_on < part.acquired_on


def _bought_used(part: Component) -> bool:
    return _was_in_service_before(part) if part.bought_used is None else part.bought_used


def _age_at_purchase(part: Component, options: Options) -> Fraction:
    bought, judged_on = part.acquired_on, part.effective_age_on
    if part.effective_age_years is None:
        return _age(part.in_service_on or bought, bought, options)
    stated = Fraction(part.effective_age_years)
    if judged_on is None:
        return stated
    return max(stated + _age(judged_on, bought, options) - _age(bought, judged_on, options), Fraction(0))


def _age(since: date, as_of: date, options: Options) -> Fraction:
    days = max((as_of - since).days, 0)
    if options.day_count == "days_365_25":
        return days / Fraction("365.25")
    months = 0
    while days and _months_later(since, months + 1) <= (as_of.year, as_of.month, as_of.day):
        months += 1
    return Fraction(months, 12) if options.day_count == "complete_months" else Fraction(months // 12)


def _months_later(day: date, months: int) -> tuple[int, int, int]:
    month = day.year * 12 + day.month - 1 + months
    return month // 12, month % 12 + 1, day.day


def share_left(schedule: Schedule, age: Fraction) -> Fraction:
    """Return percent good at an age by the schedule, from the definition of its method."""
    if schedule.convention != "by_day" and age:
        age = ceil(age) - (Fraction(1, 2) if schedule.convention == "half_year" else Fraction(0))
    residual = Fraction(schedule.residual)
    if schedule.method == "table":
        return max(_from_table(schedule, age), residual)
    if schedule.method == "none":
        return Fraction(1)
    life = Fraction(schedule.life_years or 0)
    if schedule.method == "straight_line":
        return 1 - (1 - residual) * min(age / life, Fraction(1))
    if schedule.method == "declining_balance":
        return _declining(schedule, life, residual, age)
    yearly = _sum_of_years if schedule.method == "sum_of_years" else _present_worth
    if age >= life:
        return residual
    year, next_year = Fraction(floor(age)), min(Fraction(floor(age) + 1), life)
    before, after = yearly(schedule, life, year), yearly(schedule, life, next_year)
    return max(before + (after - before) * (age - year) / (next_year - year), residual)


def _sum_of_years(schedule: Schedule, life: Fraction, year: Fraction) -> Fraction:
    digits = sum((life - number for number in range(floor(year))), Fraction(0))
    if year == life != floor(year):
        return Fraction(schedule.residual)
    return 1 - (1 - Fraction(schedule.residual)) * digits / (life * (life + 1) / 2)


def _present_worth(schedule: Schedule, life: Fraction, year: Fraction) -> Fraction:
    def worth(years: Fraction) -> Fraction:
        discount = 1 / (1 + Fraction(schedule.discount_rate or 0))
        full = sum((discount**number for number in range(1, floor(years) + 1)), Fraction(0))
        return full + (years - floor(years)) * discount ** (floor(years) + 1)

    return worth(life - year) / worth(life)


def _declining(schedule: Schedule, life: Fraction, residual: Fraction, age: Fraction) -> Fraction:
    rate = min(Fraction(2 if schedule.factor is None else schedule.factor) / life, Fraction(1))
    if schedule.rate is not None:
        rate = Fraction(schedule.rate)
    left, at = Fraction(1), Fraction(0)
    while at < age and left > residual:
        step = Fraction(1, 2) if schedule.convention == "half_year" and not at else Fraction(1)
        loss = left * rate * step
        if schedule.switch_to_straight_line:
            step = min(step, life - at)
            loss = max(left * rate * step, (left - residual) / (life - at) * step)
        loss = min(loss, left - residual)
        left -= loss * min((age - at) / step, Fraction(1))
        at += step
    return max(left, residual)


def _from_table(schedule: Schedule, age: Fraction) -> Fraction:
    before, after = (Fraction(0), Fraction(1)), None
    for point in schedule.points:
        here = (Fraction(point.age_years), Fraction(point.percent_good))
        if here[0] <= age:
            before = here
        elif after is None:
            after = here
    if after is None or schedule.interpolation == "step":
        return before[1]
    return before[1] + (after[1] - before[1]) * (age - before[0]) / (after[0] - before[0])
