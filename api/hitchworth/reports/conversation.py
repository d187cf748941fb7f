"""The conversation sheet: what to hold in the hand when talking to the insurer."""

from hitchworth.localization.localizer import localizer_for
from hitchworth.model.build import Build
from hitchworth.model.gap import GapStatement
from hitchworth.model.policy import Policy
from hitchworth.reports.after_loss import after_loss
from hitchworth.reports.class_comparison import class_comparison
from hitchworth.reports.closing import closing
from hitchworth.reports.content import Content, Paper
from hitchworth.reports.context import ReportContext
from hitchworth.reports.first_page import first_page
from hitchworth.reports.inventory import inventory
from hitchworth.reports.paper import paper_of
from hitchworth.reports.protection import protection
from hitchworth.reports.questions import questions
from hitchworth.reports.settlement_tables import settlement_tables

FOOT_LETTERS = 48


def content(
    build: Build,
    policies: tuple[Policy, ...],
    statement: GapStatement,
    locale: str,
    paper: Paper | None = None,
) -> Content:
    """The sheet for a statement that is already in the locale. Default paper: that of the locale's region."""
    localizer = localizer_for(locale, build.currency)
    context = ReportContext(build, policies, statement, localizer)
    title = context.format("title")
    return Content(
        title=build.name,
        subtitle=context.format("valued_on", as_of=statement.as_of),
        language=localizer.locale.texts,
        paper=paper or paper_of(localizer.formats.locale.territory),
        dated=statement.as_of,
        footer=context.format(
            "footer", name=_short(build.name), title=title, as_of=statement.as_of, digest=statement.digest
        ),
        blocks=(
            *first_page(context),
            *questions(context),
            *settlement_tables(context),
            *class_comparison(context),
            *protection(context),
            *after_loss(context),
            *inventory(context),
            *closing(context),
        ),
    )


def _short(name: str) -> str:
    """A name for the foot of the page, on one line."""
    return name if len(name) <= FOOT_LETTERS else f"{name[: FOOT_LETTERS - 1]}…"
