"""The conversation sheet: what to hold in the hand when talking to the insurer."""

from hitchworth.model.build import Build
from hitchworth.model.gap import GapStatement
from hitchworth.model.policy import Policy
from hitchworth.sheets.after_loss import after_loss
from hitchworth.sheets.class_comparison import class_comparison
from hitchworth.sheets.closing import closing
from hitchworth.sheets.content import Content, Paper
from hitchworth.sheets.first_page import first_page
from hitchworth.sheets.inventory import inventory
from hitchworth.sheets.paper import paper_of
from hitchworth.sheets.protection import protection
from hitchworth.sheets.questions import questions
from hitchworth.sheets.settlement_tables import settlement_tables
from hitchworth.sheets.subject import Subject
from hitchworth.wording.voice import voice_of
from hitchworth.wording.worded import worded

FOOT_LETTERS = 48


def content(
    build: Build,
    policies: tuple[Policy, ...],
    statement: GapStatement,
    locale: str,
    paper: Paper | None = None,
) -> Content:
    """The sheet for a statement, worded or not, in the nearest locale. Default paper: that of the locale's region."""
    voice = voice_of(locale, build.currency)
    subject = Subject(build, policies, worded(statement, locale), voice)
    title = subject.say("title")
    return Content(
        title=build.name,
        subtitle=subject.say("valued_on", as_of=statement.as_of),
        language=voice.tongue.texts,
        paper=paper or paper_of(voice.formats.locale.territory),
        dated=statement.as_of,
        footer=subject.say(
            "footer", name=_short(build.name), title=title, as_of=statement.as_of, digest=statement.digest
        ),
        blocks=(
            *first_page(subject),
            *questions(subject),
            *settlement_tables(subject),
            *class_comparison(subject),
            *protection(subject),
            *after_loss(subject),
            *inventory(subject),
            *closing(subject),
        ),
    )


def _short(name: str) -> str:
    """A name for the foot of the page, on one line."""
    return name if len(name) <= FOOT_LETTERS else f"{name[: FOOT_LETTERS - 1]}…"
