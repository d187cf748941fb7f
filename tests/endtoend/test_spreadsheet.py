"""The demo's estimate redone by a spreadsheet program from what was entered: every amount, to the cent.

Nothing that the estimate computed goes into the sheet: quantities, prices, rates, dates and the terms of the schedules
do, and the program's own SLN and VDB take the wear off. Inside the sheet amounts are cents, so that they are whole.
"""

from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from msgspec.structs import replace

from hitchworth.demo import demo_request
from hitchworth.model.build import Build, IndexMonth
from hitchworth.model.entry import Component, Labor
from hitchworth.model.indirect_costs import IndirectCosts
from hitchworth.model.options import LaborDepreciation, Options
from hitchworth.model.schedule import Schedule
from hitchworth.reference.schedules import schedule_for, schedule_named
from hitchworth.valuation.estimate import estimate
from spreadsheet import Cell, recalculated

REQUEST = demo_request()
AS_OF = REQUEST.as_of or date(2026, 11, 1)
HEADINGS = (
    *("id", "quantity", "price", "tax", "freight", "exchange", "quote", "index now", "index then", "untaxed"),
    *("age", "condition", "marked up", "historical", "direct", "tax in it"),
    *("overhead base", "overhead down", "remainder", "overhead", "profit base", "profit down", "remainder", "profit"),
    *("sales tax", "replacement cost", "percent good", "depreciation", "actual cash value"),
)
COLUMN = dict(zip(HEADINGS, [*"ABCDEFGHIJKLMNOPQRSTUVWXYZ", "AA", "AB", "AC"], strict=True))


def varied(build: Build) -> Build:
    """The demo with what it does not have: an index, declining balances, profit as a margin, compounded, taxed work."""
    rows = (IndexMonth(month="2025-08", value=Decimal("241.3")), IndexMonth(month="2026-11", value=Decimal("257.91")))
    declining = Schedule(method="declining_balance", life_years=Decimal(8), residual=Decimal("0.1"))
    changes: dict[int, dict[str, Any]] = {
        0: {"schedule": replace(declining, switch_to_straight_line=True), "replacement_unit_cost": None},
        1: {"schedule": replace(declining, factor=Decimal("1.5")), "price_index": "steel"},
        2: {"effective_age_years": Decimal("3.25"), "price_index": "steel"},
    }
    parts = tuple(replace(part, **changes.get(place, {})) for place, part in enumerate(build.components))
    terms = IndirectCosts(
        overhead_rate=Decimal("0.125"),
        profit_rate=Decimal("0.15"),
        profit_basis="margin",
        compounded=True,
        sales_tax_rate=Decimal("0.092"),
        tax_labor=True,
    )
    return replace(build, components=parts, indirect_costs=terms, price_indexes={"steel": rows})


@pytest.mark.parametrize("rule", ["none", "with_component"])
@pytest.mark.parametrize("build", [REQUEST.build, varied(REQUEST.build)], ids=["demo", "varied"])
def test_every_amount_is_the_spreadsheets(build: Build, rule: LaborDepreciation, tmp_path: Path) -> None:
    found = estimate(build, AS_OF, Options(labor_depreciation=rule, workings=True))
    table = [dict(zip(HEADINGS, row, strict=True)) for row in recalculated(list(sheet(build, rule)), tmp_path)[1:]]
    assert [row["id"] for row in table] == [line.id for line in found.lines]
    for line, row in zip(found.lines, table, strict=True):
        amounts = (line.historical_cost, line.direct_cost, line.replacement_cost, line.depreciation)
        redone = ("historical", "direct", "replacement cost", "depreciation")
        assert [100 * amount for amount in amounts] == [Decimal(row[name]) for name in redone], line.id
        assert 100 * line.actual_cash_value == Decimal(row["actual cash value"])
        assert float(line.percent_good) == pytest.approx(float(row["percent good"]), abs=1e-6)
        assert [working.formula.rpartition(" = ")[2] for working in line.workings[-2:]] == [
            str(line.depreciation),
            str(line.actual_cash_value),
        ]


def sheet(build: Build, rule: LaborDepreciation) -> Iterator[list[Cell]]:
    """The headings, and a row for each entry that stands on the date."""
    served = {part.id: part for part in build.components}
    parts = [part for part in build.components if part.acquired_on <= AS_OF < (part.removed_on or date.max)]
    work = [labor for labor in build.labor if labor.performed_on <= AS_OF]
    last = 1 + len(parts) + len(work)
    yield list(HEADINGS)
    for number, part in enumerate(parts, start=2):
        yield [*_paid(part, build), *_formulas(number, last, build.indirect_costs, _good(_schedule(part), number))]
    for number, labor in enumerate(work, start=2 + len(parts)):
        worn = served.get(labor.component_id or "") if rule == "with_component" else None
        good = "=1" if rule == "none" else _good(_schedule(worn or labor), number)
        yield [*_worked(labor, worn, build.indirect_costs), *_formulas(number, last, build.indirect_costs, good)]


def _paid(part: Component, build: Build) -> list[Cell]:
    """What was entered for a part; a series' value is that of the last month not after the date."""
    quote = "" if part.replacement_unit_cost is None else float(part.replacement_unit_cost)
    untaxed = part.tax is None or quote != ""
    rows = build.price_indexes.get(part.price_index or "", ())
    now, then = (
        float([row.value for row in rows if row.month <= day.isoformat()[:7]][-1]) if rows else 1.0
        for day in (AS_OF, part.acquired_on)
    )
    exchange = float(part.exchange_rate or 1)
    prices = (float(part.quantity), float(part.unit_cost), float(part.tax or 0), float(part.freight), exchange)
    marked_up = float(part.price_includes == "nothing" if part.price_includes else part.category != "chassis")
    return [part.id, *prices, quote, now, then, float(untaxed), _age(part), float(part.condition), marked_up]


