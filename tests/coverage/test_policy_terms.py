"""The terms of a policy beyond the four steps: each changes the payment as it says, and can be redone by hand."""

from datetime import date
from decimal import Decimal

import pytest
from msgspec.structs import replace

from hitchworth.model.loss import Damage, Loss
from hitchworth.model.policy import PerilDeductible, Policy, Sublimit
from valued_builds import DAY, circumstances, dollars, known_policy, line, settle

FIRE = Loss(name="fire", peril="fire", extent="total", occurred_on=DAY)
HAIL = replace(FIRE, name="hail", peril="hail", extent="partial", damage=(Damage(id="roof", fraction=Decimal(1)),))
LINES = (
    line("frame", "chassis", "4000", "400"),
    line("roof", "roof", "3000", "1200"),
    line("tools", "hand_tools", "1000", "500"),
    line("build it", "labor", "2000", "0", "labor"),
)
NEW = known_policy("p", basis="replacement_cost", settles_as="built_use", depreciates_labor=False, holdback=False)
WORN = replace(NEW, basis="actual_cash_value")


def payable(policy: Policy, loss: Loss = FIRE) -> Decimal:
    return settle(policy, circumstances(loss, *LINES)).payable


@pytest.mark.parametrize(
    ("deductible", "paid"),
    [
        (PerilDeductible(peril="hail", amount=Decimal(250)), 2750),
        (PerilDeductible(peril="hail", rate=Decimal("0.1"), applies_to="loss"), 2700),
        (PerilDeductible(peril="hail", rate=Decimal("0.02"), applies_to="value"), 2800),  # 2 % of the whole, 10,000
        (PerilDeductible(peril="hail", rate=Decimal("0.05"), applies_to="limit"), 2600),  # 5 % of 8,000
        (PerilDeductible(peril="hail", rate=Decimal("0.1"), applies_to="loss", minimum=Decimal(500)), 2500),
        (PerilDeductible(peril="flood", amount=Decimal(250)), 2000),  # another peril's: the policy's own 1,000
    ],
)
def test_deductible_by_peril(deductible: PerilDeductible, paid: int) -> None:
    policy = replace(NEW, deductible=Decimal(1000), limit=Decimal(8000), peril_deductibles=(deductible,))
    assert payable(policy, HAIL) == paid


def test_depreciation_is_capped_line_by_line() -> None:
    # Of the roof 40 % would come off, of the tools 50 %: 30 % at most are 900 and 300; the frame's 10 % stay.
    assert payable(replace(WORN, depreciation_cap=Decimal("0.3"))) == 10000 - 400 - 900 - 300


def test_betterment_comes_off_a_partial_loss_only() -> None:
    policy = replace(NEW, betterment_categories=("roof",))
    assert payable(policy, HAIL) == 1800
    assert payable(policy) == 10000


def test_replacement_cost_turns_into_actual_cash_value_with_age() -> None:
    aged = tuple(replace(each, age_years=Decimal("6.5")) for each in LINES)
    around = circumstances(FIRE, *aged)
    assert settle(replace(NEW, replacement_years=Decimal("6.5")), around).payable == 10000
    older = settle(replace(NEW, replacement_years=Decimal(6)), around)
    assert older.payable == 7900
    assert [note.code for note in older.notes] == ["too_old_for_replacement_cost"]


def test_held_back_until_the_deadline() -> None:
    settlement = settle(replace(NEW, holdback=True, holdback_days=180), circumstances(FIRE, *LINES))
    assert (settlement.payable_now, settlement.recoverable_depreciation) == dollars(7900, 2100)
    assert settlement.recoverable_until == date(2027, 4, 30)


def test_the_last_deadline_is_the_last_day_of_the_calendar() -> None:
    almost = replace(FIRE, occurred_on=date(9999, 12, 30))
    for days, deadline in ((1, date.max), (2, None)):
        policy = replace(NEW, holdback=True, holdback_days=days)
        assert settle(policy, circumstances(almost, *LINES)).recoverable_until == deadline


@pytest.mark.parametrize(
    ("terms", "noted"),
    [
        ({"coinsurance_rate": "0.8"}, True),  # no limit and no amount: nothing to compare with the value
        ({"coinsurance_rate": "0.8", "limit": "5000"}, False),
        ({"coinsurance_rate": "0.8", "amount": "5000"}, False),
        ({"coinsurance_rate": "0.8", "amount": "5000", "limit": "5000"}, False),
        ({"coinsurance_rate": "0"}, False),
    ],
)
def test_a_coinsurance_clause_without_an_amount_of_insurance_is_noted(terms: dict[str, str], *, noted: bool) -> None:
    policy = replace(WORN, **{name: Decimal(value) for name, value in terms.items()})
    codes = [note.code for note in settle(policy, circumstances(FIRE, *LINES)).notes]
    assert codes == (["coinsurance_without_limit"] if noted else [])


