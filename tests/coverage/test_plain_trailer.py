"""A plain trailer of the registered class: its parts with their labor, its price with wear, its plausible prices."""

from decimal import Decimal
from typing import Any

import pytest
from msgspec.structs import replace

from hitchworth.appraisal import gap_statement
from hitchworth.model.answer import Answer
from hitchworth.model.build import Base, Build, Obsolescence
from hitchworth.model.document import Sales
from hitchworth.model.entry import Component, Labor
from hitchworth.model.gap import GapStatement
from hitchworth.model.indirect_costs import IndirectCosts
from hitchworth.model.loss import Loss
from hitchworth.model.request import GapRequest
from hitchworth.model.sales_comparison import Comparable, Traits
from hitchworth.model.schedule import Schedule
from hitchworth.reference.plain_trailer_prices import plausible_prices, price_rows
from valuation_parts import BOUGHT, DAY
from valued_builds import known_policy

FIRE = Loss(name="fire", peril="fire")
BY_CLASS = known_policy("auto", settles_as="registered_class")
FRAME = Component(
    id="frame",
    description="Own frame",
    category="frame",
    quantity=Decimal(1),
    unit_cost=Decimal(1500),
    acquired_on=BOUGHT,
    condition=Decimal("0.5"),
    schedule="permits_schedule",
)
PANELS = replace(FRAME, id="panels", category="body_panels", unit_cost=Decimal(9000))
WELDING = Labor(
    id="weld",
    task="Weld it",
    hours=Decimal(40),
    rate=Decimal(80),
    performed_on=BOUGHT,
    component_id="frame",
    hired=True,
)
SCHEDULES = {"permits_schedule": Schedule(method="none")}
FACTS: dict[str, Any] = {"body_length_m": 3.9, "wheels": 2}


def statement(
    *parts: Component, labor: tuple[Labor, ...] = (), answers: tuple[Answer, ...] = (), **more: Any
) -> GapStatement:
    """The mismatch of a build that is registered as a utility trailer, on one fire."""
    given: dict[str, Any] = {"policies": (BY_CLASS,), "losses": (FIRE,)} | {
        key: more.pop(key) for key in ("policies", "losses", "sales_comparison") if key in more
    }
    fields = {"facts": FACTS, "registered_class": "utility_trailer", "jurisdiction": "US-WA"} | more
    build = Build(name="Trailer", currency="USD", components=parts, labor=labor, schedules=SCHEDULES, **fields)
    return gap_statement(GapRequest(build=build, answers=answers, **given), DAY)


def test_the_labor_that_serves_base_parts_belongs_to_the_plain_trailer() -> None:
    """Steel 1,500 at half, 750, and 3,200 of welding that the policy does not depreciate: 3,950."""
    by_parts = Base(kind="own frame", valued_by_parts=True)
    (found,) = statement(FRAME, PANELS, labor=(WELDING,), base=by_parts).settlements
    assert found.payable == 3950
    assert "assumed_comparable_price" not in {note.code for note in found.assumed}
    depreciated = replace(BY_CLASS, depreciates_labor=True)
    (found,) = statement(FRAME, PANELS, labor=(WELDING,), base=by_parts, policies=(depreciated,)).settlements
    assert found.payable == 750 + 1600


def test_a_price_wears_by_the_age_of_the_trailer_where_no_part_is_a_base_part() -> None:
    """4,000, four years old by the schedule of a chassis, 25 years to 20 percent: 1 - 0.8 x 4 / 25 = 0.872: 3,488; at a
    condition of 0.5 half of it.
    """
    base = Base(kind="own frame", comparable_price=Decimal(4000))
    (found,) = statement(PANELS, base=base).settlements
    assert float(found.payable) == pytest.approx(3488, abs=1)
    (worn,) = statement(PANELS, base=replace(base, condition=Decimal("0.5"))).settlements
    assert float(worn.payable) == pytest.approx(1744, abs=1)
    (new,) = statement(PANELS, base=replace(base, in_service_on=DAY)).settlements
    assert new.payable == 4000


