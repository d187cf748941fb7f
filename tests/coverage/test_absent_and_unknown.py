"""A term that is absent, and one that is not known: two things for every term."""

from datetime import date
from decimal import Decimal
from typing import get_args

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from coverage_strategies import policies, surroundings
from hitchworth.coverage.loss import LossContext
from hitchworth.coverage.outcomes import Outcomes
from hitchworth.coverage.terms import with_recorded_answers
from hitchworth.model.answer import Answer
from hitchworth.model.loss import Damage, Loss
from hitchworth.model.policy import ABSENT, AbsentTerm, Policy
from valued_builds import DAY, circumstances, dollars, known_policy, line, settle

FIRE = Loss(name="fire", peril="fire", extent="total", occurred_on=DAY)
ROOF = replace(FIRE, extent="partial", damage=(Damage(id="roof", fraction=Decimal(1)),), salvage_value=Decimal(0))
LINES = (line("frame", "chassis", "4000", "400"), line("roof", "roof", "6000", "1500"))
"""10,000 to replace, 8,100 after depreciation."""

POLICY = known_policy()


def unknown(*terms: AbsentTerm, **others: object) -> Policy:
    """The known policy with some absent terms not known."""
    policy = replace(POLICY, **others)
    return replace(policy, without=tuple(term for term in policy.without if term not in terms))


def assumed(policy: Policy, context: LossContext) -> dict[str, str]:
    return {note.code.removeprefix("assumed_"): note.parameters["value"] for note in settle(policy, context).assumed}


# One term after another


def test_limit() -> None:
    # Unknown: that of a plain trailer of 2,500, or none. Absent: none.
    context = circumstances(FIRE, *LINES, comparable_price="2500")
    found = settle(unknown("limit", kind="commercial"), context)
    assert (found.payable, found.payable_at_best) == dollars(2500, 8100)
    assert assumed(unknown("limit", kind="commercial"), context) == {"limit": "2500.00"}
    assert (settle(POLICY, context).payable, settle(POLICY, context).payable_at_best) == dollars(8100, 8100)
    # With a stated or agreed amount on the policy no limit is plausible beside it.
    agreed = unknown("limit", basis="agreed_value", amount=Decimal(9000))
    assert settle(agreed, context).payable == 9000
    assert assumed(agreed, context) == {}


def test_limit_of_a_household_form_in_the_united_states() -> None:
    # 1,500 in the editions of 2000 and 2011, 2,000 in that of 2022.
    household = unknown("limit", kind="homeowners")
    context = circumstances(FIRE, *LINES, jurisdiction="US-WA")
    found = settle(household, context)
    assert (found.payable, found.payable_at_best) == dollars(1500, 2000)


def test_replacement_years() -> None:
    # Absent: new at any age. Unknown: five years, or none.
    policy = replace(POLICY, basis="replacement_cost", holdback=False)
    open_age = unknown("replacement_years", basis="replacement_cost", holdback=False, kind="recreational_vehicle")
    for age, worst in (("5", 10000), ("5.1", 8100)):
        context = circumstances(FIRE, *(replace(each, age_years=Decimal(age)) for each in LINES))
        assert settle(policy, context).payable == 10000
        found = settle(open_age, context)
        assert (found.payable, found.payable_at_best) == dollars(worst, 10000)
    assert assumed(open_age, context) == {"replacement_years": "5"}
    # A repair has no age; a property form sets none.
    repair = circumstances(ROOF, *(replace(each, age_years=Decimal(9)) for each in LINES))
    assert settle(open_age, repair).payable == 6000
    assert settle(replace(open_age, kind="scheduled_property"), context).payable == 10000


def test_holdback_days() -> None:
    policy = replace(POLICY, basis="replacement_cost")
    for absent in (policy, unknown("holdback_days", basis="replacement_cost")):
        found = settle(absent, circumstances(FIRE, *LINES))
        assert (found.payable_now, found.recoverable_depreciation) == dollars(8100, 1900)
        assert found.recoverable_until is None
        assert found.assumed == ()
    stated = settle(replace(policy, holdback_days=30), circumstances(FIRE, *LINES))
    assert stated.recoverable_until == date(2026, 12, 1)
    assert settle(replace(policy, holdback_days=0), circumstances(FIRE, *LINES)).recoverable_until == DAY


