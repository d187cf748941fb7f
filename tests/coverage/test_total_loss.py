"""When a repair makes a total loss: by the policy, by the law of the place, or by an open term; and the wreck."""

from datetime import date
from decimal import Decimal

import pytest
from msgspec.structs import replace

from hitchworth.appraisal import gap_statement
from hitchworth.coverage.loss import LossContext
from hitchworth.coverage.outcomes import Outcomes
from hitchworth.coverage.questions import ranked_questions
from hitchworth.coverage.situation import situation_of
from hitchworth.coverage.terms import recorded, with_recorded_salvage
from hitchworth.model.answer import Answer
from hitchworth.model.build import Build
from hitchworth.model.gap import GapStatement, Question
from hitchworth.model.loss import Damage, Loss
from hitchworth.model.policy import Policy
from hitchworth.model.request import GapRequest
from hitchworth.model.schedule import Schedule
from valuation_parts import part
from valued_builds import DAY, circumstances, dollars, known_policy, line, settle

ZERO = Decimal(0)
FIRE = Loss(name="fire", peril="fire", extent="total", occurred_on=DAY)
ROOF = Loss(
    name="roof",
    peril="hail",
    extent="partial",
    occurred_on=DAY,
    damage=(Damage(id="roof", fraction=Decimal(1)),),
    salvage_value=ZERO,
)
KNOWN = known_policy()
OPEN = replace(KNOWN, without=tuple(term for term in KNOWN.without if term != "total_loss_threshold"))
"""It does not say what repair is a total loss; everything else is known."""


def roof_of(repair: int, value: int = 10000, place: str | None = None, years: int = 0, **loss: object) -> LossContext:
    """A trailer without wear, whose roof costs so much of its value."""
    lines = (line("roof", "roof", str(repair)), line("rest", "chassis", str(value - repair)))
    aged = (replace(each, age_years=Decimal(years)) for each in lines)
    return circumstances(replace(ROOF, **loss), *aged, jurisdiction=place)


def extents(policy: Policy, context: LossContext) -> tuple[Decimal, Decimal]:
    found = settle(policy, context)
    return found.payable, found.payable_at_best


def rule_of(policy: Policy, context: LossContext) -> tuple[str, str | None]:
    (note,) = (note for note in settle(policy, context).notes if note.code.startswith("total_loss"))
    return note.code, note.parameters.get("reason")


@pytest.mark.parametrize(
    ("place", "repair", "extent"),
    [
        # N.D.C.C. 39-05-20.2 and Wis. Stat. 340.01(55g): above 75 and 70 percent; the same share alone is a repair.
        ("US-ND", 7500, "partial"),
        ("US-ND", 7501, "total"),
        ("US-WI", 7000, "partial"),
        ("US-WI", 7001, "total"),
        # 75 Pa.C.S. 102 and C.R.S. 42-6-102: the repair exceeds the value; up to that it is a repair.
        ("US-PA", 9999, "partial"),
        ("US-CO", 9999, "partial"),
        # RCW 46.04.514: repair and salvage together, and there is no salvage here.
        ("US-WA", 9999, "partial"),
        ("US-WA", 10000, "total"),
    ],
)
def test_a_law_that_speaks_of_vehicles_decides_where_the_policy_is_silent(place: str, repair: int, extent: str) -> None:
    context = roof_of(repair, place=place)
    found = settle(OPEN, context)
    assert found.extent == extent
    assert found.assumed == ()
    code = "total_loss_formula_of_place" if place == "US-WA" else "total_loss_share_of_place"
    assert rule_of(OPEN, context) == (code, None)


def test_the_note_on_a_law_cites_it() -> None:
    (note, _) = settle(OPEN, roof_of(7501, place="US-ND")).notes
    assert note.parameters == {"share": "0.75", "comparison": "above", "source": "N.D.C.C. 39-05-20.2"}
    assert note.about == "p"


def test_what_the_policy_says_goes_before_the_law() -> None:
    at_half = replace(OPEN, total_loss_threshold=Decimal("0.5"))
    for place in ("US-ND", "US-AL", "CA-ON", None):
        context = roof_of(5000, place=place)
        assert settle(at_half, context).extent == "total"
        assert rule_of(at_half, context) == ("total_loss_share_of_policy", None)
        # Known to have no share: repair and salvage against the value, whatever the law of the place.
        assert settle(KNOWN, roof_of(9999, place=place)).extent == "partial"
        assert rule_of(KNOWN, roof_of(9999, place=place)) == ("total_loss_formula_of_policy", None)


