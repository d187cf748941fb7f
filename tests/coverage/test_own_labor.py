"""The builder's own hours: counted or not, with labor depreciated or not."""

from decimal import Decimal

import pytest
from msgspec.structs import replace

from hitchworth.coverage.loss import LossContext
from hitchworth.model.loss import Damage, Loss
from hitchworth.model.policy import Policy
from valued_builds import DAY, circumstances, dollars, known_policy, line, settle

FIRE = Loss(name="fire", peril="fire", extent="total", occurred_on=DAY)
HALF = replace(
    FIRE,
    extent="partial",
    damage=(Damage(id="panels", fraction=Decimal("0.5")), Damage(id="build it", fraction=Decimal("0.5"))),
)
PANELS = replace(FIRE, extent="partial", damage=(Damage(id="panels", fraction=Decimal(1)),))
LINES = (
    line("frame", "chassis", "3000", "600"),
    line("panels", "body_panels", "8000", "800"),
    line("build it", "labor", "9000", "900", "labor"),
)
OWN, HIRED = (circumstances(FIRE, *LINES, own_labor=own) for own in (True, False))
POLICY = known_policy()


def around(loss: Loss, **fields: object) -> LossContext:
    return circumstances(loss, *LINES, own_labor=True, **fields)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("counts", "depreciates", "total", "partial"),
    [
        # Counted: 20,000 - 1,400 = 18,600, and with labor depreciated 17,700. Half: 4,000 + 4,500 - 400 = 8,100,
        # or 7,650.
        (True, False, 18600, 8100),
        (True, True, 17700, 7650),
        # Not counted: 11,000 - 1,400 = 9,600 and 4,000 - 400 = 3,600, whatever is said of labor.
        (False, False, 9600, 3600),
        (False, True, 9600, 3600),
    ],
)
def test_own_hours_in_or_out(*, counts: bool, depreciates: bool, total: int, partial: int) -> None:
    policy = replace(POLICY, counts_own_labor=counts, depreciates_labor=depreciates)
    assert (settle(policy, OWN).payable, settle(policy, around(HALF)).payable) == dollars(total, partial)


def test_the_steps_and_the_gap_name_own_hours() -> None:
    found = settle(replace(POLICY, counts_own_labor=False), OWN)
    assert [(step.code, str(step.amount)) for step in found.steps] == [
        ("replacement_cost_new", "20000.00"),
        ("own_labor", "-9000.00"),
        ("depreciation", "-1400.00"),
    ]
    assert {part.cause: part.amount for part in found.gap_breakdown} == {"own_labor": 9000, "depreciation": 1400}


def test_hours_that_somebody_was_paid_for_count_always() -> None:
    assert settle(replace(POLICY, counts_own_labor=False), HIRED).payable == 18600
    assert settle(replace(POLICY, counts_own_labor=None), HIRED).assumed == ()


def test_not_known_is_not_counted() -> None:
    found = settle(replace(POLICY, counts_own_labor=None), OWN)
    assert (found.payable, found.payable_at_best) == dollars(9600, 18600)
    assert [(note.code, note.parameters["value"]) for note in found.assumed] == [("assumed_counts_own_labor", "false")]


def test_where_own_hours_do_not_count_nobody_asks_about_their_depreciation() -> None:
    found = settle(replace(POLICY, counts_own_labor=False, depreciates_labor=None), OWN)
    assert (found.payable, found.payable_at_best) == dollars(9600, 9600)
    assert found.assumed == ()


def test_new_for_old_leaves_own_hours_out_too() -> None:
    policy = replace(POLICY, basis="replacement_cost", counts_own_labor=False, holdback=False)
    assert settle(policy, OWN).payable == 11000


def test_an_agreed_value_is_not_taken_apart_but_a_repair_is() -> None:
    agreed = replace(POLICY, basis="agreed_value", amount=Decimal(15000), counts_own_labor=False)
    assert settle(agreed, OWN).payable == 15000
    assert settle(agreed, around(HALF)).payable == 4000  # the panels' half, new
    assert settle(replace(agreed, counts_own_labor=None), OWN).assumed == ()


@pytest.mark.parametrize(("counts", "paid", "extent"), [(True, 7200, "partial"), (False, 9600, "total")])
def test_the_value_that_a_repair_is_compared_with_has_the_same_hours(*, counts: bool, paid: int, extent: str) -> None:
    # The panels, 8,000, against 75 % of 18,600 = 13,950 with own hours, or of 9,600 = 7,200 without.
    policy = replace(POLICY, counts_own_labor=counts, total_loss_threshold=Decimal("0.75"))
    found = settle(policy, around(PANELS))
    assert found.payable == paid
    assert found.extent == extent


def test_the_hours_of_the_repair_count_toward_the_threshold_only_where_they_are_counted() -> None:
    # Half of all but the frame: 8,500 with own hours against 45 % of 18,600 = 8,370; 4,000 without against 4,320.
    policy = replace(POLICY, total_loss_threshold=Decimal("0.45"))
    assert settle(policy, around(HALF)).extent == "total"
    assert settle(replace(policy, counts_own_labor=False), around(HALF)).extent == "partial"


@pytest.mark.parametrize(("counts", "paid"), [(True, "1548.39"), (False, "3000.00")])
def test_coinsurance_looks_at_the_hours_that_are_counted(*, counts: bool, paid: str) -> None:
    # Half of the panels: 4,000 - 400 = 3,600. Insured 8,000 of 18,600: 1,548.39. Of 9,600 without own hours: 3,000.
    half = replace(PANELS, damage=(Damage(id="panels", fraction=Decimal("0.5")),))
    policy = replace(POLICY, counts_own_labor=counts, limit=Decimal(8000), coinsurance_rate=Decimal(1))
    assert settle(policy, around(half)).payable == Decimal(paid)


@pytest.mark.parametrize("settles_as", ["registered_class", "built_use"])
def test_a_plain_trailer_is_compared_with_what_is_counted(settles_as: str) -> None:
    # A plain trailer is 5,000. Built: frame 4,000 and own hours 6,000, which do not count: 4,000, by class as well.
    frame, work = line("frame", "chassis", "4000"), line("work", "labor", "6000", kind="labor")
    context = circumstances(FIRE, frame, work, own_labor=True, verdict="mismatch", comparable_price="5000")
    policy: Policy = replace(POLICY, counts_own_labor=False, settles_as=settles_as)
    assert settle(policy, context).payable == 4000
    # Counted, the built one is 10,000, and by class the plain one is owed.
    counted = settle(replace(policy, counts_own_labor=True), context).payable
    assert counted == (5000 if settles_as == "registered_class" else 10000)