def test_depreciation_cap() -> None:
    # No cap, known or not: 8,100. A cap of a tenth: 400 and 600 come off.
    for policy in (POLICY, unknown("depreciation_cap")):
        assert settle(policy, circumstances(FIRE, *LINES)).payable == 8100
    assert settle(replace(POLICY, depreciation_cap=Decimal("0.1")), circumstances(FIRE, *LINES)).payable == 9000


def test_holdback() -> None:
    context = circumstances(FIRE, *LINES)
    for holdback, now, codes in ((True, 8100, []), (False, 10000, []), (None, 8100, ["assumed_holdback"])):
        found = settle(replace(POLICY, basis="replacement_cost", holdback=holdback), context)
        assert (found.payable_now, found.payable) == dollars(now, 10000)
        assert [note.code for note in found.assumed] == codes


STATED = replace(
    POLICY,
    basis="stated_amount",
    amount=Decimal(30000),
    total_loss_tax_rate=Decimal("0.07"),
    total_loss_fees=Decimal(25),
)


@pytest.mark.parametrize(("adds", "worst", "best"), [(False, 30000, 30000), (True, 32125, 32125), (None, 30000, 32125)])
def test_tax_on_top_of_a_stated_amount(*, adds: bool | None, worst: int, best: int) -> None:
    # Worth 40,000, stated 30,000. Only where the wording says so: 7 % of 30,000 = 2,100, and 25 of fees.
    context = circumstances(FIRE, line("trailer", "body", "50000", "10000"))
    found = settle(replace(STATED, adds_tax_to_stated_amount=adds), context)
    assert (found.payable, found.payable_at_best) == dollars(worst, best)
    codes = [note.code for note in found.assumed]
    assert codes == (["assumed_adds_tax_to_stated_amount"] if adds is None else [])


def test_tax_where_the_stated_amount_is_more_than_the_value() -> None:
    # Worth 20,000: the wording still decides. 20,000, or 20,000 + 1,400 + 25.
    context = circumstances(FIRE, line("trailer", "body", "25000", "5000"))
    assert settle(replace(STATED, adds_tax_to_stated_amount=False), context).payable == 20000
    assert settle(replace(STATED, adds_tax_to_stated_amount=True), context).payable == 21425


def test_other_bases_do_not_ask_about_tax_on_a_stated_amount() -> None:
    silent = replace(STATED, basis="actual_cash_value", adds_tax_to_stated_amount=None)
    context = circumstances(FIRE, line("trailer", "body", "25000", "5000"))
    assert settle(silent, context).payable == 21425
    assert settle(silent, context).assumed == ()
    agreed = replace(silent, basis="agreed_value")
    assert settle(agreed, context).payable == 30000


@pytest.mark.parametrize(
    ("place", "rate", "worst", "best"),
    [
        # The build's own rate; without one 9 % in the United States; none in Oregon, and none where tax is spent later.
        ("US-WA", "0.1", 8100, 8910),
        ("US-WA", "0", 8100, 8829),
        ("US-OR", "0.1", 8100, 8100),
        ("DE", "0.19", 8100, 8100),
    ],
)
def test_tax_that_is_not_known(place: str, rate: str, worst: int, best: int) -> None:
    context = circumstances(FIRE, *LINES, jurisdiction=place)
    costs = replace(context.build.indirect_costs, sales_tax_rate=Decimal(rate))
    context = replace(context, build=replace(context.build, indirect_costs=costs))
    found = settle(replace(POLICY, total_loss_tax_rate=None), context)
    assert (found.payable, found.payable_at_best) == dollars(worst, best)


def test_no_coinsurance_is_customary_but_on_a_builders_risk_form() -> None:
    # 4,000 insured of 8,100; a repair worth 4,500 is paid at 4,000 / 8,100: 2,222.22, or at most the limit.
    for kind, worst in (("commercial", 4000), ("builders_risk", "2222.22"), (None, "2222.22")):
        policy = replace(POLICY, kind=kind, limit=Decimal(4000), coinsurance_rate=None)
        found = settle(policy, circumstances(ROOF, *LINES))
        assert (str(found.payable), found.payable_at_best) == (f"{Decimal(worst):.2f}", Decimal(4000))