def test_tax_comes_on_what_of_the_plain_trailer_carries_none() -> None:
    """Steel 1,500 and its tax of 150, at half 825; 3,200 of welding bear none, or 320 if the build taxes labor. A price
    of 4,000 for a trailer that is new carries none: 4,400.
    """
    taxed = replace(BY_CLASS, total_loss_tax_rate=Decimal("0.1"))
    frame, by_parts = replace(FRAME, tax=Decimal(150)), Base(kind="own frame", valued_by_parts=True)
    (found,) = statement(frame, PANELS, labor=(WELDING,), base=by_parts, policies=(taxed,)).settlements
    assert found.payable == 825 + 3200
    terms = IndirectCosts(tax_labor=True)
    (found,) = statement(
        frame, PANELS, labor=(WELDING,), indirect_costs=terms, base=by_parts, policies=(taxed,)
    ).settlements
    assert found.payable == 825 + 3200 + 320
    priced = Base(kind="flatbed", comparable_price=Decimal(4000), in_service_on=DAY)
    (found,) = statement(PANELS, base=priced, policies=(taxed,)).settlements
    assert found.payable == 4400


def test_the_price_and_the_worth_of_the_wreck_may_both_be_open() -> None:
    """Either is asked for, and one answer leaves the other open: 4,000 of a trailer like new. What was built is worth
    4,500, so of a wreck of 450 the plain trailer is 400.
    """
    kept = replace(FIRE, salvage_kept=True)
    both = statement(PANELS, losses=(kept,))
    assert {"comparable_price", "salvage_value"} <= {question.entry for question in both.questions}
    assumed = {note.code for note in both.settlements[0].assumed}
    assert {"assumed_comparable_price", "assumed_salvage_value"} <= assumed
    priced = Base(kind="flatbed", comparable_price=Decimal(4000), in_service_on=DAY)
    one = statement(PANELS, losses=(kept,), base=priced)
    assert "comparable_price" not in {question.entry for question in one.questions}
    assert "salvage_value" in {question.entry for question in one.questions}
    none = statement(PANELS, losses=(replace(kept, salvage_value=Decimal(450)),), base=priced)
    assert none.settlements[0].payable == 3600


# What was built is worth 9,450, the plain trailer 1,575, a sixth: of a wreck of 600 its part is 100. The step says so,
# and a note. Where it is not known, 40 percent of 1,575, 630, come off.
@pytest.mark.parametrize(("salvage", "payable"), [(Decimal(600), "1475.00"), (None, "945.00")])
def test_only_the_plain_trailers_part_of_the_wreck_comes_off(salvage: Decimal | None, payable: str) -> None:
    parts = (replace(FRAME, unit_cost=Decimal(3150)), replace(PANELS, unit_cost=Decimal(15750)))
    kept = replace(FIRE, salvage_kept=True, salvage_value=salvage)
    (found,) = statement(*parts, losses=(kept,), base=Base(kind="own frame", valued_by_parts=True)).settlements
    assert str(found.payable) == payable
    assert [step.code for step in found.steps][-1] == "salvage_in_proportion"
    assert [note.about for note in found.notes if note.code == "salvage_in_proportion"] == ["auto"]


def test_the_part_of_the_wreck_is_never_more_than_the_wreck() -> None:
    """A plain trailer of 30,000 is worth more than what was built, 4,500: that is owed, less all of the wreck."""
    kept = replace(FIRE, salvage_kept=True, salvage_value=Decimal(450))
    priced = Base(kind="flatbed", comparable_price=Decimal(30000), in_service_on=DAY)
    (found,) = statement(PANELS, losses=(kept,), base=priced).settlements
    assert found.payable == 4050


