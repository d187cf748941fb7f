"""The reports beside the conversation sheet: what each of them holds, once, whatever it is printed as."""

import re
from decimal import Decimal
from typing import TypeVar, get_args

import pytest
from msgspec.structs import replace

from demo_sheet import demo_content, demo_statement, localized_demo_statement
from hitchworth.demo import demo_request
from hitchworth.localization.localizer import localizer_for
from hitchworth.model.gap import Question
from hitchworth.model.schedule import Schedule
from hitchworth.operations.reports import Printing, create_report
from hitchworth.reference.labor_depreciation_rules import labor_depreciation_rules
from hitchworth.reports.catalog import CONVERSATION_SHEET, ReportName
from hitchworth.reports.content import (
    AnyBlock,
    Block,
    Caution,
    Figure,
    GroupedTable,
    Heading,
    Paragraph,
    QuestionBox,
    Table,
)

B = TypeVar("B", bound=Block)


def of_kind(kind: type[B], locale: str = "en-US", report: str = "all") -> list[B]:
    return [block for block in demo_content(locale, None, report).blocks if isinstance(block, kind)]


def table(caption: str) -> Table:
    return next(block for block in of_kind(Table) if block.caption == caption)


def grouped(caption: str) -> GroupedTable:
    return next(block for block in of_kind(GroupedTable) if block.caption.startswith(caption))


def amount(value: Decimal) -> str:
    return localizer_for("en-US", "USD").money(value).replace("-", "−") if value else "–"


def to_ask(addressee: str) -> list[Question]:
    return [question for question in localized_demo_statement().questions if question.to == addressee]


@pytest.mark.parametrize("report", get_args(ReportName))
def test_each_report_has_its_name_and_the_digest_of_the_gap_statement(report: str) -> None:
    content = demo_content("en-US", None, report)
    assert demo_statement().digest in content.footer
    assert content.subtitle.endswith(", as of November 1, 2026")
    names = {demo_content("en-US", None, name).subtitle for name in get_args(ReportName)}
    assert len(names) == len(get_args(ReportName))


def test_all_reports_are_the_sheet_and_the_others_each_from_a_new_page() -> None:
    headings = [block.text for block in of_kind(Heading) if block.new_page]
    assert headings == [
        "Questions, with space for the answers",
        "Before you rely on this sheet",
        "What each policy would pay for each loss",
        "Inventory",
        "Register of serial numbers",
        "Registered class and built use",
        "After a loss: the first day",
        "Workings",
    ]


@pytest.mark.parametrize("report", get_args(ReportName))
def test_no_heading_says_the_title_again(report: str) -> None:
    content = demo_content("en-US", None, report)
    headings = [block for block in content.blocks if isinstance(block, Heading)]
    assert [heading.text for heading in headings if content.subtitle.startswith(f"{heading.text},")] == []
    assert not headings or headings[0].level == 1


def test_the_comparison_is_for_the_builder_alone_and_has_the_largest_gap_as_a_picture() -> None:
    assert "do not hand it over" in of_kind(Caution, report="comparison")[0].items[0]
    assert len(of_kind(Figure, report="comparison")) == 1


@pytest.mark.parametrize("report", [CONVERSATION_SHEET, *get_args(ReportName)])
def test_every_report_has_the_cautions_once(report: str) -> None:
    cautions = [each for each in of_kind(Caution, report=report) if each.title == "Cautions"]
    assert [each.items for each in cautions] == [localized_demo_statement().cautions]
    words = " ".join(cautions[0].items)
    for said in ("not legal advice, not insurance advice", "authority decides", "gas, line-voltage", "towing limits"):
        assert said in words


def test_the_workings_have_the_formulas_of_every_line() -> None:
    content = demo_content("en-US", None, "workings")
    formulas = next(block for block in content.blocks if isinstance(block, GroupedTable))
    assert [group.title for group in formulas.groups] == [each.description for each in demo_statement().estimate.lines]
    assert demo_statement().digest in content.footer  # asking for them does not make it other data