def test_the_order_that_is_not_known() -> None:
    # A limit of 5,000 and a deductible of 500 on 8,100: off the limit 4,500, off the loss 5,000.
    policy = replace(POLICY, order=None, limit=Decimal(5000), deductible=Decimal(500))
    found = settle(replace(policy, kind="commercial"), circumstances(FIRE, *LINES))
    assert (found.payable, found.payable_at_best) == dollars(4500, 5000)
    assert [(note.code, note.parameters["value"]) for note in found.assumed] == [
        ("assumed_order", "sublimits, coinsurance, limit, deductible")
    ]
    for kind in ("homeowners", "builders_risk", "scheduled_property"):
        property_form = settle(replace(policy, kind=kind), circumstances(FIRE, *LINES))
        assert (property_form.payable, property_form.payable_at_best) == dollars(5000, 5000)


def test_parts_that_wear_are_not_known() -> None:
    # A battery of 1,000, half worn: new 1,000, with betterment 500.
    hit = replace(FIRE, extent="partial", damage=(Damage(id="battery", fraction=Decimal(1)),))
    context = circumstances(hit, *LINES, line("battery", "battery_lithium", "1000", "500"))
    policy = replace(POLICY, basis="replacement_cost", betterment_categories=None)
    found = settle(policy, context)
    assert (found.payable, found.payable_at_best) == dollars(500, 1000)
    assert assumed(policy, circumstances(ROOF, *LINES)) == {}


# Left out, null, and absent


def test_what_the_agent_said_on_the_telephone() -> None:
    # Only basis, kind and as what it settles are known. Worth with labor kept 8,100 + 2,000, with labor depreciated 500
    # less; the highest deductible is 2,500. No kindness: 10,100 - 500 - 2,500 = 7,100. At best the lowest deductible,
    # 250, and 9 % tax on top: 11,009 - 250.
    lines = (*LINES, line("work", "labor", "2000", "500", "labor"))
    said = Policy(
        name="p",
        kind="recreational_vehicle",
        basis="actual_cash_value",
        settles_as="built_use",
        without=("limit", "custom_equipment_limit"),
    )
    found = settle(said, circumstances(FIRE, *lines))
    assert (found.payable, found.payable_at_best) == dollars(7100, 10759)
    assert {note.code.removeprefix("assumed_"): note.parameters["value"] for note in found.assumed} == {
        "depreciates_labor": "true",
        "total_loss_tax_rate": "0",
        "deductible": "2500.00",
    }


def test_the_same_with_every_other_term_null() -> None:
    lines = (*LINES, line("work", "labor", "2000", "500", "labor"))
    short = {"name": "p", "basis": "actual_cash_value", "settles_as": "built_use"}
    null = {field.name: None for field in msgspec.structs.fields(Policy) if field.name not in short}
    null |= {"covers_perils": {"fire": None}, "covers_situations": {"towed": None}, "without": ()}  # type: ignore[dict-item]
    towed = replace(FIRE, situations=("towed",))
    policies_of = (msgspec.convert(short | more, Policy) for more in ({}, null))
    one, other = (settle(policy, circumstances(towed, *lines)) for policy in policies_of)
    assert msgspec.json.encode(one) == msgspec.json.encode(other)
    # Whether it is covered while towed is not known. At best 10,100 and 9 % tax, without a deductible.
    assert (one.payable, one.payable_at_best) == dollars(0, 11009)


NULLABLE = tuple(
    field.name for field in msgspec.structs.fields(Policy) if field.default is None and field.name != "name"
)


@given(surroundings(), policies(), st.sets(st.sampled_from(NULLABLE)), st.sets(st.sampled_from(NULLABLE)))
def test_a_null_changes_no_byte(context: LossContext, policy: Policy, null: set[str], left_out: set[str]) -> None:
    stated = msgspec.to_builtins(policy)
    kept = {name: value for name, value in stated.items() if name not in null | left_out}
    keyed: dict[str, object] = {"covers_perils": {}, "covers_situations": {}}
    keyed_null = {"covers_perils": {context.loss.peril: None}, "covers_situations": dict.fromkeys(("towed", "abroad"))}
    silent = msgspec.convert(kept | keyed, Policy, strict=False)
    with_null = msgspec.convert(kept | dict.fromkeys(null) | keyed_null, Policy, strict=False)
    assert _encoded(silent, context) == _encoded(with_null, context)


