"""The first page: who, what, the gap in one picture, the five questions to ask first, and what each policy pays."""

from decimal import Decimal

from hitchworth.model.build import Build
from hitchworth.sheets.content import AnyBlock, Blanks, Column, Fact, Facts, Heading, Listing, Paragraph, Table
from hitchworth.sheets.gap_picture import gap_picture
from hitchworth.sheets.matrix import short_matrix
from hitchworth.sheets.place import place
from hitchworth.sheets.subject import Subject
from hitchworth.wording.gap_statements import assumed_terms, summary


def first_page(subject: Subject) -> tuple[AnyBlock, ...]:
    """All that has to be at hand in the first minute of the conversation."""
    worst = max(subject.statement.settlements, key=lambda settlement: settlement.gap, default=None)
    return (
        Facts(_facts(subject, subject.build), columns=2),
        Blanks(tuple(subject.say(f"speak_{what}") for what in ("insurer", "policy_number", "person", "date"))),
        Heading(subject.say("in_short")),
        Paragraph(summary(subject.statement, subject.voice, assumptions=False)),
        *_assumptions(subject),
        *((gap_picture(subject, worst, "largest-gap"),) if worst is not None else ()),
        _questions(subject),
        *short_matrix(subject),
    )


def _assumptions(subject: Subject) -> tuple[AnyBlock, ...]:
    """What is not known, policy by policy."""
    assumed = assumed_terms(subject.statement, subject.voice)
    return (Paragraph(subject.say("assumed_in_short")), Listing(assumed)) if assumed else ()


def _facts(subject: Subject, build: Build) -> tuple[Fact, ...]:
    estimate, voice = subject.statement.estimate, subject.voice
    band, unknown = estimate.band, subject.say("not_known")
    registered = voice.heading("class", build.registered_class) if build.registered_class else unknown
    return (
        Fact(subject.say("replacement_cost"), subject.money(estimate.totals.replacement_cost)),
        Fact(subject.say("registered_as"), registered),
        Fact(subject.say("actual_cash_value"), subject.money(estimate.totals.actual_cash_value)),
        Fact(subject.say("comparison"), voice.heading("verdict", subject.statement.assessment.verdict)),
        Fact(
            subject.say("band"),
            subject.say("band_value", low=band.low, high=band.high, confidence=band.confidence),
        ),
        Fact(subject.say("registered_in"), place(subject, build.jurisdiction) if build.jurisdiction else unknown),
        Fact(subject.say("base"), build.base.kind if build.base else unknown),
        Fact(subject.say("identification_number"), build.vin or unknown),
    )


def _questions(subject: Subject) -> AnyBlock:
    questions = subject.statement.questions[:5]
    if not questions:
        return Paragraph(subject.say("no_questions"))
    return Table(
        subject.say("first_questions"),
        (
            Column(subject.say("number")),
            Column(subject.say("question"), width=1),
            Column(subject.say("money_at_stake"), align="right"),
        ),
        tuple(
            (str(number), question.text, _stake(subject, question.money_at_stake.high))
            for number, question in enumerate(questions, 1)
        ),
    )


def _stake(subject: Subject, high: Decimal) -> str:
    return subject.say("up_to", high=high) if high else "–"
