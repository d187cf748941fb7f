"""What a loss destroys: the damaged part of each line, the plain trailer, and the age of the trailer."""

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from coverage_strategies import policies, surroundings
from hitchworth.coverage.bases import BASES, worth_of
from hitchworth.coverage.claim import claim_of
from hitchworth.coverage.loss import LossContext, by_category, with_depreciation_cap
from hitchworth.model.estimate import EstimateLine
from hitchworth.model.loss import Damage, Loss
from hitchworth.model.policy import Policy
from hitchworth.reference.category_groups import CONTENTS, CUSTOM_EQUIPMENT, belongs
from valued_builds import DAY, USD, circumstances, dollars, known_policy, line, plain_trailer, settle

FIRE = Loss(name="fire", peril="fire", extent="total", occurred_on=DAY)
LINES = (
    line("frame", "chassis", "3000", "600"),
    line("axle", "axle_and_brakes", "1000", "500"),
    line("roof", "roof", "2000", "300"),
    line("hatch", "roof", "500", "50"),
    line("weld", "chassis", "400", "40", "labor"),
)


def aged(one: EstimateLine, years: str) -> EstimateLine:
    return replace(one, age_years=Decimal(years))


def test_a_total_loss_destroys_every_line() -> None:
    context = circumstances(FIRE, *LINES)
    assert context.lost == context.whole
    assert by_category(context.lost).replacement_cost == 690000
    assert [(each.depreciation, each.labor_depreciation) for each in context.lost] == [
        *((60000, 0), (50000, 0), (30000, 0), (5000, 0)),
        (0, 4000),
    ]


def test_damage_by_id_goes_before_damage_by_category() -> None:
    damage = (
        Damage(category="roof", fraction=Decimal("0.5")),
        Damage(id="hatch", fraction=Decimal("0.1")),
        Damage(id="weld", fraction=Decimal("0.25")),
    )
    context = circumstances(replace(FIRE, extent="partial", damage=damage), *LINES)
    assert [(each.category, each.replacement_cost, each.depreciation) for each in context.lost] == [
        ("roof", 100000, 15000),  # half of 2,000 and of 300
        ("roof", 5000, 500),  # a tenth of 500 and of 50
        ("chassis", 10000, 0),  # a quarter of the hours
    ]
    assert context.lost[2].labor_depreciation == 1000
    assert by_category(context.whole).replacement_cost == 690000


def test_what_is_not_damaged_is_not_lost() -> None:
    nothing = (Damage(category="roof", fraction=Decimal(0)),)
    assert circumstances(replace(FIRE, extent="partial", damage=nothing), *LINES).lost == ()


def test_base_components_are_parts_of_a_plain_trailer_but_no_labor() -> None:
    assert [each.is_base for each in circumstances(FIRE, *LINES).lost] == [True, True, False, False, False]
    assert [each.is_own_labor for each in circumstances(FIRE, *LINES, own_labor=True).lost] == [*[False] * 4, True]
    assert not any(each.is_own_labor for each in circumstances(FIRE, *LINES).lost)


def test_the_plain_trailer_without_a_price_is_the_base_components() -> None:
    plain = plain_trailer(circumstances(FIRE, *LINES))
    assert (plain.replacement_cost, plain.depreciation, plain.labor_depreciation) == (400000, 110000, 0)
    assert plain.is_base
    assert not plain.is_own_labor
    assert plain_trailer(circumstances(FIRE, LINES[2])).replacement_cost == 0


def test_the_plain_trailer_with_a_price_is_depreciated_like_the_base_components() -> None:
    # 1,100 of 4,000 are 27.5 percent: 687.50 of 2,500. Without base components nothing is known of its age.
    plain = plain_trailer(circumstances(FIRE, *LINES, comparable_price="2500"))
    assert (plain.replacement_cost, plain.depreciation) == (250000, 68750)
    new = plain_trailer(circumstances(FIRE, LINES[2], comparable_price="2500"))
    assert (new.replacement_cost, new.depreciation) == (250000, 0)


