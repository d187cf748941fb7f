"""The demo's gap statement and its sheet, made once for all tests that look at them."""

from functools import cache

from hitchworth.appraisal import gap_statement
from hitchworth.demo import demo_request
from hitchworth.localization.localize import localize
from hitchworth.model.gap import GapStatement
from hitchworth.reports.content import Content, Paper
from hitchworth.reports.conversation import content


@cache
def demo_statement() -> GapStatement:
    """The statement as the core gives it, without words."""
    request = demo_request()
    assert request.as_of is not None
    return gap_statement(request, request.as_of)


@cache
def demo_content(locale: str, paper: Paper | None = None) -> Content:
    """The sheet of the statement."""
    request = demo_request()
    return content(request.build, request.policies, localize(demo_statement(), locale), locale, paper)
