"""Two estimates compared: the effects add up, and swapping the two reverses every sign."""

from collections.abc import Iterable
from datetime import date
from decimal import Decimal

from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from build_strategies import builds, dates, options
from hitchworth.model.build import Build
from hitchworth.model.entry import Component, Labor
from hitchworth.model.estimate_comparison import (
    DEFAULT_EFFECTS,
    EffectAmount,
    EffectTotal,
    EstimateComparison,
    LineEffect,
)
from hitchworth.model.indirect_costs import IndirectCosts
from hitchworth.model.options import Options
from hitchworth.model.schedule import Schedule
from hitchworth.valuation.estimate import estimate
from hitchworth.valuation.estimate_comparison import EstimateInput, compare_estimates
from valuation_parts import BOUGHT, build, part, work

TEN_YEARS = Schedule(method="straight_line", life_years=Decimal(10))
NEW, OLD = BOUGHT, date(2027, 6, 16)
"""Days between them: 1,827, a day more than five years of 365.25 days."""

Entries = tuple[Component | Labor, ...]


def compared(before: Entries, after: Entries, *days: date) -> EstimateComparison:
    """The same day on both sides, unless two are given."""
    first, second = days or (NEW, NEW)
    return compare_estimates(
        EstimateInput(build(*before), first), EstimateInput(build(*after), second), DEFAULT_EFFECTS, Options()
    )


def moved(of: EstimateComparison) -> list[tuple[str, int, str, str]]:
    return [(e.effect, e.lines, str(e.replacement_cost), str(e.actual_cash_value)) for e in of.effects]


def test_added_and_removed() -> None:
    of = compared((part("a"), part("b", "250")), (part("a"), part("c", "70.50"), work()))
    assert moved(of) == [("added", 2, "570.50", "570.50"), ("removed", 1, "-250.00", "-250.00")]
    assert [(line.id, line.kind) for line in of.lines] == [("b", "component"), ("c", "component"), ("work", "labor")]
    assert (of.replacement_cost, of.unchanged) == (Decimal("320.50"), 1)


def test_one_id_for_a_component_and_for_labor_is_two_lines() -> None:
    assert moved(compared((part("x"),), (work("x"),))) == [
        ("added", 1, "500.00", "500.00"),
        ("removed", 1, "-100.00", "-100.00"),
    ]


def test_price_first_at_the_old_age_then_age_at_the_new_price() -> None:
    """1,000 new; five years and a day later, half depreciated, a quote is 1,200.

    Price: 1,200 - 1,000 = 200 at 100 % good. Age: 1,200 x 1,827 / 3,652.5 = 600.246..., so 600.25 less.
    """
    before = part(unit_cost="1000", schedule=TEN_YEARS)
    after = replace(before, replacement_unit_cost=Decimal(1200))
    of = compared((before,), (after,), NEW, OLD)
    assert moved(of) == [("price", 1, "200.00", "200.00"), ("age", 1, "0.00", "-600.25")]
    assert of.order == DEFAULT_EFFECTS


def test_in_another_order_the_effects_are_others_and_the_sum_is_the_same() -> None:
    """Age first, at the old price: 1,000 x 1,827 / 3,652.5 = 500.205... less; then 200 more, at half."""
    before = part(unit_cost="1000", schedule=TEN_YEARS)
    after = replace(before, replacement_unit_cost=Decimal(1200))
    order: tuple[LineEffect, ...] = ("age", "price", "quantity", "indirect_costs", "schedule", "condition")
    of = compare_estimates(EstimateInput(build(before), NEW), EstimateInput(build(after), OLD), order, Options())
    assert moved(of) == [("price", 1, "200.00", "99.96"), ("age", 1, "0.00", "-500.21")]
    assert of.actual_cash_value == Decimal("-400.25")


def test_quantity_is_apart_from_price() -> None:
    """Two at 100, then three at 120: 100 for the third at the old price, 60 for 20 more on each of three."""
    of = compared((part(quantity=Decimal(2)),), (part(unit_cost="120", quantity=Decimal(3)),))
    assert moved(of) == [("quantity", 1, "100.00", "100.00"), ("price", 1, "60.00", "60.00")]
    assert moved(compared((work(hours="10"),), (work(hours="8"),))) == [("quantity", 1, "-100.00", "-100.00")]