def _worked(labor: Labor, worn: Component | None, terms: IndirectCosts) -> list[Cell]:
    market = "" if labor.market_rate is None else float(labor.market_rate)
    condition = 1.0 if worn is None else float(worn.condition)
    prices = (float(labor.hours), float(labor.rate), 0.0, 0.0, 1.0)
    marked_up = float(labor.rate_includes == "nothing" if labor.rate_includes else not labor.hired and market == "")
    return [
        labor.id,
        *prices,
        market,
        1.0,
        1.0,
        float(bool(terms.tax_labor)),
        _age(worn or labor),
        condition,
        marked_up,
    ]


def _age(entry: Component | Labor) -> Cell:
    if isinstance(entry, Component) and entry.effective_age_years is not None:
        return float(entry.effective_age_years)
    since = entry.performed_on if isinstance(entry, Labor) else entry.in_service_on or entry.acquired_on
    return f"=({_day(AS_OF)}-{_day(since)})/365.25"


def _day(day: date) -> str:
    return f"DATE({day.year};{day.month};{day.day})"


def _schedule(entry: Component | Labor) -> Schedule:
    if isinstance(entry.schedule, Schedule):
        return entry.schedule
    record = schedule_named(entry.schedule) if entry.schedule else schedule_for(entry.category)
    assert record is not None
    return record.schedule


def _good(schedule: Schedule, number: int) -> str:
    """Percent good by the program's own functions."""
    age = f"[.{COLUMN['age']}{number}]"
    life, residual = schedule.life_years, schedule.residual
    match schedule.method:
        case "none":
            share = "1"
        case "straight_line":
            share = f"1-SLN(1;{residual};{life})*MIN({age};{life})"
        case "declining_balance":
            switch = "FALSE()" if schedule.switch_to_straight_line else "TRUE()"
            share = f"1-VDB(1;{residual};{life};0;MIN({age};{life});{schedule.factor or 2};{switch})"
        case "table":
            share = _from_table(schedule, age)
        case other:
            raise NotImplementedError(other)
    return f"=({share})*[.{COLUMN['condition']}{number}]"


def _from_table(schedule: Schedule, age: str) -> str:
    """Points on a straight line, from the oldest on inward."""
    assert schedule.interpolation == "linear"
    points = [(point.age_years, point.percent_good) for point in schedule.points]
    formula = str(points[-1][1])
    for (start, left), (end, rest) in reversed(list(pairwise(points))):
        formula = f"IF({age}<{end};{left}-({left}-{rest})*({age}-{start})/({end}-{start});{formula})"
    return formula


def _formulas(number: int, last: int, terms: IndirectCosts, good: str) -> Iterator[Cell]:
    def here(name: str) -> str:
        return f"[.{COLUMN[name]}{number}]"

    def whole(name: str, until: int = last) -> str:
        return f"[.{COLUMN[name]}$2:.{COLUMN[name]}${until}]"

    def down(total: str, base: str) -> str:
        return f"=QUOTIENT({total}*{here(base)};SUM({whole(base)}))"

    def remainder(total: str, base: str) -> str:
        return f"=MOD({total}*{here(base)};SUM({whole(base)}))"

    def part(total: str, name: str, column: str) -> str:
        """Largest remainder: one cent more for the lines that lost most, among equals the first."""
        losses = f"[.{column}$2:.{column}${last}]"
        rank = f'COUNTIF({losses};">"&[.{column}{number}])+COUNTIF([.{column}$2:.{column}{number}];[.{column}{number}])'
        return f"={here(name)}+IF({rank}<={total}-SUM({whole(name)});1;0)"

    paid = f"({here('quantity')}*{here('price')}+{here('tax')}+{here('freight')})*{here('exchange')}"
    quoted = f"({here('quantity')}*{here('quote')}+{here('freight')})*{here('exchange')}"
    trended = f"{paid}*{here('index now')}/{here('index then')}"
    overhead = f"ROUND(SUM({whole('overhead base')})*{terms.overhead_rate};0)"
    rate = str(terms.profit_rate)
    on_cost = rate if terms.profit_basis == "markup" else f"{rate}/(1-{rate})"
    profit = f"ROUND(SUM({whole('profit base')})*{on_cost};0)"
    yield f"=ROUND(100*{paid};0)"
    yield f'=IF({here("quote")}="";ROUND(100*{trended};0);ROUND(100*{quoted};0))'
    tax = f"{here('tax')}*{here('exchange')}*{here('index now')}/{here('index then')}"
    yield f'=IF({here("quote")}="";ROUND(100*{tax};0);0)'
    yield f"=({here('direct')}-{here('tax in it')})*{here('marked up')}"
    yield from (down(overhead, "overhead base"), remainder(overhead, "overhead base"))
    yield part(overhead, "overhead down", "S")
    yield f"={here('overhead base')}{'+' + here('overhead') if terms.compounded else ''}"
    yield from (down(profit, "profit base"), remainder(profit, "profit base"), part(profit, "profit down", "W"))
    yield f"=ROUND({here('untaxed')}*{here('direct')}*{terms.sales_tax_rate};0)"
    yield f"={here('direct')}+{here('overhead')}+{here('profit')}+{here('sales tax')}"
    yield good
    yield f"=ROUND({here('replacement cost')}*(1-{here('percent good')});0)"
    yield f"={here('replacement cost')}-{here('depreciation')}"