@pytest.mark.parametrize(
    ("place", "years", "reason"),
    [
        ("US-AL", 0, "scope"),  # Code of Ala. 32-8-87, from lists
        ("US-KY", 0, "motor_vehicles"),  # KRS 186A.520
        ("US-OR", 0, "uninsured"),  # ORS 801.527: 80 percent for damage that nobody insures
        ("US-CA", 0, "insurer"),  # Cal. Veh. Code 544: as the insurer considers it
        ("US-MN", 0, "scope"),
        ("US-NE", 8, "age"),  # Neb. Rev. Stat. 60-171: seven model years
        ("US-VA", 7, "age"),  # Va. Code 46.2-1600: six
        ("US-MO", 0, "class"),  # Mo. Rev. Stat. 301.010 names house trailers
    ],
)
def test_a_law_that_may_not_reach_the_trailer_leaves_it_to_the_policy(place: str, years: int, reason: str) -> None:
    # Repair 8,100 of 10,000: a total loss by 75 or 80 percent, a repair by the formula without salvage.
    context = roof_of(8100, place=place, years=years)
    assert rule_of(OPEN, context) == ("total_loss_left_to_policy", reason)
    assert extents(OPEN, context) == dollars(8100, 10000)
    assert [note.code for note in settle(OPEN, context).assumed] == ["assumed_total_loss_threshold"]
    (question,) = (each for each in asked(OPEN, context) if each.settles.term == "total_loss_threshold")
    assert question.money_at_stake.high == 1900


def test_within_the_age_or_the_class_of_the_law_it_decides() -> None:
    assert settle(OPEN, roof_of(7501, place="US-NE", years=7)).assumed == ()
    assert rule_of(OPEN, roof_of(7501, place="US-VA", years=6)) == ("total_loss_formula_of_place", None)
    house_trailer = replace(roof_of(8001, place="US-MO"), registered_class="house_trailer")
    assert settle(OPEN, house_trailer).extent == "total"
    utility_trailer = replace(house_trailer, registered_class="utility_trailer")
    assert rule_of(OPEN, utility_trailer) == ("total_loss_left_to_policy", "class")


def test_a_law_that_was_not_looked_up_says_so() -> None:
    for place in ("CA-ON", "DE", None):
        assert rule_of(OPEN, roof_of(8100, place=place)) == ("total_loss_not_looked_up", None)


def test_sources_that_disagree_leave_it_to_the_policy() -> None:
    # Florida: three lists with 80 percent, one with 75; motor vehicles besides.
    assert extents(OPEN, roof_of(7600, place="US-FL")) == dollars(7600, 10000)
    # By both shares a repair: nothing is at stake, so nothing is assumed.
    assert extents(OPEN, roof_of(7400, place="US-FL")) == dollars(7400, 7400)


def test_no_rule_is_named_where_nothing_is_compared() -> None:
    for context in (circumstances(FIRE, line("roof", "roof", "9000")), roof_of(8100, damage=())):
        assert [note.code for note in settle(OPEN, context).notes if note.code.startswith("total_loss")] == []


def asked(policy: Policy, *contexts: LossContext) -> tuple[Question, ...]:
    outcomes = [Outcomes(policy, context) for context in contexts]
    situation = situation_of(contexts[0].build, contexts[0].verdict, (policy,), contexts, ())
    return ranked_questions(situation, outcomes, ())


def test_the_wreck_is_worth_10_to_40_percent_of_the_value_where_nobody_says() -> None:
    # Value 10,000, repair 7,000. With a wreck of 4,000 it is 11,000, a total loss; with one of 1,000 8,000, a repair.
    context = roof_of(7000, place="US-WA", salvage_value=None)
    found = settle(OPEN, context)
    assert (found.extent, found.payable, found.payable_at_best) == ("partial", Decimal(7000), Decimal(10000))
    ((code, value),) = [(note.code, note.parameters["value"]) for note in found.assumed]
    assert (code, value) == ("assumed_salvage_value", "1000.00")
    (question,) = (each for each in asked(OPEN, context) if each.entry == "salvage_value")
    assert (question.id, question.settles.loss, question.settles.term) == (
        "roof.salvage_value",
        "roof",
        "salvage_value",
    )
    assert question.money_at_stake.high == 3000
    assert [(each.value, each.payable.low) for each in question.plausible] == [
        ("4000.00", Decimal(10000)),
        ("1000.00", Decimal(7000)),
    ]


def test_a_wreck_that_is_worth_nothing_is_known() -> None:
    for worth, extent in ((ZERO, "partial"), (Decimal(2999), "partial"), (Decimal(3000), "total")):
        found = settle(OPEN, roof_of(7000, place="US-WA", salvage_value=worth))
        assert (found.extent, found.assumed) == (extent, ())


