"""The demo's gap statement and its conversation sheet. Each is made once, when the first test asks for it."""

from functools import cache

from hitchworth.appraisal import gap_statement
from hitchworth.demo import demo_request
from hitchworth.localization.localize import localize
from hitchworth.localization.localizer import localizer_for
from hitchworth.model.gap import GapStatement
from hitchworth.reports.content import Content, Paper
from hitchworth.reports.context import ReportContext
from hitchworth.reports.conversation import conversation_sheet


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
def demo_content(locale: str, paper: Paper | None = None) -> Content:
    """Return the sheet of the statement."""
    request = demo_request()
    return conversation_sheet(request.build, request.policies, localized_demo_statement(locale), locale, paper)


def report_context(statement: GapStatement) -> ReportContext:
    """Return the context of a report on the demo's build in American English, with the statement given."""
    request = demo_request()
    return ReportContext(request.build, request.policies, localize(statement, "en-US"), localizer_for("en-US", "USD"))