def test_all_questions_stand_in_a_table_by_phase_with_the_money_and_room_to_write() -> None:
    table = grouped("All questions")
    rows = [row for group in table.groups for row in group.rows]
    assert [group.title for group in table.groups] == [
        "While you build",
        "When you apply for the policy",
        "At renewal",
        "After a loss",
    ]
    whole = localizer_for("en-US", "USD").formats.whole_money
    assert {row[:2] for row in rows} == {
        (
            f"{each.text}\n{each.clear_answer}",
            f"up to {whole(each.money_at_stake.high, 'USD')}" if each.money_at_stake.high else "–",
        )
        for each in to_ask("insurer")
    }
    assert len(rows) == len(to_ask("insurer"))
    assert {row[2] for row in rows} == {""}


@pytest.mark.parametrize(("locale", "zero"), [("en-US", r"\$0\.00"), ("de-DE", r"0,00\s\$")])
def test_no_question_says_that_no_money_is_at_stake(locale: str, zero: str) -> None:
    assert not [box.money for box in of_kind(QuestionBox, locale) if re.search(rf"(?<![\d,.]){zero}", box.money)]


def test_questions_for_the_authority_and_for_the_builder_have_tables_of_their_own() -> None:
    captions = {"authority": "Questions for the registering authority", "builder": "For you to find out"}
    for addressee, caption in captions.items():
        assert [row[0].partition("\n")[0] for row in table(caption).rows] == [each.text for each in to_ask(addressee)]


def test_the_matrix_shows_every_policy_and_every_loss() -> None:
    statement, money = demo_statement(), amount
    matrix = table("Payment by policy and loss")
    assert [column.title for column in matrix.columns[1:]] == ["Theft", "Fire", "Water ingress", "Hail"]
    shown = [cell.split("\n") for row in matrix.rows for cell in row[1:]]
    for lines, settlement in zip(shown, statement.settlements, strict=True):
        assert lines[0] == (money(settlement.payable) if settlement.payable else "nothing")
        assert f"gap {money(settlement.gap)}" in lines
        better = settlement.payable_at_best > settlement.payable
        assert (f"at best {money(settlement.payable_at_best)}" in lines) == better


def test_every_step_of_every_settlement_is_printed() -> None:
    tables = [block for block in of_kind(GroupedTable) if block.caption.startswith("Step by step")]
    steps = {row for block in tables for group in block.groups for row in group.rows}
    for settlement in localized_demo_statement().settlements:
        for step in settlement.steps:
            assert (step.label, amount(step.amount), amount(step.running)) in steps


def test_what_is_paid_and_where_the_rest_goes_adds_up_in_one_table() -> None:
    for policy in demo_request().policies:
        paid = table(f"What “{policy.name}” pays, and where the rest goes")
        settlements = [each for each in localized_demo_statement().settlements if each.policy == policy.name]
        rows = {row[0].strip(): row[1:] for row in paid.rows}
        assert paid.foot[1:] == tuple(amount(each.payable) for each in settlements)
        for column, settlement in enumerate(settlements):
            for part in settlement.gap_breakdown:
                assert rows[part.label][column] == amount(part.amount)


def test_every_line_of_the_inventory_is_printed_under_its_category() -> None:
    estimate = demo_statement().estimate
    lines = next(block for block in of_kind(GroupedTable) if block.caption == "Every line, by category")
    assert sum(len(group.rows) for group in lines.groups) == len(estimate.lines)
    assert len(lines.groups) == len(estimate.categories)
    assert all(len(group.subtotals) == len(lines.columns) - 1 for group in lines.groups)


def with_unverified(report: ReportName) -> tuple[AnyBlock, ...]:
    return create_report(demo_request(), report, Printing(include_unverified=True)).blocks


