"""The reports by name. Each has one reader and one use; its content is built once and printed in any format."""

from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import Literal, TypeAlias

from msgspec import Struct
from msgspec.structs import replace

from hitchworth.reports.after_loss import after_loss, unread_limits
from hitchworth.reports.claim_summary import claim_summary
from hitchworth.reports.class_comparison import class_comparison, unread_entries
from hitchworth.reports.content import AnyBlock, Caution, Content, Heading, Paper, Paragraph, default_paper, footer_name
from hitchworth.reports.context import ReportContext
from hitchworth.reports.conversation import conversation_sheet, revision
from hitchworth.reports.documentation import records_to_find
from hitchworth.reports.expected_settlement import expected_settlement
from hitchworth.reports.inventory import inventory, unread_labor_rule
from hitchworth.reports.protection import missing_protection, protection
from hitchworth.reports.questions import questions_for_authority, questions_for_builder
from hitchworth.reports.registration import registration
from hitchworth.reports.serial_numbers import serial_numbers
from hitchworth.reports.settlement_tables import comparison
from hitchworth.reports.workings import workings

ReportName: TypeAlias = Literal[
    "comparison", "inventory", "serial-numbers", "class-report", "after-loss", "workings", "all"
]
"""A report beside the conversation sheet.

comparison: for the builder: policies against losses; every question; missing protection; records to find first
inventory: every line with its evidence, and the measures against loss
serial-numbers: for the police and the insurer: every number, where it is stamped, and which photo shows it
class-report: the definitions, condition by condition, and the ways to set the registration right
after-loss: the first day after a loss, serial numbers and time limits
workings: schedules, formulas, sources and glossary
all: the conversation sheet and all of these
"""

CONVERSATION_SHEET = "conversation-sheet"


def _nothing(_: ReportContext) -> int:
    return 0


class _Report(Struct, frozen=True):
    title: str
    """Name of its text."""
    blocks: Callable[[ReportContext], tuple[AnyBlock, ...]]
    unread: Callable[[ReportContext], int] = _nothing
    """How many entries it leaves out because they were not compared with the published text."""
    for_oneself: bool = False
    """It prints those entries too, with a mark."""


def _class_report(context: ReportContext) -> tuple[AnyBlock, ...]:
    return (*class_comparison(context), *questions_for_authority(context))


def _inventory(context: ReportContext) -> tuple[AnyBlock, ...]:
    return (*inventory(context), *protection(context))


def _comparison(context: ReportContext) -> tuple[AnyBlock, ...]:
    return (
        *comparison(context),
        *questions_for_builder(context),
        *missing_protection(context),
        *records_to_find(context),
    )


_REPORTS: Mapping[str, _Report] = MappingProxyType(
    {
        CONVERSATION_SHEET: _Report("title", conversation_sheet),
        "comparison": _Report("comparison", _comparison, for_oneself=True),
        "inventory": _Report("inventory", _inventory, unread_labor_rule),
        "serial-numbers": _Report("serial_numbers", serial_numbers),
        "class-report": _Report("class_report", _class_report, unread_entries),
        "after-loss": _Report("after_loss", after_loss, unread_limits),
        "workings": _Report("workings", workings, for_oneself=True),
    }
)

ClaimPaper: TypeAlias = Literal["claim-summary", "settlement", "registration"]
"""A paper that is only in a claim pack.

claim-summary: the loss, the policy and the contents of the pack
settlement: what the policy is expected to pay, step by step
registration: the registration, its papers, and the answers on record
"""

_CLAIM_PAPERS: Mapping[ClaimPaper, _Report] = MappingProxyType(
    {
        "claim-summary": _Report("claim_summary", claim_summary),
        "settlement": _Report("expected_settlement", expected_settlement),
        "registration": _Report("registration", registration),
    }
)


def make_claim_paper(name: ClaimPaper, context: ReportContext, paper: Paper | None = None) -> Content:
    """Return the content of a paper of a claim pack, as make_report does. The context has the claim."""
    return _made(_CLAIM_PAPERS[name], context, paper)


TITLES: Mapping[str, str] = MappingProxyType(
    {**{name: report.title for name, report in _REPORTS.items()}, "all": "all_reports"}
)
"""The names of the texts that are the titles of the reports, the conversation sheet first."""


def make_report(name: str, context: ReportContext, paper: Paper | None = None) -> Content:
    """Return the content of a report by its name, with its cautions. Default paper: that of the locale's region."""
    return _made(_REPORTS[name], context, paper)


def _made(made: _Report, context: ReportContext, paper: Paper | None) -> Content:
    blocks = _blocks(made, context, cautions=made.blocks is not conversation_sheet)
    first = blocks[0]
    if isinstance(first, Heading) and first.text == context.format(made.title):
        blocks = _one_level_up(blocks[1:])
    return _content(context, made.title, blocks, paper)


def _one_level_up(blocks: tuple[AnyBlock, ...]) -> tuple[AnyBlock, ...]:
    """Return the blocks below a heading that the title already says, with its subheadings in its place."""
    return tuple(replace(block, level=1) if isinstance(block, Heading) else block for block in blocks)


def make_all_reports(conversation: ReportContext, context: ReportContext, paper: Paper | None = None) -> Content:
    """Return the conversation sheet on one policy, which has the cautions, then every other report from a new page."""
    parts = [
        _blocks(made, conversation if name == CONVERSATION_SHEET else context, cautions=False)
        for name, made in _REPORTS.items()
    ]
    return _content(context, "all_reports", tuple(block for part in parts for block in _from_new_page(part)), paper)


def _content(context: ReportContext, title: str, blocks: tuple[AnyBlock, ...], paper: Paper | None) -> Content:
    localizer, statement, titled = context.localizer, context.statement, context.format(title)
    footer = {"name": footer_name(context.build.name), "title": titled, "digest": statement.digest}
    return Content(
        title=context.build.name,
        subtitle=context.format("report_valued_on", title=titled, as_of=statement.as_of),
        language=localizer.locale.texts,
        paper=paper or default_paper(localizer.formats.locale.territory),
        dated=statement.as_of,
        footer=context.format("footer", as_of=statement.as_of, **footer),
        blocks=blocks,
    )


def _blocks(made: _Report, context: ReportContext, *, cautions: bool) -> tuple[AnyBlock, ...]:
    """Return the blocks of a report, with what was left out and what the mark means after its first heading.

    `cautions`: whether they stand at its end; the conversation sheet has them in its closing. One from a kept build
    ends with its revision, as the conversation sheet always does with its digest.
    """
    if made.for_oneself:
        context = replace(context, include_unverified=True)
    blocks = made.blocks(context)
    place = 1 if isinstance(blocks[0], Heading) else 0
    remarks = (*_left_out(made, context), *context.footnote(blocks))
    warned = (Caution(context.format("cautions"), context.statement.cautions),) if cautions else ()
    ending = revision(context) if context.kept and made.blocks is not conversation_sheet else ()
    return (*blocks[:place], *remarks, *blocks[place:], *warned, *ending)


def _left_out(made: _Report, context: ReportContext) -> tuple[AnyBlock, ...]:
    """Return how many entries were left out and how to get them, where there are any."""
    unread = 0 if context.include_unverified else made.unread(context)
    return (Paragraph(context.format("left_out", count=str(unread)), small=True),) if unread else ()


def _from_new_page(blocks: tuple[AnyBlock, ...]) -> tuple[AnyBlock, ...]:
    """Return the blocks with a page break before the first heading, if they begin with one."""
    first, *others = blocks
    return (replace(first, new_page=True), *others) if isinstance(first, Heading) else blocks
