"""What protects the trailer, and what to do after a loss, on the sheet."""

from datetime import date
from decimal import Decimal
from io import BytesIO

import pytest
from msgspec.structs import replace
from pypdf import PdfReader

from circuit_examples import FAN
from demo_sheet import demo_content, demo_statement
from hitchworth.demo import demo_request
from hitchworth.localization.localize import localize
from hitchworth.localization.localizer import capital, localizer_for
from hitchworth.model.build import Protection
from hitchworth.operations.reports import create_report
from hitchworth.protection.report import protection_report
from hitchworth.reports import pdf
from hitchworth.reports.after_loss import CHECKBOX, DO_NOT_DISCARD, after_loss
from hitchworth.reports.catalog import CONVERSATION_SHEET
from hitchworth.reports.content import Block, Caution, Facts, GroupedTable, Listing, Paragraph, Table
from hitchworth.reports.context import ReportContext
from hitchworth.reports.protection import missing_protection, protection


def context(*, circuits: bool = False) -> ReportContext:
    request, statement = demo_request(), demo_statement()
    build = request.build
    if circuits:
        bad = (replace(FAN, name="bad", dedicated_fuse=False), replace(FAN, name="bare", awg=None, dedicated_fuse=None))
        device = Protection(name="coupler_lock", cost=Decimal(90), annual_discount=Decimal(30))
        build = replace(build, circuits=bad, protections=(*(build.protections or ())[1:], device))
        statement = replace(statement, protection=protection_report(build, request.policies, statement.as_of))
    return ReportContext(build, request.policies, localize(statement, "en-US"), localizer_for("en-US", "USD"))


def tables(blocks: tuple[Block, ...]) -> dict[str, Table]:
    return {block.caption: block for block in blocks if isinstance(block, Table)}


def test_every_measure_is_listed_with_the_perils_that_it_slows_and_its_evidence() -> None:
    about = context()
    rows = tables(protection(about))["Measures installed"].rows
    for row, measure in zip(rows, about.statement.protection.measures, strict=True):
        assert row[0].split("\n")[0] == measure.title
        assert row[1] == (capital(", ".join(measure.slows)) or "–")
        assert capital(measure.evidence) in row[3]


def test_a_measure_has_the_day_of_its_installation_or_says_that_it_is_not_known() -> None:
    """The demo's coupler lock was installed on 2025-09-03; a second context leaves its day out."""
    installed = {row[0].split("\n")[0]: row[2] for row in _measures(context())}
    assert installed["Lock that closes the coupler while the trailer is parked"] == "Sep 3, 2025"
    unknown = {row[0].split("\n")[0]: row[2] for row in _measures(context(circuits=True))}
    assert unknown["Lock that closes the coupler while the trailer is parked"] == "not known"


def test_a_measure_of_a_later_day_is_not_in_place() -> None:
    about = context()
    later = replace(about.statement.protection.measures[0], in_place=False)
    report = replace(about.statement.protection, measures=(later,))
    (row,) = _measures(replace(about, statement=replace(about.statement, protection=report)))
    assert row[2] == "Sep 3, 2025\nnot in place on this date"


def _measures(about: ReportContext) -> tuple[tuple[str, ...], ...]:
    return tables(protection(about))["Measures installed"].rows


def test_uncovered_layers_and_perils_that_nothing_slows_are_named() -> None:
    blocks = missing_protection(context())
    assert [row[0] for row in tables(blocks)["Layers without a measure in place"].rows] == [
        "Visible deterrents",
        "Sealing",
        "Storage",
        "Records",
    ]
    (uncovered,) = (block.text for block in blocks if isinstance(block, Paragraph))
    assert "hail" in uncovered
    assert "theft" not in uncovered


def test_checks_that_failed_come_before_those_that_could_not_be_made_and_none_that_holds() -> None:
    about = context(circuits=True)
    rows = tables(missing_protection(about))["Checks of low-voltage circuits that failed or could not be made"].rows
    findings = [finding for circuit in about.statement.protection.circuits for finding in circuit.findings]
    failed, unknown = ([each.text for each in findings if each.holds is holds] for holds in (False, None))
    assert failed
    assert unknown
    assert [row[1] for row in rows] == [*failed, *unknown]
    cautions = [item for block in missing_protection(about) if isinstance(block, Listing) for item in block.items]
    assert any("licensed" in caution for caution in cautions)