def test_deadline_past_the_end_of_the_calendar_is_none() -> None:
    last = replace(FIRE, occurred_on=date.max)
    assert settle(replace(NEW, holdback=True, holdback_days=1), circumstances(last, *LINES)).recoverable_until is None


def test_partial_loss_over_the_threshold_is_a_total_loss() -> None:
    # Repair 3,000 of 7,900 actual cash value is 38 %.
    around = circumstances(HAIL, *LINES)
    partial = settle(replace(WORN, total_loss_threshold=Decimal("0.38")), around)
    total = settle(replace(WORN, total_loss_threshold=Decimal("0.37")), around)
    assert (partial.extent, partial.payable) == ("partial", Decimal(1800))
    assert (total.extent, total.payable, total.replacement_cost) == ("total", Decimal(7900), Decimal(10000))
    assert [note.code for note in total.notes] == ["total_loss_share_of_policy", "constructive_total_loss"]


def test_total_loss_formula() -> None:
    # Published example of the formula: value 10,000, repair 7,500, salvage 500: 8,000 is below 10,000, no total loss.
    lines = (line("roof", "roof", "7500"), line("rest", "body", "2500"))
    hurt = replace(HAIL, salvage_value=Decimal(500))
    assert settle(WORN, circumstances(hurt, *lines)).extent == "partial"
    assert settle(WORN, circumstances(replace(hurt, salvage_value=Decimal(2500)), *lines)).extent == "total"


def test_salvage_kept_comes_off_the_payment() -> None:
    # SFIP, salvage clause: the insured may keep the salvage, and the payment is less by its value.
    kept = replace(FIRE, salvage_value=Decimal(600), salvage_kept=True)
    settlement = settle(replace(NEW, deductible=Decimal(1000)), circumstances(kept, *LINES))
    assert settlement.payable == 8400
    assert settlement.steps[-1].code == "salvage_kept"
    assert payable(NEW, replace(kept, salvage_kept=False)) == 10000


def test_the_insured_loss_is_the_loss_with_tax_and_without_the_salvage_before_the_terms() -> None:
    # Worth 7,900. Tax of 10 % on 7,900 - 600 = 730, fees 50; the wreck of 600 is kept: 8,080. Deductible and limit come
    # later: 8,680 - 1,000, at most 5,000, less the wreck.
    policy = replace(
        WORN,
        total_loss_tax_rate=Decimal("0.1"),
        total_loss_fees=Decimal(50),
        deductible=Decimal(1000),
        limit=Decimal(5000),
    )
    kept = replace(FIRE, salvage_value=Decimal(600), salvage_kept=True)
    found = settle(policy, circumstances(kept, *LINES))
    assert (found.insured_loss, found.payable) == dollars(8080, 4400)
    # Not kept, it comes off nowhere: 7,900 + 790 + 50.
    sold = settle(policy, circumstances(replace(kept, salvage_kept=False), *LINES))
    assert (sold.insured_loss, sold.payable) == dollars(8740, 5000)
    # Of a repair there is no wreck.
    hail = replace(HAIL, salvage_value=Decimal(600), salvage_kept=True)
    assert settle(policy, circumstances(hail, *LINES)).insured_loss == 1800
    # A wreck that is worth more than the trailer leaves nothing.
    dear = replace(FIRE, salvage_value=Decimal(9000), salvage_kept=True)
    assert settle(policy, circumstances(dear, *LINES)).insured_loss == 0


def test_sublimit_of_a_group() -> None:
    contents = replace(NEW, sublimits=(Sublimit(category="contents", amount=Decimal(300)),))
    assert payable(contents) == 9300
    # All that a plain trailer does not have and that is not contents: roof and labor, 5,000.
    custom = replace(NEW, sublimits=(Sublimit(category="custom_equipment", amount=Decimal(1500)),))
    assert payable(custom) == 6500


def test_tax_and_fees_of_a_total_loss() -> None:
    """7,900 of 10,000 are left, and 790 of tax. Replacing costs 11,000 and the fees; tax on the wear is not paid."""
    policy = replace(WORN, total_loss_tax_rate=Decimal("0.1"), total_loss_fees=Decimal("87.50"))
    settlement = settle(policy, circumstances(FIRE, *LINES))
    assert settlement.payable == Decimal("8777.50")
    assert settlement.replacement_cost == Decimal("11087.50")
    assert settlement.gap == Decimal(2310)
    assert [(part.cause, part.amount) for part in settlement.gap_breakdown] == [
        ("depreciation", Decimal(2100)),
        ("tax_and_fees", Decimal(210)),
    ]