def test_a_wreck_that_was_bid_for_comes_off_whole_where_own_hours_do_not_count() -> None:
    """Parts of 4,500 and own hours of 3,200 that do not count. A bid of 700 is for all of it. A share that is assumed
    is one of the 4,500: 40 percent, 1,800.
    """
    policies = (replace(BY_CLASS, settles_as="built_use", counts_own_labor=False),)
    own = replace(WELDING, hired=False, rate=Decimal(0), market_rate=Decimal(80), component_id="panels")
    bid = replace(FIRE, salvage_kept=True, salvage_value=Decimal(700))
    (found,) = statement(PANELS, labor=(own,), losses=(bid,), policies=policies).settlements
    assert (str(found.payable), found.steps[-1].code) == ("3800.00", "salvage_kept")
    (found,) = statement(
        PANELS, labor=(own,), losses=(replace(bid, salvage_value=None),), policies=policies
    ).settlements
    assert (str(found.payable), found.steps[-1].code) == ("2700.00", "salvage_in_proportion")


def test_a_price_that_nobody_knows_is_asked_for_and_never_0() -> None:
    """One axle, 3.9 m: 2,000, 3,000 or 4,500 new; 0.872 of each is left: 1,744 to 3,924, a difference of 2,180."""
    found = statement(PANELS)
    (settlement,) = found.settlements
    assert float(settlement.payable) == pytest.approx(1744, abs=1)
    assert settlement.payable_at_best == 4500, "as what was built, at half of 9,000"
    assert [note.code for note in settlement.assumed] == ["assumed_verdict", "assumed_comparable_price"]
    (question,) = (each for each in found.questions if each.entry == "comparable_price")
    assert (question.to, question.settles.fact) == ("builder", "comparable_price")
    assert [answer.value for answer in question.plausible] == ["2000.00", "3000.00", "4500.00"]
    assert float(question.money_at_stake.high) == pytest.approx(2180, abs=1)


@pytest.mark.parametrize(("value", "paid"), [("3000", 2616), (4000, 3488)])
def test_an_answer_settles_it(value: object, paid: int) -> None:
    found = statement(PANELS, answers=(Answer(fact="comparable_price", value=value),))  # type: ignore[arg-type]
    assert float(found.settlements[0].payable) == pytest.approx(paid, abs=1)
    assert "comparable_price" not in {question.entry for question in found.questions}


def test_the_answer_none_values_it_by_its_parts() -> None:
    found = statement(FRAME, PANELS, labor=(WELDING,), answers=(Answer(fact="comparable_price", value="none"),))
    assert found.settlements[0].payable == 3950
    open_price = statement(FRAME, PANELS, labor=(WELDING,))
    (question,) = (each for each in open_price.questions if each.entry == "comparable_price")
    assert {"none", "2000.00"} <= {answer.value for answer in question.plausible}


@pytest.mark.parametrize(
    ("facts", "currency", "prices"),
    [
        ({"body_length_m": 2.4, "wheels": 2}, "USD", ["1500", "2000", "3500"]),
        ({"overall_length_m": "long", "wheels": 2}, "USD", ["1500", "3000", "6000"]),
        ({"overall_length_m": 6.2, "wheels": 4}, "USD", ["3200", "4500", "7500"]),
        ({"body_length_m": 9, "wheels": 4}, "USD", ["5500", "7000", "10000"]),
        ({}, "USD", ["1500", "3800", "10000"]),
        ({"body_length_m": 2.4, "wheels": 2}, "JPY", ["150000", "200000", "350000"]),
    ],
)
def test_plausible_prices(facts: dict[str, Any], currency: str, prices: list[str]) -> None:
    assert list(map(str, plausible_prices(facts, currency))) == prices


def test_every_row_rises_and_says_where_it_is_from() -> None:
    for row in price_rows():
        least, usual, greatest = map(Decimal, row.prices)
        assert 0 < least < usual < greatest
        assert "[found]" in row.source or "[from memory]" in row.source


