"""The letters: what they ask, what they take from the request, and what they leave out."""

from datetime import date
from io import BytesIO

import pytest
from docx import Document
from msgspec.structs import replace

from hitchworth.demo import demo_request
from hitchworth.localization.locales import available
from hitchworth.model.answer import Answer
from hitchworth.model.build import Owner
from hitchworth.model.request import GapRequest
from hitchworth.operations.reports import Printing, create_letter
from hitchworth.reports import docx, plain_text
from hitchworth.reports.letters import LetterName
from hitchworth.validation import InvalidInputError

OWNER = Owner(name="A. Builder", address="12 Birch Lane\nNorthmark", telephone="(555) 010-0134", email="a@example.com")
SAID = Answer(
    policy="agreed value",
    term="deductible",
    value="500",
    said_by="the agent",
    said_on=date(2026, 10, 20),
    reference="call 7",
)


def request(*answers: Answer, **build: object) -> GapRequest:
    demo = demo_request()
    return replace(demo, answers=answers, build=replace(demo.build, owner=OWNER, **build))


def text(name: LetterName, of: GapRequest, for_policy: str | None = None) -> str:
    return plain_text.render(create_letter(of, name, Printing(for_policy=for_policy)))


def test_a_letter_has_sender_recipient_date_subject_and_signature() -> None:
    assert text("confirm-answers", request(SAID)) == (
        "A. Builder\n12 Birch Lane\nNorthmark\n(555) 010-0134\na@example.com\n\n"
        "To the insurer of the policy “agreed value”\nPolicy number: ____________________\n\n"
        "November 1, 2026\n\n"
        "Please confirm what I was told about the policy “agreed value”\n\n"
        "To whom it may concern:\n\n"
        "I own the trailer “Standing-height birch camper” (2025 Example Trailer Works, identification number: "
        "4ZZFB142XS1000231). About the policy “agreed value” I was told the following:\n\n"
        "- Deductible: $500.00 (said by the agent, on October 20, 2026, reference: call 7)\n\n"
        "Please confirm each point in writing, or tell me what is different. I keep your answer with the policy.\n\n"
        "Sincerely,\n\nA. Builder\n"
    )


def test_of_two_answers_on_one_term_the_newest_is_confirmed_and_nothing_of_another_policy() -> None:
    older = replace(SAID, value="250", said_on=date(2026, 9, 1))
    other = Answer(policy="auto extension", term="lender", value="none")
    letter = text("confirm-answers", request(SAID, older, other))
    assert "$500.00" in letter
    assert "$250.00" not in letter
    assert "auto extension" not in letter


def test_nothing_is_made_up_about_who_said_it() -> None:
    letter = text("confirm-answers", request(Answer(policy="agreed value", term="holdback", value=True)))
    (line,) = (line for line in letter.splitlines() if line.startswith("- "))
    assert line == "- Withholds depreciation (holdback): yes"


def test_the_class_is_asked_to_be_corrected_with_the_definition_only_where_it_was_read() -> None:
    letter = text("correct-class", request(), for_policy="agreed value")
    assert "is registered as: utility trailer. It is built as: travel trailer." in letter
    assert "corrected declarations page" in letter
    statement = letter.partition("It meets the published definition")
    assert ("RCW 46.04.623" in letter) == bool(statement[1])


def test_the_authority_is_asked_what_it_takes() -> None:
    letter = text("change-class", request())
    assert "To the authority that registers vehicles in Washington (US-WA)" in letter
    assert "- weigh ticket" in letter
    assert "brakes, lights" in letter
    assert "policy" not in letter


def only_fault(name: LetterName, of: GapRequest) -> tuple[str, str]:
    with pytest.raises(InvalidInputError) as raised:
        create_letter(of, name)
    (fault,) = raised.value.faults
    return fault.pointer, fault.expected


def test_what_is_missing_for_a_letter_is_named() -> None:
    assert only_fault("confirm-answers", request()) == ("/answers", "an answer on “RV actual cash value”")
    fits = request(registered_class="travel_trailer")
    open_use = request(registered_class="utility_trailer", jurisdiction=None, facts={})
    for name in ("correct-class", "change-class"):
        assert only_fault(name, fits)[0] == "/build/registered_class"
        assert only_fault(name, open_use) == ("/build/facts", "facts that say what it is built as")
    assert only_fault("confirm-answers", replace(request(), policies=())) == ("/policies", "a policy")


@pytest.mark.parametrize("locale", available())
def test_a_letter_can_be_edited_in_every_language(locale: str) -> None:
    letter = create_letter(replace(request(SAID), locale=locale), "confirm-answers")
    word = Document(BytesIO(docx.render(letter)))
    lines = [paragraph.text for paragraph in word.paragraphs]
    assert lines[0].startswith("A. Builder")
    assert letter.title in lines
    assert any("call 7" in line for line in lines)


def test_without_an_owner_there_is_a_blank() -> None:
    nameless = replace(request(SAID), build=replace(demo_request().build, owner=None, vin=None, make=None))
    letter = text("confirm-answers", nameless)
    assert letter.startswith("Name: ____")
    assert "(2025, identification number: ____" in letter
    assert letter.endswith("Sincerely,\n")
