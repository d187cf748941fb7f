"""How the insurer finds actual cash value: cost less depreciation, market value, or the broad evidence of both."""

from decimal import Decimal

import pytest
from msgspec.structs import replace

from hitchworth.coverage.outcomes import Outcomes
from hitchworth.model.loss import Damage, Loss
from hitchworth.model.policy import Policy, Sublimit
from hitchworth.model.settlement import Settlement
from valued_builds import DAY, circumstances, dollars, known_policy, line, settle

FIRE = Loss(name="fire", peril="fire", extent="total", occurred_on=DAY)
LINES = (line("frame", "chassis", "8000", "2000"), line("panels", "body_panels", "12000", "3000"))
"""20,000 to replace, 15,000 after depreciation."""

MARKET = known_policy(values_by="market_value")


def hit(name: str, fraction: str) -> Loss:
    return replace(
        FIRE, extent="partial", damage=(Damage(id=name, fraction=Decimal(fraction)),), salvage_value=Decimal(0)
    )


def settled(policy: Policy, market: int | None, loss: Loss = FIRE, **fields: object) -> Settlement:
    value = None if market is None else Decimal(market)
    return settle(policy, circumstances(loss, *LINES, market_value=value, **fields))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("market", "paid", "gap"),
    [
        (12000, 12000, {"depreciation": 5000, "market": 3000}),  # below the 15,000 by cost
        (15000, 15000, {"depreciation": 5000}),
        (18000, 18000, {"depreciation": 5000, "market": -3000}),  # above it
        (25000, 20000, {"depreciation": 5000, "market": -5000}),  # never more than new
    ],
)
def test_a_total_loss_by_market_value(market: int, paid: int, gap: dict[str, int]) -> None:
    found = settled(MARKET, market)
    assert found.payable == paid
    assert {part.cause: part.amount for part in found.gap_breakdown} == gap


@pytest.mark.parametrize("market", [12000, 18000, None])
def test_cost_less_depreciation_does_not_look_at_the_market(market: int | None) -> None:
    found = settled(replace(MARKET, values_by="cost_less_depreciation"), market)
    assert found.payable == 15000
    assert found.assumed == ()


@pytest.mark.parametrize("values_by", [None, "broad_evidence"])
@pytest.mark.parametrize(
    ("market", "worst", "best", "assumed"),
    [
        (12000, 12000, 15000, ["market_value"]),
        (18000, 15000, 18000, ["cost_less_depreciation"]),
        (15000, 15000, 15000, []),
        (None, 15000, 15000, []),  # nobody entered a market value, so none can be computed
    ],
)
def test_broad_evidence_and_not_known_may_come_to_either(
    values_by: str | None, market: int | None, *, worst: int, best: int, assumed: list[str]
) -> None:
    policy: Policy = replace(MARKET, values_by=values_by)
    found = settled(policy, market)
    assert (found.payable, found.payable_at_best) == dollars(worst, best)
    assert [note.parameters["value"] for note in found.assumed] == assumed


def test_a_repair_is_paid_at_its_depreciated_cost() -> None:
    # A quarter of the panels: 3,000 less 750, whatever the trailer sells for.
    assert settled(MARKET, 12000, hit("panels", "0.25")).payable == 2250


@pytest.mark.parametrize(
    ("threshold", "fraction", "extent", "paid"),
    [
        # 75 % of 12,000 = 9,000 = three quarters of the panels; a cent's worth less is a repair, 8,988 - 2,247.
        ("0.75", "0.75", "total", 12000),
        ("0.75", "0.749", "partial", 6741),
        # Without a threshold: repair plus salvage against 12,000.
        (None, "1", "total", 12000),
        (None, "0.999", "partial", 8991),
    ],
)
def test_a_repair_is_compared_with_the_market_value(
    threshold: str | None, fraction: str, extent: str, paid: int
) -> None:
    share = None if threshold is None else Decimal(threshold)
    policy = known_policy(values_by="market_value", total_loss_threshold=share)
    found = settled(policy, 12000, hit("panels", fraction))
    assert found.extent == extent
    assert found.payable == paid
    # By cost less depreciation the value is 15,000, and every one of them is a repair or not by that.
    by_cost = replace(policy, values_by="cost_less_depreciation", total_loss_threshold=Decimal("0.81"))
    assert settled(by_cost, 12000, hit("panels", fraction)).extent == "partial"


def test_a_policy_at_market_value_compares_a_repair_with_it_too() -> None:
    # 9,000 of repair against 9,000 that such trailers sell for.
    policy = known_policy(basis="market_value", amount=Decimal(9000))
    found = settled(policy, None, hit("panels", "0.75"))
    assert found.extent == "total"
    assert (found.payable, found.replacement_cost) == dollars(9000, 20000)


@pytest.mark.parametrize(
    ("stated", "market", "paid"),
    [(14000, 12000, 12000), (14000, 18000, 14000), (19000, 18000, 18000), (16000, 12000, 12000)],
)
def test_a_stated_amount_caps_the_actual_cash_value_however_it_is_found(stated: int, market: int, paid: int) -> None:
    policy = replace(MARKET, basis="stated_amount", amount=Decimal(stated))
    assert settled(policy, market).payable == paid


