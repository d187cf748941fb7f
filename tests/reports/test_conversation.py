"""The conversation sheet: about one policy, a few pages, and nothing on it that is not for the insurer."""

import re
from datetime import date
from decimal import Decimal

import pytest
from msgspec.structs import replace

from demo_sheet import demo_content, demo_statement, report_context
from hitchworth.demo import demo_request
from hitchworth.localization.gap_statements import may_be_avoided
from hitchworth.localization.localizer import capital, localizer_for
from hitchworth.model.answer import Answer
from hitchworth.model.build import Build, FactValue, Measurement, Owner
from hitchworth.model.entry import Component, EvidenceGrade
from hitchworth.model.gap import Question
from hitchworth.model.policy import Policy
from hitchworth.model.request import GapRequest
from hitchworth.operations.appraisals import create_gap_statement
from hitchworth.operations.reports import Printing, create_conversation_sheet
from hitchworth.reports.catalog import CONVERSATION_SHEET
from hitchworth.reports.content import Blanks, Caution, Content, Facts, Heading, Listing, Paragraph, QuestionBox, Table
from hitchworth.reports.conversation import conversation_sheet
from hitchworth.reports.questions import BOXES_PER_PAGE, MAX_BOXES, question_boxes
from hitchworth.validation import InvalidInputError

QUARTERS = "temporary_living_quarters"
MONEY = localizer_for("en-US", "USD").money
WHOLE = localizer_for("en-US", "USD").formats.whole_money


def sheet(locale: str = "en-US") -> Content:
    return demo_content(locale, None, CONVERSATION_SHEET)


def of_demo(**fields: object) -> GapRequest:
    """The demo's request, with other fields of the build."""
    request = demo_request()
    return replace(request, build=replace(request.build, **fields))


def texts(content: Content) -> str:
    """Everything that is printed on the sheet, except its charts."""
    return repr(content.blocks)


def facts(content: Content) -> dict[str, str]:
    return {fact.label: fact.value for block in content.blocks if isinstance(block, Facts) for fact in block.rows}


def table(content: Content, caption: str) -> Table:
    return next(block for block in content.blocks if isinstance(block, Table) and block.caption.startswith(caption))


def boxes(content: Content) -> list[QuestionBox]:
    return [block for block in content.blocks if isinstance(block, QuestionBox)]


# One policy


@pytest.mark.parametrize("policy", demo_request().policies, ids=lambda policy: policy.name)
def test_it_is_about_one_policy_and_says_nothing_of_another(policy: Policy) -> None:
    others = [each.name for each in demo_request().policies if each.name != policy.name]
    found = create_conversation_sheet(of_demo(), Printing(for_policy=policy.name))
    assert facts(found)["Policy"] == capital(policy.name)
    assert [name for name in others if f"“{name}”" in texts(found)] == []


def test_without_a_choice_it_is_about_the_policy_on_which_most_is_at_stake() -> None:
    of_policies = [each for each in demo_statement().questions if each.settles.policy]
    most = max(of_policies, key=lambda question: question.money_at_stake.high)
    assert facts(sheet())["Policy"] == most.settles.policy == "RV actual cash value"


def test_no_premium_is_printed() -> None:
    premiums = [MONEY(policy.annual_premium) for policy in demo_request().policies if policy.annual_premium]
    assert len(premiums) == 3
    assert [premium for premium in premiums if premium in texts(sheet())] == []


def test_a_policy_that_is_not_there_is_named_with_those_that_are() -> None:
    with pytest.raises(InvalidInputError) as raised:
        create_conversation_sheet(of_demo(), Printing(for_policy="RV"))
    (fault,) = raised.value.faults
    assert (fault.pointer, fault.found) == ("/for_policy", "RV")
    assert fault.expected == "one of auto extension, RV actual cash value, agreed value"


def test_the_answers_on_another_policy_are_left_out() -> None:
    request = of_demo()
    answers = (
        Answer(value="1000", policy="agreed value", term="deductible", said_by="clerk"),
        Answer(value=False, policy="RV actual cash value", term="depreciates_labor", said_by="agent"),
        Answer(value=False, fact="has_toilet"),
    )
    found = create_conversation_sheet(replace(request, answers=answers), Printing(for_policy="RV actual cash value"))
    rows = table(found, "The figures in this sheet are based on these answers").rows
    assert [row[:3] for row in rows] == [
        ("RV actual cash value: depreciates labor", "No", "agent"),
        ("Toilet", "No", ""),
    ]


