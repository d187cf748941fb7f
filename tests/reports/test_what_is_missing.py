"""What a document lacks is said in its place: in the answers, in every report and on the command line."""

import json
from typing import Any, get_args

import pytest

from hitchworth.cli import main
from hitchworth.localization.locales import available
from hitchworth.model.document import Document
from hitchworth.model.gap import GapStatement
from hitchworth.model.request import EstimateRequest, GapRequest, SettlementRequest
from hitchworth.operations.appraisals import create_estimate, create_gap_statement, create_settlements
from hitchworth.operations.documents import read_document, request_at
from hitchworth.operations.reports import create_conversation_sheet, create_report
from hitchworth.reports.catalog import ReportName
from hitchworth.reports.content import Content, GroupedTable, Table
from hitchworth.reports.markdown import render

NO_POLICIES = "No policy is entered, so what insurance would pay, and what to ask the insurer, is not known."
NO_LOSSES = "No loss is entered, so what would be paid for one is not known."
NOTHING = "No part and no work is entered that counts on this date, so there is nothing to value."
PART = {
    "id": "stove",
    "description": "Stove",
    "category": "stove",
    "quantity": 1,
    "unit_cost": "240.00",
    "acquired_on": "2026-03-01",
}
BUILD: dict[str, Any] = {"name": "Camper", "currency": "USD", "components": [PART]}
EMPTY = {"name": "Camper", "currency": "USD"}
POLICY, LOSS = {"name": "one", "basis": "agreed_value"}, {"name": "theft", "peril": "theft"}


def document(build: Any = BUILD, **fields: Any) -> Document:
    return read_document(json.dumps({"build": build, **fields}).encode())


def statement(build: Any = BUILD, **fields: Any) -> GapStatement:
    return create_gap_statement(request_at(document(build, **fields), GapRequest))


def report(name: ReportName | None, build: Any = BUILD, **fields: Any) -> Content:
    request = request_at(document(build, **fields), GapRequest)
    return create_conversation_sheet(request) if name is None else create_report(request, name)


@pytest.mark.parametrize(
    ("fields", "codes"),
    [
        ({}, ["no_policies", "no_losses"]),
        ({"policies": [POLICY]}, ["no_losses"]),
        ({"losses": [LOSS]}, ["no_policies"]),
        ({"policies": [POLICY], "losses": [LOSS]}, []),
    ],
)
def test_a_statement_says_what_would_have_to_be_entered(fields: dict[str, Any], codes: list[str]) -> None:
    found = statement(**fields)
    settled = create_settlements(request_at(document(**fields), SettlementRequest))
    assert [note.code for note in found.notes] == [note.code for note in settled.notes] == codes
    assert all(note.text in found.statement for note in found.notes)
    assert ("No settlement leaves a gap." in found.statement) is False


def test_a_build_without_parts_is_not_worth_nothing_but_not_known() -> None:
    estimate = create_estimate(request_at(document(EMPTY), EstimateRequest))
    assert [note.text for note in estimate.notes] == [NOTHING]
    assert statement(EMPTY).statement.startswith(NOTHING)
    assert "$0.00" not in statement(EMPTY).statement
    assert "nothing_to_value" not in {note.code for note in statement().estimate.notes}


def test_what_is_not_yet_bought_or_already_gone_is_nothing_to_value_on_that_day() -> None:
    gone = {**BUILD, "components": [{**PART, "removed_on": "2026-04-01"}]}
    codes = {note.code for note in create_estimate(request_at(document(gone), EstimateRequest)).notes}
    assert codes == {"entries_left_out", "nothing_to_value"}


@pytest.mark.parametrize("name", [None, *get_args(ReportName)])
@pytest.mark.parametrize("build", [EMPTY, BUILD], ids=["empty", "parts"])
@pytest.mark.parametrize("fields", [{}, {"policies": [POLICY]}, {"losses": [LOSS]}], ids=["bare", "policy", "loss"])
def test_no_report_has_an_empty_table(name: ReportName | None, build: Any, fields: dict[str, Any]) -> None:
    for block in report(name, build, **fields).blocks:
        if isinstance(block, Table):
            assert block.rows, block.caption
        if isinstance(block, GroupedTable):
            assert block.groups, block.caption
            assert all(group.rows for group in block.groups), block.caption


def test_the_comparison_of_policies_says_that_there_is_none_and_warns_of_nothing() -> None:
    page = render(report("comparison"))
    assert NO_POLICIES in page
    assert NO_LOSSES in page
    assert "not to hand over" not in page
    assert "For yourself" not in page


def test_the_terms_of_a_policy_are_shown_before_a_loss_is_entered() -> None:
    page = render(report("comparison", policies=[POLICY]))
    assert "Policy “one”" in page
    assert "For yourself" in page
    assert "greed value" in page
    assert NO_LOSSES in page
    assert NO_POLICIES not in page


def test_the_sheet_asks_without_a_figure_where_nothing_is_valued() -> None:
    page = render(report(None, EMPTY))
    assert "and tell me on which basis a loss would be settled." in page
    assert "$0.00" not in page
    assert NOTHING in page
    assert NO_POLICIES in page
    assert "No question for the insurer is open." not in page
    valued = render(report(None))
    assert "for $240, and tell me" in valued
    assert NOTHING not in valued


def test_the_inventory_says_that_nothing_is_entered() -> None:
    page = render(report("inventory", EMPTY))
    assert NOTHING in page
    assert "| --- |" not in page.partition("## Protection")[0]


def test_what_to_do_after_any_loss_is_said_to_be_that() -> None:
    only = "No loss is entered: this is what to do after a loss of any kind."
    assert only in render(report("after-loss"))
    assert only not in render(report("after-loss", losses=[LOSS]))


@pytest.mark.parametrize("locale", available())
def test_it_is_said_in_every_language(locale: str) -> None:
    found = statement(EMPTY, locale=locale)
    assert (NO_POLICIES in found.statement) == locale.startswith("en")
    assert all(note.text for note in found.notes)


def test_the_command_line_prints_the_notes_in_place_of_tables(
    tmp_path: Any, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "camper.json"
    file.write_text(json.dumps(EMPTY))
    for command, said in (("estimate", [NOTHING]), ("settle", [NO_POLICIES, NO_LOSSES]), ("gap", [NOTHING, NO_LOSSES])):
        assert main([command, str(file)]) == 0
        printed = " ".join(capsys.readouterr().out.split())
        assert all(text in printed for text in said)
        assert "───" not in printed
        assert "No question for the insurer" not in printed
