"""What the conversation sheet holds: one content, whatever it is printed as."""

from decimal import Decimal
from typing import TypeVar

import pytest
from msgspec.structs import replace

from demo_sheet import demo_content, demo_statement
from hitchworth.demo import demo_request
from hitchworth.model.build import Schedule
from hitchworth.model.policy import Answer
from hitchworth.sheets.content import Block, Caution, Figure, GroupedTable, Heading, QuestionBox, Table
from hitchworth.sheets.conversation import content
from hitchworth.wording.voice import voice_of

B = TypeVar("B", bound=Block)


def of_kind(kind: type[B], locale: str = "en-US") -> list[B]:
    return [block for block in demo_content(locale).blocks if isinstance(block, kind)]


def table(caption: str) -> Table:
    return next(block for block in of_kind(Table) if block.caption == caption)


def test_the_first_page_has_the_gap_in_one_picture_and_five_questions() -> None:
    blocks = demo_content("en-US").blocks
    new_page = next(i for i, block in enumerate(blocks) if isinstance(block, Heading) and block.new_page)
    first = blocks[:new_page]
    assert sum(isinstance(block, Figure) for block in first) == 1
    tables = [block for block in first if isinstance(block, Table)]
    assert [len(block.rows) for block in tables] == [min(5, len(demo_statement().questions))]


def test_every_question_has_its_box_with_room_to_write() -> None:
    boxes = of_kind(QuestionBox)
    assert len(boxes) == len(demo_statement().questions) > 3
    for box in boxes:
        assert box.answer == "Answer"
        assert box.signed == ("Said by", "Date", "Reference")
        assert box.text
        assert "$" in box.money


def test_the_matrix_shows_every_policy_and_every_loss() -> None:
    statement, money = demo_statement(), voice_of("en-US", "USD").money
    matrix = table("Payment by policy and loss")
    assert [column.title for column in matrix.columns[1:]] == list(dict.fromkeys(s.loss for s in statement.settlements))
    shown = [cell for row in matrix.rows for cell in row[1:]]
    assert shown == [f"{money(s.payable)}\ngap {money(s.gap)}" for s in statement.settlements]


def test_every_step_of_every_settlement_is_printed() -> None:
    money = voice_of("en-US", "USD").money
    steps = {row for block in of_kind(Table) if block.caption.startswith("Step by step") for row in block.rows}
    for settlement in demo_statement().settlements:
        for step in settlement.steps:
            assert any(row[1:] == (money(step.amount), money(step.running)) for row in steps)


def test_every_line_of_the_inventory_is_printed_under_its_category() -> None:
    estimate = demo_statement().estimate
    lines = next(block for block in of_kind(GroupedTable) if block.caption == "Every line, by category")
    assert sum(len(group.rows) for group in lines.groups) == len(estimate.lines)
    assert len(lines.groups) == len(estimate.categories)
    assert all(len(group.sums) == len(lines.columns) - 1 for group in lines.groups)


def test_definitions_that_nobody_verified_are_marked() -> None:
    built = demo_statement().assessment.built
    definitions = table("Published definitions of the jurisdiction, and whether the build meets them")
    marked = [row for row in definitions.rows if "not verified" in row[1]]
    assert len(marked) == sum(not definition.verified for definition in built) > 0


def test_cautions_defer_to_authority_insurer_and_licensed_people() -> None:
    (caution,) = of_kind(Caution)
    text = " ".join(caution.items)
    for words in ("authority", "insurer", "licensed people", "no legal advice"):
        assert words in text


def test_tables_have_a_cell_for_every_column() -> None:
    for locale in ("en-US", "de-DE"):
        for block in of_kind(Table, locale):
            assert {len(row) for row in block.rows} == {len(block.columns)}
            assert len(block.foot) in {0, len(block.columns)}


@pytest.mark.parametrize(
    ("locale", "paper"), [("en-US", "letter"), ("de-DE", "a4"), ("en-GB", "a4"), ("de-AT", "a4"), ("en-CA", "letter")]
)
def test_paper_follows_the_region(locale: str, paper: str) -> None:
    assert demo_content(locale).paper == paper


def test_the_caller_may_choose_the_paper() -> None:
    assert demo_content("en-US", "a4").paper == "a4"


def test_recorded_answers_stand_in_the_terms_and_in_a_table() -> None:
    request = demo_request()
    answers = (
        Answer(value="1000", policy="agreed value", term="deductible", said_by="clerk", said_on=request.as_of),
        Answer(value=False, fact="has_toilet"),
    )
    statement = replace(demo_statement(), answers=answers)
    sheet = content(request.build, request.policies, statement, "en-US")
    recorded = next(b for b in sheet.blocks if isinstance(b, Table) and b.caption.endswith("on these answers"))
    assert recorded.rows[0] == ("agreed value: deductible", "$1,000.00", "clerk", "Nov 1, 2026", "")
    assert recorded.rows[1][:2] == ("Toilet", "no")


def test_a_build_without_anything_still_has_a_sheet() -> None:
    request, statement = demo_request(), demo_statement()
    bare = replace(
        statement,
        settlements=(),
        questions=(),
        estimate=replace(statement.estimate, lines=(), categories=(), notes=()),
        assessment=replace(
            statement.assessment, built=(), remedies=(), near_misses=(), weights=(), views=(), identification=None
        ),
    )
    build = replace(request.build, vin=None, base=None, jurisdiction=None, registered_class=None, protections=())
    assert content(build, (), bare, "de-DE").blocks


def test_every_schedule_that_a_line_follows_is_listed_with_its_source() -> None:
    listed = table("Schedules of depreciation that were applied")
    followed = {line.schedule for line in demo_statement().estimate.lines} - {"none"}
    assert len(listed.rows) == len(followed) > 10
    assert all(row[-1] for row in listed.rows)


def test_a_schedule_of_the_build_goes_before_that_of_the_library() -> None:
    request = demo_request()
    own = Schedule(method="straight_line", life_years=Decimal(12), residual=Decimal("0.3"))
    build = replace(request.build, schedules={"chassis": own})
    sheet = content(build, request.policies, demo_statement(), "en-US")
    rows = next(b for b in sheet.blocks if isinstance(b, Table) and b.caption.startswith("Schedules of")).rows
    assert rows[0] == ("Chassis", "straight line", "12", "30%", "Schedule of your own")