def test_the_trailer_is_as_old_as_its_oldest_base_component() -> None:
    frame, axle, roof, *_ = LINES
    ages = (aged(frame, "3"), aged(axle, "7.5"), aged(roof, "12"))
    assert circumstances(FIRE, *ages).age_years == Decimal("7.5")
    assert circumstances(FIRE, *reversed(ages)).age_years == Decimal("7.5")
    assert circumstances(FIRE, aged(roof, "2"), aged(LINES[3], "4")).age_years == 4
    # Labor on the chassis is no component of it.
    assert circumstances(FIRE, aged(roof, "2"), aged(LINES[4], "1")).age_years == 2
    assert circumstances(FIRE, aged(frame, "1"), aged(LINES[4], "9")).age_years == 1
    assert circumstances(FIRE).age_years == 0


def test_lines_of_a_category_are_added_up_with_own_labor_apart() -> None:
    sums = tuple(by_category(circumstances(FIRE, *LINES, own_labor=True).lost))
    assert [(each.category, each.replacement_cost, each.depreciation, each.is_own_labor) for each in sums] == [
        ("chassis", 300000, 60000, False),
        ("axle_and_brakes", 100000, 50000, False),
        ("roof", 250000, 35000, False),
        ("chassis", 40000, 0, True),
    ]
    assert sums[3].labor_depreciation == 4000
    assert [each.is_base for each in sums] == [True, True, False, False]
    joined = by_category(circumstances(FIRE, LINES[4], replace(LINES[4], id="again")).lost)
    assert [(each.replacement_cost, each.labor_depreciation) for each in joined] == [(80000, 8000)]


@settings(max_examples=40)
@given(surroundings(), policies(), st.booleans())
def test_what_lines_keep_is_what_each_line_comes_to(context: LossContext, policy: Policy, total: bool) -> None:
    claim = claim_of(policy, context)
    for lines in (claim.lost, claim.whole, claim.lost.base, claim.whole.without_own_labor):
        for figure in ("replacement_cost", "depreciation", "labor_depreciation", "obsolescence", "untaxed"):
            assert getattr(lines, figure) == sum(getattr(line, figure) for line in lines)
        assert all(line.untaxed in {0, line.replacement_cost} for line in lines)
        for basis in BASES.values():
            worth = [(line, basis.worth(line, claim, total=total)) for line in lines]
            for _ in range(2):  # found, and kept
                found = worth_of(basis, claim, lines, total=total)
                assert found.whole == sum(found.by_category.values()) == sum(each for _, each in worth)
                assert found.untaxed == sum(each for line, each in worth if line.untaxed)
        for name in ("chassis", "bedding", CONTENTS, CUSTOM_EQUIPMENT, "roof"):
            assert set(lines.named(name)) == {line.category for line in lines if belongs(line.category, name)}


def test_lines_without_own_labor_are_the_lines_themselves() -> None:
    lines = by_category(circumstances(FIRE, *LINES).lost)
    assert lines.without_own_labor is lines


@pytest.mark.parametrize(("cap", "kept"), [("0.1", (30000, 10000, 20000, 5000)), ("1", (60000, 50000, 30000, 5000))])
def test_depreciation_is_capped_line_by_line(cap: str, kept: tuple[int, ...]) -> None:
    capped = with_depreciation_cap(circumstances(FIRE, *LINES).lost, Decimal(cap), USD)
    assert tuple(each.depreciation for each in capped[:4]) == kept
    assert capped[4].labor_depreciation == 4000
    tighter = with_depreciation_cap(capped, Decimal("0.05"), USD)
    assert tighter[4].labor_depreciation == 2000


def test_where_nothing_was_lost_all_of_it_is_covered() -> None:
    nothing = replace(FIRE, extent="partial", damage=(Damage(category="roof", fraction=Decimal(0)),))
    settlement = settle(known_policy(), circumstances(nothing, *LINES))
    assert (settlement.replacement_cost, settlement.payable, settlement.share_covered) == dollars(0, 0, 1)
