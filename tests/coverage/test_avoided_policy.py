"""What is left where the insurer avoids the policy, and what goes to the lender."""

from decimal import Decimal

import pytest
from msgspec.structs import replace

from hitchworth.coverage.outcomes import Outcomes
from hitchworth.coverage.questions import ranked_questions
from hitchworth.coverage.situation import situation_of
from hitchworth.model.assessment import Verdict
from hitchworth.model.loss import Loss
from hitchworth.model.policy import Policy
from hitchworth.model.settlement import Settlement
from valued_builds import DAY, circumstances, known_policy, line, settle

FIRE = Loss(name="fire", peril="fire", extent="total", occurred_on=DAY)
LINES = (line("frame", "chassis", "3000", "600"), line("panels", "body_panels", "8000", "800"))
"""Worth 9,600."""

UNTOLD = known_policy(knows_built_use=None, annual_premium=Decimal(480))


def settled(policy: Policy, verdict: Verdict = "mismatch", place: str | None = "US-CA") -> Settlement:
    return settle(policy, circumstances(FIRE, *LINES, verdict=verdict, jurisdiction=place))


@pytest.mark.parametrize("knows", [None, False])
@pytest.mark.parametrize("verdict", ["mismatch", "undetermined"])
def test_nothing_but_the_premium_is_left(*, knows: bool | None, verdict: Verdict) -> None:
    found = settled(replace(UNTOLD, knows_built_use=knows), verdict)
    assert found.if_avoided is not None
    assert (found.if_avoided.payable, found.if_avoided.premium_returned) == (Decimal(0), Decimal(480))
    assert found.payable == 9600, "apart from the settlement"


def test_the_premium_has_the_decimals_of_the_currency() -> None:
    found = settled(replace(UNTOLD, annual_premium=Decimal("480.125")))
    assert found.if_avoided is not None
    assert str(found.if_avoided.premium_returned) == "480.13"


def test_an_agreed_value_is_avoided_too() -> None:
    agreed = replace(UNTOLD, basis="agreed_value", amount=Decimal(20000), annual_premium=None)
    found = settled(agreed)
    assert found.payable == 20000
    assert found.if_avoided is not None
    assert (found.if_avoided.payable, found.if_avoided.premium_returned) == (Decimal(0), None)


def test_no_line_where_the_class_fits_or_the_insurer_was_told_or_nothing_is_covered() -> None:
    assert settled(UNTOLD, "match").if_avoided is None
    assert settled(replace(UNTOLD, knows_built_use=True)).if_avoided is None
    assert settled(replace(UNTOLD, covers_damage=False)).if_avoided is None
    assert settled(replace(UNTOLD, excluded_perils=("fire",))).if_avoided is None


def test_an_assumed_verdict_does_not_take_the_line_away() -> None:
    # By class a plain trailer of 20,000 insured for 9,000 is under-insured; as built, the verdict makes no difference.
    by_class = replace(UNTOLD, settles_as="registered_class", limit=Decimal(9000), coinsurance_rate=Decimal(1))
    assert settled(by_class, "undetermined").if_avoided is not None


@pytest.mark.parametrize(
    ("place", "rule", "intent", "not_issued", "proportion"),
    [
        # California Insurance Code 331: without intent. RCW 48.18.090 (Washington): only with intent to deceive.
        ("US-CA", "US-CA", False, None, False),
        ("US-WA", "US-WA", True, False, False),
        # N.Y. Insurance Law 3105: the same policy at that premium would not have been issued.
        ("US-NY", "US-NY", False, True, False),
        # Consumer Insurance (Disclosure and Representations) Act 2012: in proportion of the premiums.
        ("GB-NIR", "GB", False, True, True),
    ],
)
def test_the_law_of_the_place_is_shown(
    place: str, rule: str, *, intent: bool, not_issued: bool | None, proportion: bool
) -> None:
    avoided = settled(UNTOLD, place=place).if_avoided
    assert avoided is not None
    assert avoided.rule is not None
    found = avoided.rule
    assert found.jurisdiction == rule
    assert (found.intent_needed, found.counts_if_not_issued) == (intent, not_issued)
    assert found.reduces_in_proportion is proportion


@pytest.mark.parametrize("place", ["US-NV", "FR", None])
def test_where_no_law_was_looked_up_the_line_stands_without_one(place: str | None) -> None:
    avoided = settled(UNTOLD, place=place).if_avoided
    assert avoided is not None
    assert avoided.rule is None


@pytest.mark.parametrize(
    ("lender", "balance", "to_lender"),
    [
        ("a bank", 12000, 9600),  # more is owed than is paid
        ("a bank", 4000, 4000),
        ("a bank", None, 0),
        (None, 4000, 0),  # nobody is named on the policy
    ],
)
def test_the_lender_is_paid_first(lender: str | None, balance: int | None, to_lender: int) -> None:
    owed = None if balance is None else Decimal(balance)
    found = settled(replace(UNTOLD, lender=lender, loan_balance=owed))
    assert found.payable_to_lender == to_lender
    assert found.payable == 9600


def test_a_lender_gets_nothing_of_a_loss_that_is_not_covered() -> None:
    policy = replace(UNTOLD, lender="a bank", loan_balance=Decimal(4000), covers_damage=False)
    assert settled(policy).payable_to_lender == 0


def asked_of(policy: Policy) -> dict[str, Decimal]:
    """The questions on the built use of a policy for a trailer whose class does not fit, with their money."""
    outcomes = [Outcomes(policy, circumstances(FIRE, *LINES))]
    situation = situation_of(outcomes[0].claim.context.build, "mismatch", (policy,), [outcomes[0].claim.context], ())
    questions = ranked_questions(situation, outcomes, ())
    return {each.entry: each.money_at_stake.high for each in questions if each.settles.term == "knows_built_use"}


def test_what_was_not_disclosed_stays_to_be_told() -> None:
    # All 9,600 that the policy would pay are at stake, whether it is not known or known that the insurer was not told.
    assert asked_of(UNTOLD) == {"class_disclosed": 9600}
    assert asked_of(replace(UNTOLD, knows_built_use=False)) == {"class_to_disclose": 9600}
    assert asked_of(replace(UNTOLD, knows_built_use=True)) == {}
