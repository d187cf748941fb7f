"""The demo's gap statement and its reports. Each is made once, when the first test asks for it."""

from functools import cache

from msgspec.structs import replace

from hitchworth.appraisal import gap_statement
from hitchworth.demo import demo_request
from hitchworth.localization.localize import localize
from hitchworth.localization.localizer import localizer_for
from hitchworth.model.gap import GapStatement
from hitchworth.operations.reports import Printing, create_conversation_sheet, create_report
from hitchworth.reports.catalog import CONVERSATION_SHEET
from hitchworth.reports.content import Content, Paper
from hitchworth.reports.context import ReportContext


@cache
def demo_statement() -> GapStatement:
    """Return the statement as the core gives it, without texts."""
    request = demo_request()
    assert request.as_of is not None
    return gap_statement(request, request.as_of)


@cache
def localized_demo_statement(locale: str = "en-US") -> GapStatement:
    """Return the statement with its texts."""
    return localize(demo_statement(), locale)


@cache
def demo_content(locale: str, paper: Paper | None = None, report: str = "all") -> Content:
    """Return a report on the demo; the conversation sheet is about its policy with the most money at stake."""
    request = replace(demo_request(), locale=locale)
    if report == CONVERSATION_SHEET:
        return create_conversation_sheet(request, Printing(paper=paper))
    return create_report(request, report, Printing(paper=paper))  # type: ignore[arg-type]


def report_context(statement: GapStatement) -> ReportContext:
    """Return the context of a report on the demo's build in American English, with the statement given."""
    request = demo_request()
    return ReportContext(request.build, request.policies, localize(statement, "en-US"), localizer_for("en-US", "USD"))