def test_schedule_condition_and_on_costs() -> None:
    """After five years and a day: 500.21 of 1,000 by the other schedule, then half of the rest by condition."""
    before = part(unit_cost="1000")
    after = replace(before, schedule=TEN_YEARS, condition=Decimal("0.5"))
    assert moved(compared((before,), (after,), OLD, OLD)) == [
        ("schedule", 1, "0.00", "-500.21"),
        ("condition", 1, "0.00", "-249.89"),
    ]
    charged = compare_estimates(
        EstimateInput(build(before), NEW),
        EstimateInput(build(before, indirect_costs=IndirectCosts(overhead_rate=Decimal("0.1"))), NEW),
        DEFAULT_EFFECTS,
        Options(),
    )
    assert moved(charged) == [("indirect_costs", 1, "100.00", "100.00")]


def test_what_is_left_out_is_no_remark_for_it_shows() -> None:
    later = part("b", acquired_on=date(2025, 1, 1))
    of = compared((part("a"), later), (part("a"), later), NEW, OLD)
    assert [note.code for note in of.notes] == []
    assert moved(of) == [("added", 1, "100.00", "100.00")]


def sums(of: Iterable[EffectTotal | EffectAmount]) -> tuple[Decimal, Decimal]:
    found = list(of)
    zero = Decimal(0)
    return sum((m.replacement_cost for m in found), zero), sum((m.actual_cash_value for m in found), zero)


@st.composite
def revisions(draw: st.DrawFn) -> tuple[EstimateInput, EstimateInput]:
    """A build and what became of it: lines out, lines in, and others repriced, rescheduled, in another number."""
    before = draw(builds())
    other = replace(draw(builds()), currency=before.currency)
    pairs = zip(before.components, other.components, strict=False)
    changed = tuple(draw(st.sampled_from([old, replace(new, id=old.id)])) for old, new in pairs)
    work = tuple(
        replace(draw(st.sampled_from([old, replace(new, id=old.id)])), component_id=None)
        for old, new in zip(before.labor, other.labor, strict=False)
    )
    after = replace(
        other, components=changed + other.components[: draw(st.integers(0, 2))], labor=work + before.labor[len(work) :]
    )
    return EstimateInput(before, draw(dates)), EstimateInput(after, draw(dates))


orders = st.permutations(DEFAULT_EFFECTS)


@settings(deadline=None)
@given(pair=revisions(), order=orders, chosen=options)
def test_the_parts_add_up_exactly(
    pair: tuple[EstimateInput, EstimateInput], order: list[LineEffect], chosen: Options
) -> None:
    of = compare_estimates(*pair, order, chosen)
    before, after = (estimate(*side, chosen).totals for side in pair)
    assert (of.before.totals, of.after.totals) == (before, after)
    difference = (
        after.replacement_cost - before.replacement_cost,
        after.actual_cash_value - before.actual_cash_value,
    )
    assert (of.replacement_cost, of.actual_cash_value) == difference
    assert sums(of.effects) == difference
    assert sums(move for line in of.lines for move in line.effects) == difference
    for line in of.lines:
        assert sums(line.effects) == (line.replacement_cost, line.actual_cash_value)


@settings(deadline=None)
@given(trailer=builds(), day=dates, chosen=options)
def test_compared_with_itself_nothing_moves(trailer: Build, day: date, chosen: Options) -> None:
    of = compare_estimates(EstimateInput(trailer, day), EstimateInput(trailer, day), DEFAULT_EFFECTS, chosen)
    assert (of.effects, of.lines) == ((), ())
    assert of.replacement_cost == of.actual_cash_value == 0


@settings(deadline=None)
@given(pair=revisions(), order=orders, chosen=options)
def test_the_other_way_round_every_effect_has_the_other_sign(
    pair: tuple[EstimateInput, EstimateInput], order: list[LineEffect], chosen: Options
) -> None:
    there = {
        e.effect: (e.lines, e.replacement_cost, e.actual_cash_value)
        for e in compare_estimates(*pair, order, chosen).effects
    }
    back = compare_estimates(pair[1], pair[0], order[::-1], chosen)
    turned = {"added": "removed", "removed": "added"}
    assert there == {
        turned.get(e.effect, e.effect): (e.lines, -e.replacement_cost, -e.actual_cash_value) for e in back.effects
    }
