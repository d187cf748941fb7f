"""The limits of custom equipment and of contents."""

from decimal import Decimal

import pytest
from msgspec.structs import replace

from hitchworth.model.loss import Damage, Loss
from hitchworth.model.policy import Policy, PolicyKind, SettlementStep
from valued_builds import DAY, circumstances, dollars, known_policy, line, settle

FIRE = Loss(name="fire", peril="fire", extent="total", occurred_on=DAY)
HALF = replace(
    FIRE,
    extent="partial",
    damage=(Damage(category="body_panels", fraction=Decimal("0.5")), Damage(id="bedding", fraction=Decimal(1))),
)
PANELS = replace(FIRE, extent="partial", damage=(Damage(category="body_panels", fraction=Decimal("0.5")),))
LINES = (
    line("frame", "chassis", "3000", "600"),
    line("panels", "body_panels", "8000", "800"),
    line("stove", "stove", "2000", "400"),
    line("bedding", "bedding", "500", "200"),
)
"""Worth 2,400 + 7,200 + 1,600 + 300 = 11,500. Custom equipment: panels and stove, 8,800; contents: the bedding, 300."""

TOTAL, PARTIAL = circumstances(FIRE, *LINES), circumstances(HALF, *LINES)
POLICY = known_policy()


def with_limits(*, custom: int | None = None, contents: int | None = None, **terms: object) -> Policy:
    amounts = {"custom_equipment_limit": custom, "contents_limit": contents}
    given = {name: Decimal(amount) for name, amount in amounts.items() if amount is not None}
    return known_policy("p", **given, **terms)


@pytest.mark.parametrize(
    ("custom", "contents", "total", "partial"),
    [
        (None, None, 11500, 3900),  # half of the panels 3,600, and the bedding 300
        (3000, None, 5700, 3300),  # 8,800 to 3,000; 3,600 to 3,000
        (0, None, 2700, 300),
        (9000, None, 11500, 3900),
        (None, 100, 11300, 3700),
        (None, 0, 11200, 3600),
        (3000, 100, 5500, 3100),
        (0, 0, 2400, 0),
    ],
)
def test_what_is_paid_under_each_limit(custom: int | None, contents: int | None, total: int, partial: int) -> None:
    policy = with_limits(custom=custom, contents=contents)
    assert (settle(policy, TOTAL).payable, settle(policy, PARTIAL).payable) == dollars(total, partial)


def test_the_steps_name_the_group_and_its_limit() -> None:
    found = settle(with_limits(custom=3000, contents=100), TOTAL)
    assert [(int(step.amount), step.parameters) for step in found.steps if step.code == "sublimit"] == [
        (-200, {"category": "contents", "most": "100.00"}),
        (-5800, {"category": "custom_equipment", "most": "3000.00"}),
    ]
    assert {part.cause: part.amount for part in found.gap_breakdown} == {"depreciation": 2000, "sublimits": 6000}


def test_new_for_old_the_limits_look_at_what_it_costs() -> None:
    # 13,500 new; custom equipment 10,000 to 3,000, contents 500 to 100.
    policy = with_limits(custom=3000, contents=100, basis="replacement_cost", holdback=False)
    assert settle(policy, TOTAL).payable == 13500 - 7000 - 400


@pytest.mark.parametrize(
    ("order", "paid"),
    [
        # Insured 9,200 of 11,500, four fifths. Custom equipment to 3,000 first: 5,700 x 0.8. After it: 9,200 with
        # 7,040 of custom equipment, so 4,040 come off.
        (("sublimits", "coinsurance", "deductible", "limit"), 4560),
        (("coinsurance", "sublimits", "deductible", "limit"), 5160),
    ],
)
def test_before_or_after_coinsurance(order: tuple[SettlementStep, ...], paid: int) -> None:
    policy = with_limits(custom=3000, limit=Decimal(9200), coinsurance_rate=Decimal(1), order=order)
    assert settle(policy, TOTAL).payable == paid


def test_after_the_deductible() -> None:
    # 10 % off: 10,350 with 7,920 of custom equipment, to 3,000.
    policy = with_limits(custom=3000, deductible=Decimal(1150), order=("deductible", "sublimits"))
    assert settle(policy, TOTAL).payable == 10350 - 4920
    # Before it: 5,700 - 1,150.
    assert settle(replace(policy, order=("sublimits", "deductible")), TOTAL).payable == 4550


def test_tax_is_in_no_group() -> None:
    # 11,500 and 10 % tax; custom equipment 8,800 to 3,000.
    assert settle(with_limits(custom=3000, total_loss_tax_rate=Decimal("0.1")), TOTAL).payable == 12650 - 5800


@pytest.mark.parametrize(
    ("kind", "worst", "best", "assumed"),
    [
        # An auto form: custom equipment to 1,000, contents not at all: 2,400 + 1,000. At best the former as the rest.
        ("commercial", 3400, 11200, {"custom_equipment_limit": "1000.00"}),
        # An RV form: contents perhaps.
        ("recreational_vehicle", 3400, 11500, {"custom_equipment_limit": "1000.00", "contents_limit": "0.00"}),
        # A household form has neither limit; builder's risk may leave contents out.
        ("homeowners", 11500, 11500, {}),
        ("builders_risk", 11200, 11500, {"contents_limit": "0.00"}),
    ],
)
def test_not_known_by_kind(kind: PolicyKind, *, worst: int, best: int, assumed: dict[str, str]) -> None:
    policy = replace(POLICY, kind=kind, without=("limit", "total_loss_threshold"))
    found = settle(policy, TOTAL)
    assert (found.payable, found.payable_at_best) == dollars(worst, best)
    named = {note.code.removeprefix("assumed_"): note.parameters["value"] for note in found.assumed}
    assert named == assumed


def test_a_limit_matters_only_where_its_group_is_lost() -> None:
    unknown = replace(POLICY, without=("limit", "total_loss_threshold"), kind="recreational_vehicle")
    codes = {note.code for note in settle(unknown, circumstances(PANELS, *LINES)).assumed}
    assert codes == {"assumed_custom_equipment_limit"}
    frame = circumstances(FIRE, LINES[0])
    assert settle(unknown, frame).assumed == ()
    worthless = circumstances(FIRE, LINES[0], line("bedding", "bedding", "500", "500"))
    assert settle(unknown, worthless).assumed == ()


def test_an_agreed_value_has_no_parts_but_a_repair_has() -> None:
    policy = with_limits(custom=3000, basis="agreed_value", amount=Decimal(10000))
    assert settle(policy, TOTAL).payable == 10000
    # New: half of the panels 4,000 to 3,000, and the bedding 500.
    assert settle(policy, PARTIAL).payable == 3500
    unknown = replace(policy, custom_equipment_limit=None, without=("limit",))
    assert settle(unknown, TOTAL).assumed == ()


def test_a_plain_trailer_is_no_custom_equipment() -> None:
    by_class = with_limits(custom=1000, settles_as="registered_class")
    around = circumstances(FIRE, *LINES, verdict="mismatch", comparable_price="2500")
    # 2,500 less a fifth, as the frame.
    assert settle(by_class, around).payable == 2000
    unknown = replace(by_class, custom_equipment_limit=None, contents_limit=None, without=("limit",))
    assert settle(unknown, around).assumed == ()
    # By class and cheap: what was built is owed, and of that the limit of custom equipment.
    dear = circumstances(FIRE, *LINES, verdict="mismatch", comparable_price="90000")
    assert settle(by_class, dear).payable == 2400 + 1000 + 300
