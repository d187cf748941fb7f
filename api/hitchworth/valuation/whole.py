"""The whole trailer valued by one schedule, as statutes and appraisers' tables do it, beside the sum of its lines."""

from collections.abc import Sequence
from datetime import date

from hitchworth.model.build import Component
from hitchworth.model.estimate import WholeBySchedule
from hitchworth.model.options import Options
from hitchworth.reference.schedules import schedule_named
from hitchworth.valuation.money import Money
from hitchworth.valuation.valued import Valued, depreciation
from hitchworth.valuation.wear import Wear


def whole_by_schedule(lines: Sequence[Valued], wear: Wear, options: Options, money: Money) -> WholeBySchedule | None:
    """Replacement cost new of all lines x percent good at the age of the whole.

    None without options.whole_by, or where there is nothing whose age could be counted. A statute may take another
    base (a list price, a price paid): then its percent good is what counts, and its base is the reader's to put in.
    """
    if options.whole_by is None:
        return None
    since = options.whole_in_service_on or _first_service(lines)
    if since is None:
        return None
    worn = wear.whole(options.whole_by, since)
    base = sum(line.replacement_cost for line in lines)
    value = base - depreciation(base, worn, money)
    by_lines = sum(line.replacement_cost - line.depreciation for line in lines)
    record = schedule_named(worn.rule.name)
    published = record is not None and record.schedule is worn.rule.schedule
    return WholeBySchedule(
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