@pytest.mark.parametrize(
    ("limit", "said"),
    [
        ("62712.98", "The policy's limit of $62,712.98 is enough for that today."),
        ("62712.97", "The policy now insures it for $62,712.97."),
    ],
)
def test_a_limit_is_said_to_be_enough_for_what_is_asked_or_not(limit: str, said: str) -> None:
    # The demo's actual cash value: 62,712.98.
    policies = [replace(each, limit=Decimal(limit)) for each in demo_request().policies if each.limit == 45000]
    found = create_conversation_sheet(replace(demo_request(), policies=policies), Printing())
    sentences = ("is enough for that today", "policy now insures it")
    assert [each for each in sentences if each in texts(found)] == [each for each in sentences if each in said]
    assert said in texts(found).replace("’", "'")


def test_what_the_least_payment_rests_on_is_named_with_its_amounts() -> None:
    (policy,) = (each for each in demo_request().policies if each.name == "RV actual cash value")
    settlements = create_gap_statement(replace(demo_request(), policies=[policy])).settlements
    assumed = {note.text for each in settlements for note in each.assumed}
    listed = {line for block in sheet().blocks if isinstance(block, Listing) for line in block.items}
    assert assumed
    assert assumed <= listed


def test_beside_the_least_payment_stands_that_a_voided_policy_pays_nothing() -> None:
    request = replace(demo_request(), policies=demo_request().policies[1:2])
    sentence = may_be_avoided(create_gap_statement(request).settlements, localizer_for("en-US", "USD"))
    assert sentence.startswith("Apart from these figures, the insurer may void the policy and pay nothing")
    blocks = sheet().blocks
    assert blocks.index(Paragraph(sentence)) == blocks.index(table(sheet(), "What the policy would pay")) + 1


def test_a_payment_of_nothing_is_an_amount() -> None:
    paid = {cell for row in table(sheet(), "What the policy would pay").rows for cell in row[1:]}
    assert "$0.00" in paid
    assert "–" not in paid


def test_its_digest_is_that_of_the_gap_statement() -> None:
    assert demo_statement().digest in sheet().footer
    assert create_gap_statement(demo_request()).digest == demo_statement().digest


# The first page


OWNER = Owner(name="A. Builder", address="12 Birch Lane\nNorthmark", telephone="(555) 010-0134", email="a@example.com")


def test_owner_and_trailer_are_named() -> None:
    measured = {**demo_request().build.facts, "axle_count": 2}
    found = facts(create_conversation_sheet(of_demo(owner=OWNER, make="Assembled", model_year=2025, facts=measured)))
    assert found["Number of axles"].startswith("2")
    assert found["Owner"] == "A. Builder"
    assert found["Address"] == "12 Birch Lane, Northmark"
    assert (found["Telephone"], found["E-mail"]) == ("(555) 010-0134", "a@example.com")
    assert found["Year and make"] == "2025 Assembled"
    assert found["Identification number"] == "4ZZFB142XS1000231"
    # 18.2 ft x 0.3048 m = 5.547 m, and 0.2 x 12 = 2.4 in;
    # 7,000 lb x 0.45359237 kg = 3,175.1 kg (international yard and pound, 1959).
    assert found["Overall length"] == "18 ft 2 in (5.5 m)"
    assert found["Gross weight rating"] == "7,000 lb (3,175 kg)"


def test_what_is_not_known_is_said_to_be_so_and_what_is_not_given_is_left_out() -> None:
    found = facts(
        create_conversation_sheet(
            of_demo(vin=None, make=None, model_year=None, facts={}, owner=Owner(name="A. Builder"))
        )
    )
    assert (found["Year and make"], found["Identification number"]) == ("Not known", "Not known")
    assert not {"Address", "Telephone", "E-mail", "Overall length"} & set(found)