def small_print(blocks: tuple[AnyBlock, ...]) -> list[str]:
    return [block.text for block in blocks if isinstance(block, Paragraph) and block.small]


def test_what_nobody_read_is_left_out_of_a_report_for_others_and_counted() -> None:
    assessment = demo_statement().assessment
    brings = next(remedy.brings for remedy in assessment.remedies if remedy.brings)
    read = [each.verified for each in assessment.built]
    read += [each.verified for each in assessment.towing_rules] + [each.verified for each in brings]
    blocks = demo_content("en-US", None, "class-report").blocks
    assert small_print(blocks) == [
        f"Entries left out because they were not compared with the published text: {read.count(False)}. They can be "
        "printed too, each marked so."
    ]
    assert "†" not in repr(blocks)
    left_out = [each.citation for each in assessment.built if not each.verified]
    assert left_out
    assert [citation for citation in left_out if f"{citation} " in repr(blocks)] == []


def test_what_nobody_read_is_marked_where_it_is_asked_for() -> None:
    built = demo_statement().assessment.built
    blocks = with_unverified("class-report")
    definitions = next(b for b in blocks if isinstance(b, Table) and b.caption.startswith("Published definitions"))
    marked = [row for row in definitions.rows if row[1].endswith("†")]
    assert len(definitions.rows) == len(built)
    assert len(marked) == sum(not definition.verified for definition in built) > 0


@pytest.mark.parametrize("report", ["inventory", "after-loss"])
def test_where_everything_was_read_nothing_is_said_to_be_left_out(report: ReportName) -> None:
    assert small_print(demo_content("en-US", None, report).blocks) == []


def test_a_rule_on_labor_that_nobody_read_is_left_out_of_the_inventory() -> None:
    demo = demo_request()
    rule = next(rule for rule in labor_depreciation_rules().values() if rule.provenance == "unverified")
    request = replace(demo, build=replace(demo.build, jurisdiction=rule.jurisdiction))
    left_out, printed = (
        create_report(request, "inventory", Printing(include_unverified=asked)).blocks for asked in (False, True)
    )
    assert rule.citation not in repr(left_out)
    assert "published text: 1. They can be printed too" in small_print(left_out)[0]
    assert f"{rule.citation} †" in repr(printed)


def test_a_mark_is_explained_once_at_the_start_and_only_where_it_is_used() -> None:
    explained = "† Not compared with the published text. Read it before you rely on it."
    for report in get_args(ReportName):
        blocks = with_unverified(report)
        notes = [block for block in blocks if isinstance(block, Paragraph) and block.text == explained]
        marked = sum(text.count("†") for text in map(repr, blocks)) > len(notes)
        assert bool(notes) == marked
        if report != "all":
            assert notes in ([], [block for block in blocks[:2] if isinstance(block, Paragraph)])
    assert Paragraph(explained, small=True) in with_unverified("class-report")


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


def test_every_schedule_that_a_line_follows_is_listed_with_its_source() -> None:
    listed = table("Schedules of depreciation that were applied")
    followed = {line.schedule for line in demo_statement().estimate.lines} - {"none"}
    named = {name for row in listed.rows for name in row[0].lower().split(", ")}
    assert named == {localizer_for("en-US").label("category", name).lower() for name in followed}
    assert len({row[1:] for row in listed.rows}) == len(listed.rows) > 5
    assert all(row[-1] for row in listed.rows)


def test_a_schedule_of_the_build_goes_before_that_of_the_library() -> None:
    request = demo_request()
    own = Schedule(method="straight_line", life_years=Decimal(12), residual=Decimal("0.3"))
    build = replace(request.build, schedules={"chassis": own})
    found = create_report(replace(request, build=build), "workings")
    rows = next(b for b in found.blocks if isinstance(b, Table) and b.caption.startswith("Schedules of")).rows
    assert rows[0] == ("Chassis", "Straight line", "12", "30%", "Schedule of your own")
