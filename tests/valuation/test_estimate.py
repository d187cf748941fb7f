"""The estimate: what adds up, what is left out, and that the fast code agrees with the textbook."""

from datetime import date
from decimal import Decimal

from hypothesis import given, settings

from build_strategies import AS_OF, builds, options
from hitchworth.model.build import Build
from hitchworth.model.estimate import Estimate
from hitchworth.model.options import Options
from hitchworth.valuation.estimate import estimate
from textbook import value

ZERO = Decimal(0)


@settings(max_examples=150, deadline=None)
@given(builds(), options)
def test_equals_the_textbook(build: Build, choices: Options) -> None:
    found = estimate(build, AS_OF, choices)
    assert {
        line.id: (
            line.historical_cost,
            line.direct_cost,
            line.replacement_cost,
            line.depreciation,
            line.actual_cash_value,
        )
        for line in found.lines
    } == value(build, AS_OF, choices)


@settings(max_examples=100, deadline=None)
@given(builds(), options)
def test_every_table_adds_up(build: Build, choices: Options) -> None:
    found = estimate(build, AS_OF, choices)
    totals = found.totals
    indirect_costs = totals.overhead + totals.profit + totals.sales_tax
    assert totals.direct_cost + indirect_costs == totals.replacement_cost
    assert totals.replacement_cost - totals.depreciation == totals.actual_cash_value
    for name in ("replacement_cost", "depreciation", "actual_cash_value"):
        assert sum((getattr(line, name) for line in found.lines), ZERO) == getattr(totals, name)
        assert sum((getattr(group, name) for group in found.categories), ZERO) == getattr(totals, name)
    assert sum((line.historical_cost for line in found.lines), ZERO) == totals.historical_cost
    assert sum((line.direct_cost for line in found.lines), ZERO) == totals.direct_cost
    documented = found.cost_by_evidence
    parts = sum((line.replacement_cost for line in found.lines if line.kind == "component"), ZERO)
    assert documented.receipt + documented.written_quote + documented.own_estimate == parts


@settings(max_examples=60, deadline=None)
@given(builds(), options)
def test_the_labor_rules_are_what_each_rule_alone_gives(build: Build, choices: Options) -> None:
    rules = estimate(build, AS_OF, choices).value_by_labor_rule
    fields = {name: getattr(choices, name) for name in choices.__struct_fields__}

    def by(rule: str) -> Decimal:
        return estimate(build, AS_OF, Options(**fields | {"labor_depreciation": rule})).totals.actual_cash_value

    assert (rules.none, rules.with_component, rules.own) == (by("none"), by("with_component"), by("own"))


@settings(max_examples=40, deadline=None)
@given(builds(), options)
def test_the_band_holds_the_likely_cost(build: Build, choices: Options) -> None:
    found = estimate(build, AS_OF, choices)
    assert ZERO <= found.band.low <= found.band.likely <= found.band.high
    likely = [*(part.likely for part in build.components), *(work.likely for work in build.labor)]
    if all(cost is None for cost in likely):
        assert found.band.likely == found.totals.replacement_cost


def test_a_build_without_entries_is_worth_nothing() -> None:
    found = estimate(Build(name="Plan", currency="USD"), date(2026, 1, 1), Options())
    assert found.lines == ()
    assert found.totals.replacement_cost == found.band.high == ZERO


def test_amounts_have_the_decimals_of_the_currency() -> None:
    def total(currency: str) -> str:
        found: Estimate = estimate(Build(name="Plan", currency=currency), date(2026, 1, 1), Options())
        return str(found.totals.replacement_cost)

    assert [total(currency) for currency in ("JPY", "USD", "KWD")] == ["0", "0.00", "0.000"]


@settings(max_examples=60, deadline=None)
@given(builds(), options)
def test_the_whole_by_a_schedule_and_the_work_add_up(build: Build, choices: Options) -> None:
    found = estimate(build, AS_OF, choices)
    whole, labor = found.whole_trailer_value, found.labor
    if whole is not None:
        assert whole.base == found.totals.replacement_cost
        assert whole.value == whole.actual_cash_value + whole.difference
        assert whole.actual_cash_value == found.totals.actual_cash_value
        assert ZERO <= whole.value <= whole.base
    done = [line for line in found.lines if line.kind == "labor"]
    for name, figure in (("paid", "historical_cost"), ("at_market", "direct_cost"), ("replacement_cost",) * 2):
        both = getattr(labor.own, name) + getattr(labor.hired, name)
        assert both == sum((getattr(line, figure) for line in done), ZERO)