def test_a_payback_is_shown_where_a_discount_was_entered() -> None:
    (row,) = tables(missing_protection(context(circuits=True)))[
        "Cost of a device compared with the discount entered"
    ].rows
    assert "after 3 years" in row[1]


def test_without_circuits_and_discounts_there_are_no_tables_of_them() -> None:
    captions = {"Measures that the inventory suggests, to be confirmed", "Layers without a measure in place"}
    assert tables(missing_protection(context())).keys() == captions
    assert tables(protection(context())).keys() == {"Measures installed"}


def test_every_duty_after_a_loss_has_its_box_to_tick_or_is_set_apart() -> None:
    about = context()
    blocks = after_loss(about)
    (checklist,) = (block for block in blocks if isinstance(block, GroupedTable))
    (kept,) = (block for block in blocks if isinstance(block, Caution))
    rows = [row for group in checklist.groups for row in group.rows]
    duties = about.statement.after_loss.checklist
    assert {row[2] for row in rows} == {CHECKBOX}
    assert {*(row[0] for row in rows), *kept.items} == {duty.text for duty in duties}
    assert len(kept.items) == len({duty.id for duty in duties} & set(DO_NOT_DISCARD)) == 2


def test_the_police_get_the_numbers_and_the_time_limits_name_source_and_mark() -> None:
    about = context()
    after, blocks = about.statement.after_loss, after_loss(about)
    (facts,) = (block for block in blocks if isinstance(block, Facts))
    assert facts.rows[0].value == after.vin
    found = tables(blocks)
    assert [row[1] for row in found["Serial numbers to give to the police"].rows] == [
        each.serial_number for each in after.serial_numbers
    ]
    limits = found["Time limits that apply"].rows
    # WAC 284-30-380: the insurer's time begins with the proof of loss, so there is a blank and no date.
    assert limits[0] == (
        "The insurer accepts or denies the claim within 15 working days of receiving the proof of loss.",
        "15 working days from receiving the proof of loss: ________",
        "Washington (US-WA): WAC 284-30-380",
    )
    by_text = {row[0]: row[1:] for row in limits}
    # Nothing has happened yet, so there is no date that would make the page look like a claim.
    (proof,) = (row for text, row in by_text.items() if "sworn proof of loss" in text)
    assert proof == ("60 calendar days from its request: ________", "Common policy wording (common practice)")
    assert [row[0] for row in by_text.values() if "2026" in row[0]] == []
    assert limits[-1][1:] == ("", "")
    everything = tables(after_loss(replace(about, include_unverified=True)))["Time limits that apply"].rows
    assert everything[-1][1:] == ("", "Washington (US-WA): WAC 284-30-360, 284-30-370 †")


def test_a_loss_that_has_happened_has_its_last_day() -> None:
    """November 1 and 60 days: the only last day is that of the insured's own proof."""
    demo = demo_request()
    burned = replace(demo.losses[1], occurred_on=date(2026, 11, 1))
    blocks = create_report(replace(demo, losses=(burned,)), "after-loss").blocks
    rows = tables(blocks)["Time limits that apply"].rows
    assert [row[1] for row in rows if "2026" in row[1]] == ["Dec 31, 2026"]


@pytest.mark.parametrize("locale", ["en-US", "de-DE"])
def test_the_page_can_be_torn_off(locale: str) -> None:
    """Everything for the first day after a loss is on a sheet of its own: two pages, front and back."""
    printed = pdf.render(demo_content(locale, None, "after-loss"))
    assert len(PdfReader(BytesIO(printed)).pages) == 2


def test_the_digest_is_in_the_footer_and_at_the_end() -> None:
    digest = demo_statement().digest
    for locale in ("en-US", "de-DE"):
        sheet = demo_content(locale, None, CONVERSATION_SHEET)
        assert sheet.footer.endswith(digest)
        assert isinstance(sheet.blocks[-1], Paragraph)
        assert digest in sheet.blocks[-1].text