@pytest.mark.parametrize(
    ("policy", "asked"),
    [
        # The RV policy pays what it is worth, 69,625.22; the agreed value has to be what it costs, 71,816.26.
        (
            "RV actual cash value",
            "(travel trailer) on an actual cash value basis, with a limit of at least {worth}.",
        ),
        ("agreed value", "(travel trailer) for an agreed value of {cost}."),
    ],
)
def test_one_sentence_says_as_what_for_how_much_and_on_which_basis(policy: str, asked: str) -> None:
    totals = demo_statement().estimate.totals
    found = create_conversation_sheet(of_demo(), Printing(for_policy=policy))
    sentence = asked.format(worth=WHOLE(totals.actual_cash_value, "USD"), cost=WHOLE(totals.replacement_cost, "USD"))
    assert Paragraph(f"Please insure this trailer as built {sentence}") in found.blocks


def test_on_a_market_value_basis_the_market_value_is_asked_for_where_it_is_known() -> None:
    policy = Policy(name="offer", basis="market_value")
    known = replace(of_demo(market_value=Decimal(51000)), policies=(policy,))
    assert "on a market value basis, with a limit of at least $51,000." in texts(create_conversation_sheet(known))


@pytest.mark.parametrize(
    ("facts", "answers", "asked"),
    [
        ({}, (), "this trailer for"),
        ({QUARTERS: False}, (), "this trailer for"),
        ({QUARTERS: Measurement(value=True, planned=True)}, (), "this trailer for"),
        ({QUARTERS: True}, (), "this trailer as built (trailer with living quarters) for"),
        ({}, (Answer(value=True, fact=QUARTERS),), "this trailer as built (trailer with living quarters) for"),
        ({QUARTERS: True}, (Answer(value=False, fact=QUARTERS),), "this trailer for"),
        ({QUARTERS: True}, (Answer(value=None, fact=QUARTERS),), "this trailer for"),
    ],
)
def test_a_use_is_stated_only_where_the_facts_say_it(
    facts: dict[str, FactValue], answers: tuple[Answer, ...], asked: str
) -> None:
    """An insurer could void the policy for a use that is not true."""
    request = replace(of_demo(jurisdiction=None, registered_class=None, facts=facts), answers=answers)
    found = create_conversation_sheet(request, Printing(for_policy="agreed value"))
    assert f"Please insure {asked} an agreed value of" in texts(found)
    assert ("is an open question" in texts(found)) == ("as built" not in asked)


def test_a_mismatch_by_the_registered_class_alone_names_no_use() -> None:
    request = of_demo(registered_class="travel_trailer", facts={QUARTERS: False})
    found = texts(create_conversation_sheet(request))
    assert "Please describe the trailer in your records as it is built, send me" in found
    assert "living quarters)" not in found


def test_only_a_mismatch_is_asked_to_be_corrected() -> None:
    unknown = create_conversation_sheet(of_demo(facts={}))
    assert "Please describe the trailer in your records" not in texts(unknown)


def test_without_a_basis_it_asks_for_one() -> None:
    request = replace(of_demo(), policies=(Policy(name="offer"),))
    assert "tell me on which basis a loss would be settled" in texts(create_conversation_sheet(request))


def test_the_value_by_group_adds_up_and_has_the_own_hours_by_themselves() -> None:
    totals, labor = demo_statement().estimate.totals, demo_statement().estimate.labor
    value = table(sheet(), "Value by part")
    amounts = [[Decimal(cell.strip("$").replace(",", "")) for cell in row[1:3]] for row in value.rows]
    assert [sum(column) for column in zip(*amounts, strict=True)] == [
        totals.replacement_cost,
        totals.actual_cash_value,
    ]
    assert value.rows[-1][0] == "Own hours"
    assert value.rows[-1][1] == MONEY(labor.own.replacement_cost)
    assert value.rows[-1][3] == f"{labor.own.hours.normalize():f} hours at $62.00 to $92.00 an hour (written quote)"


def test_the_shares_of_the_evidence_add_up_to_100() -> None:
    """A receipt for 75.00 of 1,000.00 and nothing stated for 925.00: 7.5 and 92.5 percent, not 8 and 93."""
    given: tuple[tuple[str, str, EvidenceGrade | None], ...] = (("a", "75.00", "receipt"), ("b", "925.00", None))
    parts = tuple(
        Component(
            id=name,
            description=name,
            category="stove",
            quantity=Decimal(1),
            unit_cost=Decimal(cost),
            acquired_on=date(2026, 2, 14),
            evidence_grade=grade,
        )
        for name, cost, grade in given
    )
    build = Build(name="x", currency="USD", components=parts)
    request = GapRequest(build=build, as_of=date(2026, 11, 27), policies=demo_request().policies[:1])
    value = table(create_conversation_sheet(request), "Value by part")
    assert [row[1] for row in value.rows] == ["$1,000.00"]
    assert [int(share) for share in re.findall(r"([0-9]+)%", str(value.rows[0][3]))] == [7, 93]


