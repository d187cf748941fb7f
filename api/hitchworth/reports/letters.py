"""Letters: to the insurer and to the registering authority, from what is on record, ready to sign or to mail."""

from collections.abc import Callable, Iterator, Mapping
from types import MappingProxyType
from typing import Literal, TypeAlias

from msgspec import Struct

from hitchworth.localization.localizer import capital
from hitchworth.localization.terms import term_label
from hitchworth.model.answer import Answer
from hitchworth.model.timeline import oldest_first
from hitchworth.reports.built_class import built_class, built_definition, year_and_make
from hitchworth.reports.content import AnyBlock, Content, Heading, Listing, Paper, Paragraph, default_paper
from hitchworth.reports.context import UNVERIFIED, ReportContext
from hitchworth.reports.policy_terms import value_text

LetterName: TypeAlias = Literal["confirm-answers", "correct-class", "change-class"]
"""A letter.

confirm-answers: asks the insurer to confirm in writing what was said about a policy
correct-class: asks the insurer to describe the trailer on the policy as what it is built as
change-class: asks the registering authority what it takes to change the class
"""


BLANK = "_" * 20
"""What the owner fills in by hand."""


class NothingToWriteError(ValueError):
    """There is nothing for the letter to say: the pointer of what is missing in the request, and what was expected."""

    def __init__(self, pointer: str, detail: str, expected: str) -> None:
        super().__init__(detail)
        self.pointer = pointer
        self.detail = detail
        self.expected = expected


class _Letter(Struct, frozen=True):
    """The parts of a letter that differ."""

    subject: str
    recipient: str
    body: tuple[AnyBlock, ...]


def make_letter(name: LetterName, context: ReportContext, paper: Paper | None = None) -> Content:
    """Return a letter by its name. Default paper: that of the locale's region. Raises NothingToWriteError."""
    letter = _LETTERS[name](context)
    localizer, statement = context.localizer, context.statement
    owner = context.build.owner
    signature = context.format("letter_closing") + (f"\n\n{owner.name}" if owner else "")
    return Content(
        title=letter.subject,
        subtitle=localizer.formats.long_day(statement.as_of),
        language=localizer.locale.texts,
        paper=paper or default_paper(localizer.formats.locale.territory),
        dated=statement.as_of,
        footer="",
        blocks=(
            Paragraph(_sender(context)),
            Paragraph(letter.recipient),
            Paragraph(localizer.formats.long_day(statement.as_of)),
            Heading(letter.subject, level=2),
            Paragraph(context.format("letter_salutation")),
            *letter.body,
            Paragraph(signature),
        ),
        shows_title=False,
    )


def _sender(context: ReportContext) -> str:
    owner = context.build.owner
    if owner is None:
        return context.format("letter_sender_blank")
    return "\n".join(filter(None, (owner.name, *owner.address.splitlines(), owner.telephone, owner.email)))


def _confirm_answers(context: ReportContext) -> _Letter:
    """Return the letter with every recorded answer on the policy; of two on one term, the newest."""
    policy = _policy(context)
    recorded = oldest_first(context.statement.answers)
    newest = {answer.term: answer for answer in recorded if answer.policy == policy and answer.value is not None}
    if not newest:
        raise NothingToWriteError("/answers", "No answer is recorded on this policy", f"an answer on “{policy}”")
    return _Letter(
        context.format("letter_confirm_subject", policy=policy),
        _to_insurer(context, policy),
        (
            Paragraph(context.format("letter_confirm_opening", policy=policy, **_trailer(context))),
            Listing(tuple(_said(context, answer) for answer in newest.values())),
            Paragraph(context.format("letter_confirm_request")),
        ),
    )


def _said(context: ReportContext, answer: Answer) -> str:
    """Return a term and its answer, then who said it, when, and where it is on record, as far as that is known."""
    term = answer.term or ""
    said = (
        ("letter_said_by", answer.said_by),
        ("letter_said_on", answer.said_on and context.localizer.formats.long_day(answer.said_on)),
        ("letter_reference", answer.reference),
    )
    origin = ", ".join(context.format(name, text=text) for name, text in said if text)
    label, value = capital(term_label(context.localizer, term)), value_text(context, term, answer.value)
    return context.format("named", name=label, value=value) + (f" ({origin})" if origin else "")


def _correct_class(context: ReportContext) -> _Letter:
    policy = _policy(context)
    return _Letter(
        context.format("letter_correct_subject", policy=policy),
        _to_insurer(context, policy),
        (
            *_mismatch(context),
            Paragraph(context.format("letter_correct_request")),
            Paragraph(context.format("letter_correct_enclosed")),
        ),
    )


def _change_class(context: ReportContext) -> _Letter:
    """Return the letter with the papers that a change of class needs."""
    build = context.build
    mismatch = tuple(_mismatch(context))
    needs = next((remedy.needs for remedy in context.statement.assessment.remedies if remedy.brings), ())
    return _Letter(
        context.format("letter_change_subject", **_trailer(context)),
        context.format("letter_to_authority", place=context.jurisdiction_label(build.jurisdiction or "")),
        (
            *mismatch,
            Paragraph(context.format("letter_change_request", built=built_class(context))),
            *(() if build.vin else (Paragraph(context.format("letter_change_number")),)),
            *((Paragraph(context.format("letter_change_papers")), Listing(needs)) if needs else ()),
            Paragraph(context.format("letter_change_safety")),
        ),
    )


def _mismatch(context: ReportContext) -> Iterator[Paragraph]:
    """Yield what is registered and what is built; the definition only where its text was read."""
    build, definition, built = context.build, built_definition(context), built_class(context)
    if context.statement.assessment.verdict == "match" or build.registered_class is None:
        raise NothingToWriteError(
            "/build/registered_class",
            "There is no class to correct",
            "a registered class that does not fit what the trailer is built as",
        )
    if built is None:
        raise NothingToWriteError(
            "/build/facts", "Nothing entered says what the trailer is built as", "facts that say what it is built as"
        )
    registered = context.localizer.label("class", build.registered_class)
    yield Paragraph(context.format("letter_built_as", registered=registered, built=built, **_trailer(context)))
    if definition is not None and context.shown((definition,)):
        citation = context.cite(definition.citation, verified=definition.verified)
        yield Paragraph(context.format("letter_definition", title=definition.title, citation=citation))
        if not definition.verified:
            yield Paragraph(context.format("unverified", mark=UNVERIFIED))


def _policy(context: ReportContext) -> str:
    if not context.policies:
        raise NothingToWriteError("/policies", "There is no policy to write about", "a policy")
    return context.policies[0].name


def _to_insurer(context: ReportContext, policy: str) -> str:
    return context.format("letter_to_insurer", policy=policy)


def _trailer(context: ReportContext) -> dict[str, str]:
    build = context.build
    vin = build.vin or BLANK
    vehicle = ", ".join(filter(None, (year_and_make(build), context.format("letter_vin", vin=vin))))
    return {"name": build.name, "vin": vin, "vehicle": vehicle}


_LETTERS: Mapping[LetterName, Callable[[ReportContext], _Letter]] = MappingProxyType(
    {"confirm-answers": _confirm_answers, "correct-class": _correct_class, "change-class": _change_class}
)