def test_the_worth_of_the_wreck_is_not_asked_where_it_moves_nothing() -> None:
    # By a share of the value, with a repair that the best wreck does not lift to the value, and in a total loss that
    # leaves the wreck to the insurer.
    by_share = replace(OPEN, total_loss_threshold=Decimal("0.75"))
    for policy, context in (
        (by_share, roof_of(7000, salvage_value=None)),
        (KNOWN, roof_of(5999, salvage_value=None)),
        (KNOWN, circumstances(replace(FIRE, salvage_kept=False), line("roof", "roof", "9000"))),
    ):
        assert settle(policy, context).assumed == ()
        assert [each for each in asked(policy, context) if each.entry == "salvage_value"] == []
    # At 6,000 the best wreck, 4,000, makes up the value.
    assert settle(KNOWN, roof_of(6000, salvage_value=None)).payable_at_best == 10000


def test_a_wreck_that_is_kept_comes_off_at_its_highest_plausible_worth() -> None:
    kept = replace(FIRE, salvage_kept=True)
    context = circumstances(kept, line("roof", "roof", "10000", "2000"))
    found = settle(KNOWN, context)
    # Actual cash value 8,000: 40 percent, 3,200, come off; at best 10 percent, 800.
    assert (found.payable, found.payable_at_best) == dollars(4800, 7200)
    assert [note.parameters["value"] for note in found.assumed] == ["3200.00"]


def test_one_question_is_asked_for_each_wreck_with_the_policy_that_it_moves_most() -> None:
    context = roof_of(7000, salvage_value=None)
    with_deductible = replace(KNOWN, name="q", deductible=Decimal(8000))
    outcomes = [Outcomes(policy, context) for policy in (with_deductible, KNOWN)]
    situation = situation_of(context.build, context.verdict, (with_deductible, KNOWN), (context,), ())
    (question,) = (each for each in ranked_questions(situation, outcomes, ()) if each.entry == "salvage_value")
    assert question.money_at_stake.high == 3000
    assert question.plausible[0].payable.low == 10000


def test_an_answer_settles_what_the_wreck_is_worth() -> None:
    """Value 10,000, repair 7,000, as above: with a wreck of 3,000 a total loss, with one of 2,999 a repair."""
    loss = Loss(name="fire", peril="fire", extent="partial", damage=(Damage(category="roof", fraction=Decimal(1)),))
    older = Answer(loss="fire", term="salvage_value", value="2999", said_on=date(2026, 1, 2))
    newer = Answer(loss="fire", term="salvage_value", value=3000, said_on=date(2026, 1, 3), said_by="a dealer")
    other = replace(newer, loss="hail", value=1)
    assert with_recorded_salvage(loss, (newer, older, other)).salvage_value == 3000
    assert with_recorded_salvage(loss, (older, other)).salvage_value == 2999
    assert with_recorded_salvage(loss, (newer, replace(newer, value=None))).salvage_value is None
    assert with_recorded_salvage(loss, (other,)) == loss
    (note,) = recorded(OPEN, (older, newer, other), "fire")
    assert (note.code, note.about) == ("answered_salvage_value", "fire")
    assert note.parameters == {"value": "3000", "said_by": "a dealer", "said_on": "2026-01-03"}
    assert recorded(OPEN, (newer,)) == recorded(OPEN, (newer,), "hail") == ()


def test_the_answer_reaches_the_settlement_of_the_document() -> None:
    parts = (part("roof", "7000", category="roof"), part("rest", "3000"))
    build = Build(
        name="a",
        currency="USD",
        jurisdiction="US-WA",
        components=parts,
        schedules={name: Schedule(method="none") for name in ("roof", "permits_schedule")},
    )
    loss = replace(FIRE, extent="partial", damage=(Damage(id="roof", fraction=Decimal(1)),), salvage_value=None)
    policy = replace(OPEN, settles_as="built_use")

    def found(*answers: Answer) -> GapStatement:
        return gap_statement(GapRequest(build=build, policies=(policy,), losses=(loss,), answers=answers), DAY)

    answer = Answer(loss=loss.name, term="salvage_value", value="3000")
    asked_first = {question.entry for question in found().questions}
    assert "salvage_value" in asked_first
    answered = found(answer)
    assert answered.settlements[0].extent == "total"
    assert [note.code for note in answered.settlements[0].answered] == ["answered_salvage_value"]
    assert "salvage_value" not in {question.entry for question in answered.questions}
    assert found(replace(answer, value="2999")).settlements[0].extent == "partial"