def test_replacement_cost_pays_the_market_value_until_it_is_replaced() -> None:
    policy = replace(MARKET, basis="replacement_cost", holdback=True)
    found = settled(policy, 12000)
    assert (found.payable_now, found.recoverable_depreciation, found.payable) == dollars(12000, 8000, 20000)
    unknown = settled(replace(policy, values_by=None), 12000)
    assert unknown.payable_now == 12000
    assert [note.code for note in unknown.assumed] == ["assumed_values_by"]
    assert settled(policy, 12000, replace(FIRE, replaced=False)).payable == 12000


def test_the_market_value_of_the_built_trailer_is_none_of_the_plain_one() -> None:
    # A plain trailer is 4,000, worn like the frame by a quarter: 3,000.
    by_class = replace(MARKET, settles_as="registered_class")
    for market in (12000, 2000):
        found = settled(by_class, market, verdict="mismatch", comparable_price="4000")
        assert found.payable == 3000
    unknown = settled(replace(by_class, values_by=None), 12000, verdict="mismatch", comparable_price="4000")
    assert unknown.assumed == ()


@pytest.mark.parametrize(
    ("amount", "market", "paid", "notes"),
    [
        (10000, 12000, 10000, []),  # what the policy names goes first
        (None, 12000, 12000, ["market_value_entered"]),
        (None, 25000, 20000, []),
        (None, None, 15000, ["market_value_stands_for_actual_cash_value"]),
    ],
)
def test_a_policy_at_market_value(amount: int | None, market: int | None, paid: int, notes: list[str]) -> None:
    policy = known_policy(basis="market_value", amount=None if amount is None else Decimal(amount))
    found = settled(policy, market)
    assert found.payable == paid
    assert [note.code for note in found.notes] == notes


def test_a_repair_on_a_policy_at_market_value() -> None:
    policy = known_policy(basis="market_value", amount=Decimal(10000))
    assert settled(policy, None, hit("panels", "0.25")).payable == 3000


def test_coinsurance_requires_a_share_of_the_market_value() -> None:
    # 9,000 insured of 12,000: three quarters of a repair of 3,000 - 750.
    policy = replace(MARKET, limit=Decimal(9000), coinsurance_rate=Decimal(1))
    assert settled(policy, 12000, hit("panels", "0.25")).payable == Decimal("1687.50")


@pytest.mark.parametrize(("most", "paid"), [(7200, 13200), (7000, 13000)])
def test_a_sublimit_has_its_share_of_the_market_value_without_tax(most: int, paid: int) -> None:
    # The panels are 9,000 of 15,000 by cost, so 7,200 of the market's 12,000. Tax of 10 % is on top: 13,200.
    policy = replace(
        MARKET,
        total_loss_tax_rate=Decimal("0.1"),
        sublimits=(Sublimit(category="body_panels", amount=Decimal(most)),),
    )
    assert settled(policy, 12000).payable == paid


def test_a_sublimit_after_the_deductible_has_its_share_of_what_is_left() -> None:
    # 12,000 and 1,200 of tax, less 3,300: three quarters are left, of the panels' 7,200 it is 5,400, capped at 5,000.
    policy = replace(
        MARKET,
        total_loss_tax_rate=Decimal("0.1"),
        deductible=Decimal(3300),
        order=("deductible", "sublimits"),
        sublimits=(Sublimit(category="body_panels", amount=Decimal(5000)),),
    )
    assert settled(policy, 12000).payable == 9900 - 400


def test_the_money_on_the_way_of_valuing() -> None:
    outcomes = Outcomes(replace(MARKET, values_by=None), circumstances(FIRE, *LINES, market_value=Decimal(12000)))
    assert outcomes.stake("values_by") == 3000
    assert [outcomes.payable_range("values_by", answer) for answer in (0, 1)] == [
        dollars(12000, 12000),
        dollars(15000, 15000),
    ]


@pytest.mark.parametrize(("amount", "paid"), [(10000, 3500), (None, 3200)])
def test_a_sublimit_in_a_repair_has_its_share_of_what_the_repair_is_paid_at(amount: int | None, paid: int) -> None:
    # Half of the frame, 4,000 new and 3,000 depreciated, to its limit of 500; a third of the roof, 3,000 or 2,700.
    # Where a market value is known a repair is paid new: 500 + 3,000. Else at its actual cash value: 500 + 2,700.
    lines = (line("frame", "chassis", "8000", "2000"), line("roof", "roof", "9000", "900"))
    loss = replace(
        FIRE,
        extent="partial",
        damage=(Damage(id="frame", fraction=Decimal("0.5")), Damage(id="roof", fraction=Decimal(1) / 3)),
    )
    policy = known_policy(
        basis="market_value",
        amount=None if amount is None else Decimal(amount),
        sublimits=(Sublimit(category="chassis", amount=Decimal(500)),),
    )
    assert settle(policy, circumstances(loss, *lines)).payable == paid
