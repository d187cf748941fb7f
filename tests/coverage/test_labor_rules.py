"""Whether labor is depreciated: each rule of the estimate against each state of the policy's term."""

from datetime import date
from decimal import Decimal

import pytest
from msgspec.structs import replace

from hitchworth.appraisal import estimate, gap_statement
from hitchworth.model.answer import Answer
from hitchworth.model.build import Build
from hitchworth.model.entry import Component, Labor
from hitchworth.model.gap import GapStatement
from hitchworth.model.loss import Damage, Loss
from hitchworth.model.options import LaborDepreciation, Options
from hitchworth.model.request import GapRequest
from hitchworth.model.schedule import Schedule
from valued_builds import dollars, known_policy

AS_OF, BEFORE = date(2026, 11, 1), date(2021, 11, 1)
ONE = Decimal(1)
PANEL = Component(
    id="panel",
    description="Panel",
    category="body_panels",
    quantity=ONE,
    unit_cost=Decimal(1000),
    acquired_on=BEFORE,
    schedule=Schedule(method="straight_line", life_years=Decimal(10)),
)
WORK = Labor(
    id="fit",
    task="Fit the panel",
    hours=Decimal(10),
    rate=Decimal(60),
    performed_on=BEFORE,
    component_id="panel",
    hired=True,
    schedule=Schedule(method="straight_line", life_years=Decimal(20)),
)
BUILD = Build(name="trailer", currency="USD", jurisdiction="US-WA", components=(PANEL,), labor=(WORK,))
FIRE = Loss(name="fire", peril="fire")
QUARTER = Loss(
    name="hail",
    peril="hail",
    salvage_value=Decimal(0),
    extent="partial",
    damage=(Damage(id="panel", fraction=Decimal("0.25")), Damage(id="fit", fraction=Decimal("0.25"))),
)
WORTH = {"none": 1100, "with_component": 800, "own": 950}
"""Five years old by complete years. The panel: half of 1,000. The hours, 600: kept; half with the panel; by their own
schedule three quarters."""


def options(rule: LaborDepreciation) -> Options:
    return Options(labor_depreciation=rule, day_count="complete_years")


def stated(rule: LaborDepreciation, *answers: Answer, depreciates: bool | None, build: Build = BUILD) -> GapStatement:
    policy = known_policy("p", depreciates_labor=depreciates)
    request = GapRequest(
        build=build, policies=(policy,), losses=(FIRE, QUARTER), answers=answers, options=options(rule), as_of=AS_OF
    )
    return gap_statement(request, AS_OF)


@pytest.mark.parametrize("rule", ["none", "with_component", "own"])
def test_the_estimate_under_each_rule(rule: LaborDepreciation) -> None:
    valued = estimate(BUILD, AS_OF, options(rule))
    assert valued.totals.actual_cash_value == WORTH[rule]
    assert {name: getattr(valued.value_by_labor_rule, name) for name in WORTH} == WORTH


@pytest.mark.parametrize(
    ("rule", "depreciates", "as_estimate"),
    [
        ("none", False, "none"),
        ("with_component", False, "none"),
        ("own", False, "none"),
        ("none", True, "with_component"),  # the estimate says nothing of how, so with the part
        ("with_component", True, "with_component"),
        ("own", True, "own"),
    ],
)
def test_a_settlement_pays_what_the_estimate_says_under_the_rule_of_the_policy(
    rule: LaborDepreciation, *, depreciates: bool, as_estimate: LaborDepreciation
) -> None:
    found = stated(rule, depreciates=depreciates)
    value = estimate(BUILD, AS_OF, options(as_estimate)).totals.actual_cash_value
    fire, hail = found.settlements
    assert (fire.payable, hail.payable) == (value, value / 4)
    assert value == WORTH[as_estimate]
    assert fire.assumed == ()
    # The estimate of the statement itself is by the rule of the options, whatever the policy says.
    assert found.estimate.totals.actual_cash_value == WORTH[rule]


@pytest.mark.parametrize(
    ("rule", "worst"), [("none", "with_component"), ("with_component", "with_component"), ("own", "own")]
)
def test_not_known_is_depreciated_by_the_same_rule(rule: LaborDepreciation, worst: str) -> None:
    found = stated(rule, depreciates=None)
    fire, _ = found.settlements
    assert (fire.payable, fire.payable_at_best) == dollars(WORTH[worst], WORTH["none"])
    assert [(note.code, note.parameters["value"]) for note in fire.assumed] == [("assumed_depreciates_labor", "true")]
    (question,) = (each for each in found.questions if each.settles.term == "depreciates_labor")
    spread = WORTH["none"] - WORTH[worst]
    assert (question.money_at_stake.low, question.money_at_stake.high) == (Decimal(spread) / 4, Decimal(spread))
    assert [(each.value, each.payable.low) for each in question.plausible] == [
        (True, Decimal(WORTH[worst])),
        (False, Decimal(WORTH["none"])),
    ]
    assert [(each.loss, each.payable.low) for each in question.plausible[0].by_loss] == [
        ("fire", Decimal(WORTH[worst])),
        ("hail", Decimal(WORTH[worst]) / 4),
    ]


@pytest.mark.parametrize("rule", ["none", "with_component", "own"])
def test_an_answer_ends_the_question(rule: LaborDepreciation) -> None:
    answer = Answer(policy="p", term="depreciates_labor", value=False)
    found = stated(rule, answer, depreciates=None)
    assert found.settlements[0].payable == WORTH["none"]
    assert "depreciates_labor" not in {each.settles.term for each in found.questions}


@pytest.mark.parametrize("rule", ["none", "with_component", "own"])
def test_where_a_rule_bars_it_labor_keeps_its_value(rule: LaborDepreciation) -> None:
    # 10 CCR 2695.9(f)(1) (California)
    found = stated(rule, depreciates=None, build=replace(BUILD, jurisdiction="US-CA"))
    fire, _ = found.settlements
    assert (fire.payable, fire.payable_at_best) == dollars(1100, 1100)
    assert [note.code for note in fire.assumed] == ["labor_kept_by_rule"]
    # What the policy itself says goes before the rule.
    says_so = stated(rule, depreciates=True, build=replace(BUILD, jurisdiction="US-CA"))
    assert says_so.settlements[0].payable == WORTH["own" if rule == "own" else "with_component"]
    assert says_so.settlements[0].assumed == ()
