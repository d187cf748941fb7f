"""The whole trailer valued by one schedule, as statutes and appraisers' tables do it, beside the sum of its lines."""

from collections.abc import Sequence
from datetime import date

from hitchworth.model.build import Component
from hitchworth.model.estimate import WholeTrailerValue
from hitchworth.model.options import Options
from hitchworth.reference.schedules import schedule_named
from hitchworth.valuation.depreciation_rules import DepreciationRules
from hitchworth.valuation.money import Money
from hitchworth.valuation.valued_line import Valued, depreciation


def whole_trailer_value(
    lines: Sequence[Valued], wear: DepreciationRules, options: Options, money: Money
) -> WholeTrailerValue | None:
    """Replacement cost new of all lines x percent good at the age of the whole.

    None without options.whole_trailer_schedule, or where no line has an age. A statute may use another base (a list
    price, a price paid): then only its percent good applies, and the reader supplies the base.
    """
    if options.whole_trailer_schedule is None:
        return None
    since = options.whole_trailer_in_service_on or _first_service(lines)
    if since is None:
        return None
    worn = wear.whole(options.whole_trailer_schedule, since)
    base = sum(line.replacement_cost for line in lines)
    value = base - depreciation(base, worn, money)
    by_lines = sum(line.replacement_cost - line.depreciation for line in lines)
    record = schedule_named(worn.rule.name)
    published = record is not None and record.schedule is worn.rule.schedule
    return WholeTrailerValue(
        schedule=worn.rule.name,
        title=record.title if record is not None and published else "",
        source=record.source if record is not None and published else "",
        base=money.amount(base),
        age_years=worn.age_years,
        percent_good=worn.percent_good,
        value=money.amount(value),
        actual_cash_value=money.amount(by_lines),
        difference=money.amount(value - by_lines),
    )


def _first_service(lines: Sequence[Valued]) -> date | None:
    entries = (line.cost.entry for line in lines)
    days = [entry.in_service_on or entry.acquired_on for entry in entries if isinstance(entry, Component)]
    return min(days, default=None)
