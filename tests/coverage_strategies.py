"""Strategies of valued builds, policies and losses for the tests of cover."""

from decimal import Decimal
from typing import Literal

from hypothesis import strategies as st

from hitchworth.coverage.loss import LossContext
from hitchworth.model.assessment import Verdict
from hitchworth.model.estimate import LineKind
from hitchworth.model.loss import Damage, Extent, Loss
from hitchworth.model.policy import Basis, PerilDeductible, Policy, SettlementStep, Sublimit
from valued_builds import DAY, circumstances, known_policy, line

ZERO = Decimal(0)
money = st.integers(0, 5_000_000).map(lambda cents: Decimal(cents).scaleb(-2))
share = st.integers(0, 100).map(lambda percent: Decimal(percent).scaleb(-2))
bases: st.SearchStrategy[Basis] = st.sampled_from(
    ("actual_cash_value", "replacement_cost", "agreed_value", "stated_amount", "market_value")
)


@st.composite
def surroundings(draw: st.DrawFn) -> LossContext:
    lines = []
    for number in range(draw(st.integers(1, 6))):
        cost = draw(money)
        wear = (cost * draw(share)).quantize(Decimal("0.01"))
        category = draw(st.sampled_from(("chassis", "body_panels", "electronics", "bedding")))
        kind: LineKind = draw(st.sampled_from(("component", "labor")))
        untaxed = draw(st.sampled_from((ZERO, cost, (cost * draw(share)).quantize(Decimal("0.01")))))
        lines.append(line(str(number), category, str(cost), str(wear), kind, str(untaxed)))
    verdict: Verdict = draw(st.sampled_from(("match", "mismatch", "undetermined")))
    return circumstances(
        draw(losses()),
        *lines,
        verdict=verdict,
        comparable_price=draw(st.none() | money.map(str)),
        own_labor=draw(st.booleans()),
        market_value=draw(st.none() | money),
        completed_on=draw(st.sampled_from((None, DAY, DAY.replace(year=DAY.year + 1)))),
    )


@st.composite
def policies(draw: st.DrawFn) -> Policy:
    steps: list[SettlementStep] = ["sublimits", "coinsurance", "deductible", "limit"]
    return known_policy(
        "p",
        basis=draw(bases),
        amount=draw(money),
        limit=draw(st.none() | money),
        deductible=draw(money),
        coinsurance_rate=draw(share),
        order=tuple(draw(st.permutations(steps))),
        sublimits=tuple(
            Sublimit(category=category, amount=draw(money))
            for category in draw(st.sets(st.sampled_from(("chassis", "body_panels"))))
        ),
        settles_as=draw(st.sampled_from(("registered_class", "built_use"))),
        depreciates_labor=draw(st.booleans()),
        holdback=draw(st.booleans()),
        total_loss_tax_rate=draw(st.sampled_from((ZERO, Decimal("0.09")))),
        excluded_perils=draw(st.sampled_from(((), ("flood",)))),
        peril_deductibles=draw(peril_deductibles()),
        depreciation_cap=draw(st.none() | share),
        betterment_categories=draw(st.sampled_from(((), ("body_panels",)))),
        total_loss_threshold=draw(st.none() | share),
        counts_own_labor=draw(st.booleans()),
        values_by=draw(st.sampled_from(("cost_less_depreciation", "market_value"))),
        custom_equipment_limit=draw(st.none() | money),
        contents_limit=draw(st.none() | money),
        covers_situations={"towed": True, "abroad": True, "rented_out": True},
        total_loss_fees=draw(st.sampled_from((ZERO, Decimal("87.50")))),
    )


@st.composite
def peril_deductibles(draw: st.DrawFn) -> tuple[PerilDeductible, ...]:
    """None, or one that is bigger the bigger the policy's own is: so that a bigger deductible stays a bigger one."""
    if draw(st.booleans()):
        return ()
    of: Literal["loss", "limit", "value"] = draw(st.sampled_from(("loss", "limit", "value")))
    return (PerilDeductible(peril="hail", rate=draw(share), applies_to=of, amount=draw(money)),)


@st.composite
def losses(draw: st.DrawFn) -> Loss:
    extent: Extent = draw(st.sampled_from(("total", "partial")))
    damage = tuple(
        Damage(category=category, fraction=draw(share))
        for category in ("chassis", "body_panels", "electronics", "bedding")
    )
    return Loss(
        name="l",
        peril=draw(st.sampled_from(("theft", "flood", "hail"))),
        extent=extent,
        occurred_on=DAY,
        situations=draw(st.sampled_from(((), ("towed",), ("abroad", "rented_out")))),
        damage=damage if extent == "partial" else (),
        replaced=draw(st.booleans()),
        salvage_value=draw(st.none() | money),
        salvage_kept=draw(st.booleans()),
        amount_spent=draw(st.none() | money),
    )
