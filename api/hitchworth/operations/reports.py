"""The reports and letters: everything that a gap statement is made from in; pages to print, read or hand over out.

The docstrings of the functions are the descriptions of the API.
"""

from collections import Counter
from decimal import Decimal
from functools import partial
from typing import Annotated

from msgspec import Meta, Struct
from msgspec.structs import replace

from hitchworth import canonical
from hitchworth.localization.localizer import localizer_for
from hitchworth.model.fault import Fault
from hitchworth.model.gap import GapStatement
from hitchworth.model.kept import Revision
from hitchworth.model.request import GapRequest
from hitchworth.operations.appraisals import create_gap_statement
from hitchworth.operations.clock import today
from hitchworth.reports.catalog import CONVERSATION_SHEET, ReportName, make_all_reports, make_report
from hitchworth.reports.content import Content, Paper
from hitchworth.reports.context import PictureOf, ReportContext
from hitchworth.reports.letters import LetterName, NothingToWriteError, make_letter
from hitchworth.reports.photo import printable
from hitchworth.validation import InvalidInputError

PaperSize = Annotated[Paper | None, Meta(description="Default: the paper that the locale's region prints on.")]


class Printing(Struct, frozen=True, kw_only=True):
    """On which paper a report or letter is, about which policy, and what of it is printed."""

    paper: PaperSize = None
    for_policy: Annotated[
        str | None,
        Meta(
            max_length=80,
            description="Name of the policy that the conversation is about; no other is in the sheet. Default: the one "
            "with the most money at stake on its open questions.",
        ),
    ] = None
    include_unverified: Annotated[
        bool,
        Meta(
            description="Whether a report for others prints what was not compared with the published text too, with a "
            "mark. Without it, one line says how many entries were left out. Reports for yourself (comparison, "
            "workings) always print it. Default: false."
        ),
    ] = False


AS_USUAL = Printing()


def create_conversation_sheet(request: GapRequest, printing: Printing = AS_USUAL) -> Content:
    """Make the sheet for the conversation with the insurer.

    Owner and trailer, what is asked for, value and evidence, what the registration says against what was built; then
    the questions with the most money at stake, with room for the answers; the cautions last. It is about one policy and
    can be handed over. Its digest is that of the gap statement.
    """
    return report_on(request, CONVERSATION_SHEET, printing)


def create_report(
    request: GapRequest,
    report: Annotated[ReportName, Meta(description="The report.", examples=["comparison"])],
    printing: Printing = AS_USUAL,
) -> Content:
    """Make one of the other reports, or all of them.

    The comparison of the policies, for the builder alone; the inventory with its evidence; the class report; what to do
    after a loss; the workings, with the formulas of every line. `for_policy` matters for the conversation sheet in
    `all`. The digest is that of the gap statement.
    """
    return report_on(request, report, printing)


def create_letter(
    request: GapRequest,
    letter: Annotated[LetterName, Meta(description="The letter.", examples=["confirm-answers"])],
    printing: Printing = AS_USUAL,
) -> Content:
    """Write a letter, as text for a mail or as DOCX.

    To the insurer: to confirm in writing what was said about a policy, or to describe the trailer on it as what it is
    built as. To the registering authority: what it takes to change the class. Read it before you send it.
    """
    request = _dated(request)
    about = printing.for_policy or (_most_answered(request) if letter == "confirm-answers" else None)
    context = _conversation(request, create_gap_statement(request), about)
    context = replace(context, include_unverified=printing.include_unverified)
    try:
        return make_letter(letter, context, printing.paper)
    except NothingToWriteError as error:
        fault = Fault(pointer=error.pointer, detail=error.detail, expected=error.expected, found="")
        raise InvalidInputError([fault]) from None


def report_on(
    request: GapRequest,
    report: str,
    printing: Printing,
    *,
    kept: Revision | None = None,
    digest_of: GapRequest | None = None,
    picture_of: PictureOf | None = None,
) -> Content:
    """Return a report by its name, the conversation sheet or all of them too.

    kept: the revision of a kept build that the request is made from, which is printed under the digest of the data.
    digest_of: the data that the request is a part of, whose digest is printed. Default: the request.
    picture_of: what returns the pictures of its evidence. Default: the files are not here, and none is printed.
    """
    request = _dated(request)
    computed = request
    if report == "workings":  # the conversation sheet says that they have the formulas
        computed = replace(request, options=replace(request.options, workings=True))
    statement = create_gap_statement(computed)
    statement = replace(statement, digest=canonical.digest(digest_of or request, statement.as_of))
    paper, for_policy = printing.paper, printing.for_policy
    printed = partial(replace, include_unverified=printing.include_unverified, kept=kept, picture_of=picture_of)
    match report:
        case "all":
            conversation = printed(_conversation(request, statement, for_policy))
            return make_all_reports(conversation, printed(context_of(request, statement)), paper)
        case "conversation-sheet":
            return make_report(report, printed(_conversation(request, statement, for_policy)), paper)
        case _:
            return make_report(report, printed(context_of(request, statement)), paper)


def _dated(request: GapRequest) -> GapRequest:
    return replace(request, as_of=request.as_of or today())


def context_of(request: GapRequest, statement: GapStatement) -> ReportContext:
    """Return what a report on a request and its statement is about."""
    localizer = localizer_for(request.locale, request.build.currency)
    photo = None if request.photo is None else printable(request.photo)
    return ReportContext(request.build, request.policies, statement, localizer, photo, evidence=request.evidence)


def _conversation(request: GapRequest, statement: GapStatement, for_policy: str | None) -> ReportContext:
    """Return the context of a conversation about one policy, with the digest of the whole.

    Raises InvalidInputError when there is no policy of that name.
    """
    names = [policy.name for policy in request.policies]
    if for_policy is not None and for_policy not in names:
        expected = f"one of {', '.join(names)}" if names else "nothing: the request has no policy"
        fault = Fault(pointer="/for_policy", detail="Unknown policy", expected=expected, found=for_policy)
        raise InvalidInputError([fault])
    if len(names) < 2:
        return context_of(request, statement)
    chosen = for_policy or max(names, key=lambda name: _money_at_stake(statement, name))
    about_one = replace(
        request,
        policies=tuple(policy for policy in request.policies if policy.name == chosen),
        answers=tuple(answer for answer in request.answers if answer.policy in (None, chosen)),
        coordination=None,
    )
    return context_of(about_one, replace(create_gap_statement(about_one), digest=statement.digest))


def _money_at_stake(statement: GapStatement, policy: str) -> Decimal:
    stakes = (each.money_at_stake.high for each in statement.questions if each.settles.policy == policy)
    return max(stakes, default=Decimal(0))


def _most_answered(request: GapRequest) -> str | None:
    """Return the policy on which most answers are recorded; None without any."""
    return next(iter(dict(Counter(answer.policy for answer in request.answers if answer.policy).most_common(1))), None)