def test_a_policy_that_deducts_obsolescence_and_one_that_does_not() -> None:
    """9,000 at half: 4,500; a fifth of it obsolete: 900."""
    obsolete = (Obsolescence(kind="functional", share=Decimal("0.2"), reason="more than buyers pay for"),)
    as_built = known_policy("auto", settles_as="built_use")
    (found,) = statement(PANELS, obsolescence=obsolete, policies=(as_built,)).settlements
    assert found.payable == 3600
    assert {part.cause: part.amount for part in found.gap_breakdown} == {"depreciation": 4500, "obsolescence": 900}
    (kept,) = statement(
        PANELS, obsolescence=obsolete, policies=(replace(as_built, deducts_obsolescence=False),)
    ).settlements
    assert kept.payable == 4500
    unknown = replace(as_built, deducts_obsolescence=None)
    (worst,) = statement(PANELS, obsolescence=obsolete, policies=(unknown,)).settlements
    assert [worst.payable, worst.payable_at_best] == [3600, 4500]
    # Cal. Ins. Code 2051(b) allows physical depreciation only, so nothing is open there.
    (there,) = statement(PANELS, obsolescence=obsolete, policies=(unknown,), jurisdiction="US-CA").settlements
    assert [there.payable, there.payable_at_best] == [4500, 4500]


def test_obsolescence_of_labor_follows_what_the_policy_takes_of_labor() -> None:
    """1,500 and 3,200, at half 750 and 1,600. A tenth: of 750 + 3,200 it is 395, of 750 + 1,600 it is 235."""
    obsolete = (Obsolescence(kind="economic", share=Decimal("0.1"), reason="no market"),)
    for depreciates, paid in ((False, 3950 - 395), (True, 2350 - 235)):
        policy = known_policy("auto", settles_as="built_use", depreciates_labor=depreciates)
        (found,) = statement(FRAME, labor=(WELDING,), obsolescence=obsolete, policies=(policy,)).settlements
        assert found.payable == paid


def test_the_market_value_of_comparable_sales_reaches_the_settlement() -> None:
    """Sales at 4,000 and 3,000, weighed alike: 3,500, below the 4,500 by cost."""
    sold = [
        Comparable(description=name, price=Decimal(price), sold_on=BOUGHT, source="a listing")
        for name, price in (("first", 4000), ("second", 3000))
    ]
    sales = Sales(subject=Traits(), comparables=tuple(sold))
    policy = known_policy("auto", settles_as="built_use", values_by="market_value")
    found = statement(PANELS, sales_comparison=sales, policies=(policy,))
    assert found.settlements[0].payable == 3500
    assert found.estimate.value_range is not None
    assert found.estimate.value_range.low == 3500
    assert origins(found) == (["market_value_sales_comparison"], ["3500.00"])
    entered = statement(PANELS, sales_comparison=sales, policies=(policy,), market_value=Decimal(4200))
    assert entered.settlements[0].payable == 4200
    assert origins(entered) == (["market_value_entered"], ["4200"])
    answered = statement(PANELS, policies=(policy,), answers=(Answer(fact="market_value", value="4100"),))
    assert answered.settlements[0].payable == 4100
    assert origins(answered) == (["market_value_answered"], ["4100"])
    by_cost = statement(
        PANELS, policies=(replace(policy, values_by="cost_less_depreciation"),), market_value=Decimal(9)
    )
    assert [note.code for note in by_cost.settlements[0].notes] == []
    assert "market_value_entered" in {note.code for note in by_cost.estimate.notes}
    of_policy = replace(policy, basis="market_value", amount=Decimal(3000))
    agreed = statement(PANELS, policies=(of_policy,), market_value=Decimal(4200))
    assert agreed.settlements[0].payable == 3000
    assert agreed.settlements[0].notes == ()


def origins(found: GapStatement) -> tuple[list[str], list[str]]:
    """The codes and the amounts of the notes on the market value: the same in the estimate and in the settlement."""
    of_estimate, of_settlement = (
        [note for note in notes if note.code.startswith("market_value")]
        for notes in (found.estimate.notes, found.settlements[0].notes)
    )
    assert of_estimate == of_settlement
    return [note.code for note in of_estimate], [note.parameters["amount"] for note in of_estimate]