def test_a_mismatch_is_asked_to_be_set_right_and_a_match_is_not() -> None:
    asked = "Please describe the trailer in your records"
    assert asked in texts(sheet())
    assert asked not in texts(create_conversation_sheet(of_demo(registered_class="travel_trailer")))


# The questions


def asked_of_the_insurer() -> list[Question]:
    request = replace(demo_request(), policies=demo_request().policies[1:2])
    return [question for question in create_gap_statement(request).questions if question.to == "insurer"]


def test_the_questions_with_the_most_money_have_boxes_over_two_pages() -> None:
    found = boxes(sheet())
    assert [box.text for box in found] == [question.text for question in asked_of_the_insurer()[:MAX_BOXES]]
    assert [box.new_page for box in found] == [index == BOXES_PER_PAGE for index in range(MAX_BOXES)]
    for box, question in zip(found, asked_of_the_insurer(), strict=False):
        stake = question.money_at_stake.high
        assert box.money == (f"Up to {WHOLE(stake, 'USD')} depends on the answer" if stake else "")
        assert box.signed == ("Answered by", "Date", "Reference")


@pytest.mark.parametrize(("count", "split"), [(0, []), (1, []), (4, []), (5, [3]), (7, [4]), (8, [4])])
def test_no_box_stands_alone_on_a_page(count: int, split: list[int]) -> None:
    context = report_context(replace(demo_statement(), questions=tuple(asked_of_the_insurer()[:count])))
    found = [block for block in question_boxes(context) if isinstance(block, QuestionBox)]
    assert [index for index, box in enumerate(found) if box.new_page] == split


# The last page, and all of it


def test_cautions_defer_to_authority_insurer_and_licensed_people() -> None:
    (caution,) = (block for block in sheet().blocks if isinstance(block, Caution))
    text = " ".join(caution.items)
    for words in ("authority", "insurer", "licensed people", "not legal advice"):
        assert words in text


def test_the_last_page_says_how_to_check_the_figures() -> None:
    pages = [block.text for block in sheet().blocks if isinstance(block, Heading) and block.new_page]
    assert pages == ["Questions, with space for the answers", "Before you rely on this sheet"]
    assert demo_statement().digest in texts(sheet())


@pytest.mark.parametrize(("count", "new_page"), [(0, False), (2, False), (3, True), (5, False), (6, True), (8, True)])
def test_the_closing_begins_a_page_only_after_one_that_is_full(count: int, *, new_page: bool) -> None:
    context = report_context(replace(demo_statement(), questions=tuple(asked_of_the_insurer()[:count])))
    headings = [block for block in conversation_sheet(context) if isinstance(block, Heading)]
    (closing,) = (heading for heading in headings if heading.text == "Before you rely on this sheet")
    assert closing.new_page is new_page


def test_replacement_cost_and_actual_cash_value_have_their_range() -> None:
    estimate = demo_statement().estimate
    ends, found = estimate.value_range, facts(sheet())
    assert ends is not None
    cost, low, high = map(MONEY, (estimate.totals.replacement_cost, estimate.band.low, estimate.band.high))
    assert found["Replacement cost new"] == f"{cost}; range {low} to {high} (90% confidence)"
    assert found["Actual cash value"] == (
        f"{MONEY(estimate.totals.actual_cash_value)}; range {MONEY(ends.low)} (by cost, own hours left out and other "
        f"labor depreciated) to {MONEY(ends.high)}"
    )


def test_there_are_blanks_for_whom_you_speak_with() -> None:
    (blanks,) = (block for block in sheet().blocks if isinstance(block, Blanks))
    assert blanks.labels == ("Insurer", "Policy number", "Spoke with", "Date")


def test_a_build_without_anything_still_has_a_sheet() -> None:
    request = of_demo(
        vin=None, base=None, jurisdiction=None, registered_class=None, components=(), labor=(), facts={}, protections=()
    )
    empty = replace(request, policies=(), losses=(), locale="de-DE")
    assert create_conversation_sheet(empty).blocks
