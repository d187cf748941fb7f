"""Measures that were not entered: the sheet says so, and says nothing about what is missing."""

import io

import pytest
from msgspec.structs import replace
from rich.console import Console

from demo_sheet import demo_statement
from hitchworth.cli.protection_tables import protection_report as printed_report
from hitchworth.demo import demo_request
from hitchworth.localization.localize import localize
from hitchworth.localization.localizer import localizer_for
from hitchworth.model.build import Protection
from hitchworth.protection.report import protection_report
from hitchworth.reports.content import AnyBlock, Paragraph, Table
from hitchworth.reports.context import ReportContext
from hitchworth.reports.protection import missing_protection, protection

AS_OF = demo_statement().as_of


def blocks(protections: tuple[Protection, ...] | None) -> tuple[AnyBlock, ...]:
    request, statement = demo_request(), demo_statement()
    build = replace(request.build, protections=protections)
    statement = replace(statement, protection=protection_report(build, request.policies, statement.as_of))
    return missing_protection(
        ReportContext(build, request.policies, localize(statement, "en-US"), localizer_for("en-US", "USD"))
    )


def captions(found: tuple[AnyBlock, ...]) -> list[str]:
    return [block.caption for block in found if isinstance(block, Table)]


def sentences(found: tuple[AnyBlock, ...]) -> list[str]:
    return [block.text for block in found if isinstance(block, Paragraph)]


def test_without_an_entry_nothing_is_called_missing() -> None:
    found = blocks(None)
    assert sentences(found) == ["No measures against loss were entered, so what is in place is not known."]
    assert captions(found) == ["Measures that the inventory suggests, to be confirmed"]
    (table,) = (block for block in found if isinstance(block, Table))
    assert ("Coupler lock, hardened", "Lock that closes the coupler while the trailer is parked") in table.rows


def test_an_inventory_without_measures_has_no_section_on_them() -> None:
    request = demo_request()
    statement = replace(
        demo_statement(), protection=protection_report(replace(request.build, protections=()), (), AS_OF)
    )
    assert protection(ReportContext(request.build, (), statement, localizer_for("en-US", "USD"))) == ()


def test_no_measures_leave_only_what_the_inventory_does_not_suggest_unprotected() -> None:
    # The inventory of the demo suggests measures against theft, vandalism (deadbolt), collision (breakaway switch),
    # fire and explosion (gas alarm); nothing in it slows wind, storm, water, hail or flood.
    assert sentences(blocks(())) == ["No measure in place slows: wind, storm, water, hail, flood."]


@pytest.mark.parametrize(("protections", "says"), [(None, True), ((), False)])
def test_the_terminal_says_what_was_not_entered(protections: tuple[Protection, ...] | None, says: bool) -> None:
    request, day = demo_request(), demo_statement().as_of
    report = protection_report(replace(request.build, protections=protections), (), day)
    console = Console(width=100, record=True, file=io.StringIO())
    console.print(printed_report(localize(report, "en-US"), localizer_for("en-US", "USD")))
    text = " ".join(console.export_text().split())
    assert ("No measures against loss were entered" in text) is says
    assert ("is in place." in text) is not says
    assert "To be confirmed: “Smoke alarm”." in text