def test_under_construction() -> None:
    around = circumstances(FIRE, *LINES)
    building = replace(around, build=replace(around.build, completed_on=date(2026, 12, 24)))
    assert settle(replace(NEW, covers_under_construction=True), building).payable == 10000
    uncovered = settle(replace(NEW, covers_under_construction=False), building)
    assert (uncovered.payable, [part.cause for part in uncovered.gap_breakdown]) == (Decimal(0), ["under_construction"])


@pytest.mark.parametrize(("salvage_kept", "replaced"), [(True, True), (False, False)])
def test_share_covered_is_payable_over_cost(salvage_kept: bool, replaced: bool) -> None:
    loss = replace(FIRE, salvage_value=Decimal(3333), salvage_kept=salvage_kept, replaced=replaced)
    settlement = settle(NEW, circumstances(loss, *LINES))
    assert settlement.share_covered == Decimal("0.6667" if salvage_kept else "0.7900")


@pytest.mark.parametrize("order", [("roof", "custom_equipment"), ("custom_equipment", "roof")])
def test_overlapping_sublimits_are_not_taken_twice(order: tuple[str, ...]) -> None:
    # Roof 3,000 and labor 2,000 are custom equipment. Roof first: 1,000 are left of it, with the labor 3,000, capped at
    # 1,500. The group first: 1,500 are left of the 5,000, so 900 of the roof, which is below its own 1,000.
    amounts = {"roof": Decimal(1000), "custom_equipment": Decimal(1500)}
    policy = replace(NEW, sublimits=tuple(Sublimit(category=name, amount=amounts[name]) for name in order))
    assert payable(policy) == 6500


def test_steps_that_the_order_does_not_name_follow_as_by_default() -> None:
    policy = replace(NEW, order=("limit",), limit=Decimal(5000), deductible=Decimal(500))
    assert payable(policy) == 4500


def test_perils_are_named_in_any_case() -> None:
    assert payable(replace(NEW, excluded_perils=("FIRE",))) == 0


def test_every_amount_has_the_decimals_of_the_currency() -> None:
    kept = replace(FIRE, salvage_value=Decimal("10.12345"), salvage_kept=True)
    assert payable(NEW, kept) == Decimal("9989.88")
    least = PerilDeductible(peril="fire", amount=Decimal(1), minimum=Decimal("100.123456"))
    assert payable(replace(NEW, peril_deductibles=(least,))) == Decimal("9899.88")


def test_the_class_is_named_only_where_it_took_something() -> None:
    by_class = replace(WORN, settles_as="registered_class")
    taken = settle(by_class, circumstances(FIRE, *LINES, verdict="mismatch"))
    assert [note.code for note in taken.notes] == ["settled_by_registered_class"]
    assert settle(by_class, circumstances(FIRE, LINES[0], verdict="mismatch")).notes == ()


def test_by_class_the_terms_look_at_the_plain_trailer() -> None:
    # The plain trailer is the frame, 4,000: a 100 % clause is met by a limit of 5,000, and 10 % of its value are 400.
    by_class = replace(NEW, settles_as="registered_class", limit=Decimal(5000), coinsurance_rate=Decimal(1))
    share = PerilDeductible(peril="fire", rate=Decimal("0.1"), applies_to="value")
    around = circumstances(FIRE, *LINES, verdict="mismatch")
    assert settle(by_class, around).payable == 4000
    assert settle(replace(by_class, peril_deductibles=(share,)), around).payable == 3600


def test_wear_of_the_plain_trailer_is_capped_too() -> None:
    by_class = replace(WORN, settles_as="registered_class", depreciation_cap=Decimal("0.05"))
    around = circumstances(FIRE, *LINES, verdict="mismatch", comparable_price="3000")
    assert settle(by_class, around).payable == 2850


def test_betterment_of_one_line_does_not_loosen_the_sublimit_of_another() -> None:
    # Roof 3,000, sublimit 2,000; tools 1,000 half worn with betterment: 2,000 + 500.
    hit = replace(HAIL, damage=(Damage(id="roof", fraction=Decimal(1)), Damage(id="tools", fraction=Decimal(1))))
    policy = replace(
        NEW,
        betterment_categories=("hand_tools",),
        sublimits=(Sublimit(category="roof", amount=Decimal(2000)),),
        total_loss_threshold=Decimal(1),
    )
    assert payable(policy, hit) == 2500


def test_tax_on_top_is_in_no_sublimit() -> None:
    roof = Sublimit(category="roof", amount=Decimal(3000))
    assert payable(replace(NEW, total_loss_tax_rate=Decimal("0.1"), sublimits=(roof,))) == 11000


def test_stated_amount_on_a_repair_is_the_least_of_three() -> None:
    # Repair 3,000, actual cash value of the trailer 7,900.
    stated = replace(WORN, basis="stated_amount", amount=Decimal(25000), total_loss_threshold=Decimal(1))
    assert payable(stated, HAIL) == 3000
    assert payable(replace(stated, amount=Decimal(2500)), HAIL) == 2500