def _encoded(policy: Policy, context: LossContext) -> bytes:
    return msgspec.json.encode(settle(policy, context))


@given(surroundings(), policies(), st.sampled_from(NULLABLE))
def test_not_known_never_pays_more_than_the_best_that_is_plausible(
    context: LossContext, policy: Policy, term: str
) -> None:
    without = tuple(absent for absent in policy.without if absent != term)
    found = settle(replace(policy, **{term: None}, without=without), context)
    assert found.payable <= found.payable_at_best


# Recorded answers


@pytest.mark.parametrize("term", get_args(AbsentTerm))
def test_an_answer_of_none_takes_the_stated_value_away(term: AbsentTerm) -> None:
    stated = replace(POLICY, without=(), **{term: "a bank" if term == "lender" else Decimal(0)})
    answered = with_recorded_answers(stated, [Answer(policy="p", term=term, value=ABSENT)])
    assert getattr(answered, term) is None
    assert answered.without == (term,)


@pytest.mark.parametrize("term", get_args(AbsentTerm))
def test_an_answer_of_null_opens_an_absent_term_again(term: AbsentTerm) -> None:
    answers = [Answer(policy="p", term=term, value=value, said_on=DAY) for value in (ABSENT, None)]
    assert with_recorded_answers(replace(POLICY, without=()), answers).without == ()
    others = tuple(other for other in POLICY.without if other != term)
    assert with_recorded_answers(POLICY, answers[1:]).without == others


def test_an_answer_with_a_value_ends_the_absence() -> None:
    answered = with_recorded_answers(POLICY, [Answer(policy="p", term="limit", value="5000")])
    assert answered.limit == 5000
    assert "limit" not in answered.without
    assert settle(answered, circumstances(FIRE, *LINES)).payable == 5000


def test_an_answer_with_a_list() -> None:
    # 10,100 to replace, and an agreed order of deductible and limit: 10,100 - 1,000 = 9,100, capped at 8,000; the other
    # way round 8,000 - 1,000 = 7,000.
    policy = known_policy(basis="replacement_cost", deductible=Decimal(1000), limit=Decimal(8000), order=None)
    context = circumstances(FIRE, *LINES)
    for order, paid in ((("deductible", "limit"), 8000), (("limit", "deductible"), 7000)):
        answered = with_recorded_answers(policy, [Answer(policy="p", term="order", value=order)])
        assert settle(answered, context).payable == paid


def test_an_answer_to_a_peril_and_to_a_situation() -> None:
    answers = [
        Answer(policy="p", term="covers_perils.fire", value=False),
        Answer(policy="p", term="covers_situations.towed", value=True),
    ]
    answered = with_recorded_answers(replace(POLICY, covers_perils={"hail": True}), answers)
    assert answered.covers_perils == {"hail": True, "fire": False}
    assert answered.covers_situations == {"towed": True}
    assert settle(answered, circumstances(FIRE, *LINES)).payable == 0


@pytest.mark.parametrize(("value", "paid", "best"), [(True, 8100, 8100), (False, 0, 0), (None, 0, 8100)])
def test_an_answer_to_a_peril_by_another_name_is_the_newest(*, value: bool | None, paid: int, best: int) -> None:
    policy = replace(POLICY, covers_perils={"windstorm": False, "hail": True}, excluded_perils=None)
    answered = with_recorded_answers(policy, [Answer(policy="p", term="covers_perils.wind", value=value)])
    assert answered.covers_perils == {"hail": True, "wind": value}
    found = settle(answered, circumstances(replace(FIRE, peril="Wind"), *LINES))
    assert (found.payable, found.payable_at_best) == dollars(paid, best)


def test_outcomes_of_terms_that_are_absent_have_nothing_to_answer() -> None:
    outcomes = Outcomes(POLICY, circumstances(FIRE, *LINES))
    assert (outcomes.terms, outcomes.worst, outcomes.best) == ((), {}, {})
    assert outcomes.stake("limit") == 0
