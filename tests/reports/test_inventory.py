"""The inventory of the sheet: work, uncertainty, the whole by a schedule, and workings, as the API gives them."""

from decimal import Decimal
from functools import cache

import pytest
from msgspec.structs import replace

from hitchworth import appraisal
from hitchworth.demo import demo_request
from hitchworth.localization.localize import localize
from hitchworth.localization.localizer import localizer_for
from hitchworth.model.gap import GapStatement
from hitchworth.model.schedule import Schedule
from hitchworth.operations.reports import create_report
from hitchworth.reports.content import Content, GroupedTable, Listing, Paragraph, Table

MONEY = localizer_for("en-US", "USD").money


@cache
def sheet(place: str = "US-CA", *, asked: bool = True) -> tuple[GapStatement, Content]:
    """The demo's statement and sheet, in a place, with and without what has to be asked for."""
    request = demo_request()
    options = replace(
        request.options, workings=asked, whole_trailer_schedule="washington_travel_trailer" if asked else None
    )
    build = replace(request.build, jurisdiction=place)
    request = replace(request, build=build, options=options)
    assert request.as_of is not None
    statement = localize(appraisal.gap_statement(request, request.as_of), "en-US")
    return statement, create_report(request, "all")


def table(found: Content, caption: str) -> Table:
    return next(block for block in found.blocks if isinstance(block, Table) and block.caption.startswith(caption))


def test_the_workings_are_those_of_the_api() -> None:
    statement, found = sheet()
    (worked,) = (b for b in found.blocks if isinstance(b, GroupedTable) and b.caption.startswith("How each figure"))
    assert [group.title for group in worked.groups] == [line.description for line in statement.estimate.lines]
    for group, line in zip(worked.groups, statement.estimate.lines, strict=True):
        assert [row[1:] for row in group.rows] == [(working.formula, working.text) for working in line.workings]
        assert all(all(row) for row in group.rows)


def test_neither_workings_nor_the_whole_without_being_asked() -> None:
    _, found = sheet(asked=False)
    captions = [block.caption for block in found.blocks if isinstance(block, Table | GroupedTable)]
    assert not [caption for caption in captions if caption.startswith(("How each figure", "The whole trailer"))]


def test_the_whole_by_a_schedule_is_next_to_its_lines() -> None:
    statement, found = sheet()
    whole = statement.estimate.whole_trailer_value
    assert whole is not None
    shown = table(found, "The whole trailer")
    cells = [row[1] for row in shown.rows]
    assert {MONEY(whole.base), MONEY(whole.value), MONEY(whole.actual_cash_value)} <= set(cells)
    assert any("82.50.425" in cell for cell in cells)
    assert shown.foot[1] == MONEY(whole.difference).replace("-", "−")


def test_the_work_is_shown_with_what_the_own_hours_add_and_the_three_rules() -> None:
    statement, found = sheet()
    labor, rules = statement.estimate.labor, statement.estimate.value_by_labor_rule
    own, hired = table(found, "The work").rows
    assert own[2:] == tuple(map(MONEY, (labor.own.paid, labor.own.at_market, labor.own.replacement_cost)))
    assert hired[2] == MONEY(labor.hired.paid)
    values = [row[1] for row in table(found, "Actual cash value by rule").rows]
    assert values == [MONEY(rules.none), MONEY(rules.with_component), MONEY(rules.own)]
    texts = [block.text for block in found.blocks if isinstance(block, Paragraph)]
    assert any(MONEY(labor.own_labor_added) in text for text in texts)


def test_both_ends_of_the_actual_cash_value_are_shown_with_how_each_is_found() -> None:
    statement, found = sheet()
    ends = statement.estimate.value_range
    assert ends is not None
    assert len(ends.ends) == 3
    (at,) = (
        place
        for place, block in enumerate(found.blocks)
        if block == Paragraph("Actual cash value, by how it may be found:")
    )
    listed = found.blocks[at + 1]
    assert isinstance(listed, Listing)
    assert [item.endswith(MONEY(end.value)) for item, end in zip(listed.items, ends.ends, strict=True)] == [True] * 3


@pytest.mark.parametrize(("place", "shown"), [("US-CA", True), ("US-WA", False)])
def test_the_published_rule_on_labor_is_shown_where_one_is_known(place: str, shown: bool) -> None:
    _, found = sheet(place)
    texts = " ".join(block.text for block in found.blocks if isinstance(block, Paragraph))
    assert ("2695.9(f)(1)" in texts) is shown


def test_the_lines_to_prove_first_are_those_with_most_of_the_variance() -> None:
    statement, found = sheet()
    by_share = sorted(statement.estimate.lines, key=lambda line: line.variance_share, reverse=True)
    assert [row[0] for row in table(found, "The lines that widen").rows] == [line.description for line in by_share[:5]]


def test_the_on_costs_are_named_with_rate_and_base() -> None:
    statement, found = sheet()
    totals, terms = statement.estimate.totals, statement.estimate.indirect_costs
    rows = {row[0]: row[1] for row in table(found, "From parts and labor").rows}
    assert terms.overhead_rate == terms.profit_rate == Decimal("0.10")
    # The demo's shop rates, and the trailer that it is built on, include overhead and profit.
    includes = [line.direct_cost for line in statement.estimate.lines if line.includes == "overhead_and_profit"]
    assert {line.kind for line in statement.estimate.lines if line.includes == "nothing"} == {"component"}
    # Neither is on the sales tax that the parts without a quote paid.
    parts = {part.id: part for part in demo_request().build.components if part.replacement_unit_cost is None}
    marked_up = [line.id for line in statement.estimate.lines if line.includes == "nothing" and line.id in parts]
    base = totals.direct_cost - sum(includes) - sum(parts[name].tax or 0 for name in marked_up)
    assert rows[f"Overhead, 10% of {MONEY(base)}"] == MONEY(totals.overhead)
    assert [label for label in rows if label.startswith(f"Profit, 10% of the cost of {MONEY(base)}")]


def test_a_schedule_that_a_line_writes_out_is_listed() -> None:
    request = demo_request()
    mine = Schedule(method="sum_of_years", life_years=Decimal(9), residual=Decimal("0.15"))
    first, *rest = request.build.components
    build = replace(request.build, components=(replace(first, schedule=mine), *rest))
    request = replace(request, build=build)
    rows = table(create_report(request, "workings"), "Schedules of depreciation").rows
    named = first.description[:1].upper() + first.description[1:]
    assert (named, "Sum of the years' digits", "9", "15%", "given with the line") in rows
