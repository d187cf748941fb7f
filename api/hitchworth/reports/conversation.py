"""The conversation sheet: what to have in front of you, and to hand over, when you talk to the insurer.

The first page says whose trailer it is, what it is worth, and what is asked. Two pages of questions follow, with room
to write. The last has what the policy would pay as it is known today, the cautions, and how to check the figures.
"""

from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction

from hitchworth.classification.build_facts import parse_facts
from hitchworth.localization.gap_statements import may_be_avoided
from hitchworth.localization.localizer import capital
from hitchworth.localization.working_readings import verdict_label
from hitchworth.model.kept import Revision
from hitchworth.model.policy import Policy
from hitchworth.model.settlement import Settlement
from hitchworth.reference.facts import vocabulary
from hitchworth.reports.answers import recorded_answers
from hitchworth.reports.built_class import built_class, year_and_make
from hitchworth.reports.class_comparison import class_verdict
from hitchworth.reports.content import (
    AnyBlock,
    Blanks,
    Caution,
    Column,
    Fact,
    Facts,
    Heading,
    Listing,
    Paragraph,
    Photo,
    QuestionBox,
    Table,
)
from hitchworth.reports.context import ReportContext
from hitchworth.reports.questions import question_boxes
from hitchworth.reports.value_groups import caveats, value_by_group

DIMENSIONS = ("overall_length_m", "gross_weight_rating_kg", "empty_weight_kg", "axle_count")
"""The facts of the first page, where they are known."""

LOSSES_SHOWN = 6
"""Losses of which the payment is shown."""

BOXES_BESIDE_CLOSING = 2
"""Boxes of questions that leave room on their page for the cautions."""

BASES_OF_REPLACEMENT_COST = ("replacement_cost", "agreed_value", "stated_amount")
"""The bases under which it has to be insured for what it costs to replace; under others, for what it is worth."""

KEPT_DIGITS = 32
"""Digits of a revision's digest that are printed: 128 bits, which nobody can find another history for."""


def conversation_sheet(context: ReportContext) -> tuple[AnyBlock, ...]:
    """Return the sheet on one policy: that of the context, or none where there is none."""
    questions = question_boxes(context)
    return (
        *_identity(context),
        *_request(context),
        *_value(context),
        *_class(context),
        *questions,
        *_closing(context, new_page=_fills_its_page(questions)),
    )


def _fills_its_page(blocks: tuple[AnyBlock, ...]) -> bool:
    """Return whether the last page of the questions has no room for the closing."""
    boxes = [block for block in blocks if isinstance(block, QuestionBox)]
    starts = [place for place, box in enumerate(boxes) if box.new_page]
    return len(boxes) - (starts[-1] if starts else 0) > BOXES_BESIDE_CLOSING


def _identity(context: ReportContext) -> tuple[AnyBlock, ...]:
    """Return owner and trailer with a photo, and blanks for the conversation."""
    policy = (Fact(context.format("policy"), capital(context.policies[0].name)),) if context.policies else ()
    blanks = ("insurer", "policy_number", "person", "date")
    return (
        Facts(
            (*owner_facts(context), *trailer(context), *_dimensions(context), *policy),
            columns=2,
            photo=_photo(context),
        ),
        Blanks(tuple(context.format(f"speak_{what}") for what in blanks)),
    )


def _photo(context: ReportContext) -> Photo | None:
    if context.photo is None:
        return None
    return Photo(context.photo, context.format("photo_of", name=context.build.name))


def owner_facts(context: ReportContext) -> tuple[Fact, ...]:
    """Return whose trailer it is and how to be reached, as far as it was entered."""
    owner = context.build.owner
    if owner is None:
        return ()
    given = {
        "owner": owner.name,
        "address": ", ".join(line.strip() for line in owner.address.splitlines() if line.strip()),
        "telephone": owner.telephone,
        "email": owner.email,
    }
    return tuple(Fact(context.format(label), value) for label, value in given.items() if value)


def trailer(context: ReportContext, *, with_verdict: bool = True) -> tuple[Fact, ...]:
    """Return what the trailer is, and as what and where it is registered.

    with_verdict: and whether that fits what it is built as.
    """
    build, localizer, unknown = context.build, context.localizer, context.format("not_known")
    identity = {
        "year_and_make": year_and_make(build) or unknown,
        "identification_number": build.vin or unknown,
        "registered_as": localizer.heading("class", build.registered_class) if build.registered_class else unknown,
        "registered_in": context.jurisdiction_label(build.jurisdiction) if build.jurisdiction else unknown,
        **({"class_compared": verdict_label(context.statement.assessment, localizer)} if with_verdict else {}),
        "base": build.base.kind if build.base else unknown,
    }
    return tuple(Fact(context.format(label), capital(value)) for label, value in identity.items())


def _dimensions(context: ReportContext) -> tuple[Fact, ...]:
    """Return length, weights and axles, as far as they are known today."""
    facts, localizer = parse_facts(context.build.facts), context.localizer
    measured = ((name, vocabulary()[name].unit, facts[name].value) for name in DIMENSIONS)
    return tuple(
        Fact(
            localizer.heading("fact", name),
            localizer.formats.measure(Decimal(value.numerator) / value.denominator, unit, 1 if unit == "m" else 0),
        )
        for name, unit, value in measured
        if isinstance(value, Fraction)
    )


def _request(context: ReportContext) -> tuple[AnyBlock, ...]:
    """Return in one sentence as what, for how much and on which basis the trailer is to be insured."""
    policy = context.policies[0] if context.policies else None
    totals = context.statement.estimate.totals
    basis = policy.basis if policy else None
    asked = f"ask_{basis or 'unknown'}" if context.statement.estimate.lines else "ask_without_value"
    amount = totals.actual_cash_value
    if basis is None or basis in BASES_OF_REPLACEMENT_COST:
        amount = totals.replacement_cost
    elif basis == "market_value":
        amount = context.build.market_value or amount
    return (
        Heading(context.format("asked")),
        Paragraph(
            context.format(
                asked,
                trailer=_trailer_asked_for(context),
                amount=amount,
            )
        ),
        *((Paragraph(context.format("built_use_is_open")),) if built_class(context) is None else ()),
        *_incomplete(context),
        *_insured_today(context, policy, amount),
    )


def _trailer_asked_for(context: ReportContext) -> str:
    """Return the trailer with its use, which an insurer relies on; without one that nothing entered supports."""
    built = built_class(context)
    return context.format("trailer_of_open_class") if built is None else context.format("trailer_as_built", built=built)


def _incomplete(context: ReportContext) -> tuple[Paragraph, ...]:
    """Return that the amount asked for is too low, where lines have no price new or no rate."""
    not_priced = context.statement.estimate.band.not_priced
    return (Paragraph(context.format("ask_is_too_low", count=str(len(not_priced)))),) if not_priced else ()


def _insured_today(context: ReportContext, policy: Policy | None, asked: Decimal) -> tuple[Paragraph, ...]:
    """Return what the policy says today, and of a limit that it is enough for what is asked, where it is."""
    if policy is None or (policy.amount is None and policy.limit is None):
        return ()
    if policy.amount is not None:
        return (Paragraph(context.format("insured_today", amount=policy.amount)),)
    is_enough = policy.basis is not None and policy.limit is not None and policy.limit >= asked
    return (Paragraph(context.format("limit_is_enough" if is_enough else "insured_today", amount=policy.limit)),)


def _value(context: ReportContext) -> tuple[AnyBlock, ...]:
    """Return what it is worth, in sum and by group, and what the values depend on; where nothing is valued, that."""
    estimate = context.statement.estimate
    if not estimate.lines:
        return tuple(Paragraph(note.text) for note in estimate.notes)
    return (_totals(context), value_by_group(context), *caveats(context))


def _totals(context: ReportContext) -> Facts:
    """Return replacement cost and actual cash value, each with its range."""
    totals, band = context.statement.estimate.totals, context.statement.estimate.band
    if band.not_priced:
        cost = context.format("cost_without_range", value=totals.replacement_cost, count=str(len(band.not_priced)))
    else:
        cost = context.format(
            "cost_and_range", value=totals.replacement_cost, low=band.low, high=band.high, confidence=band.confidence
        )
    return Facts(
        (
            Fact(context.format("replacement_cost"), cost),
            Fact(context.format("actual_cash_value"), _actual_cash_value(context, totals.actual_cash_value)),
        )
    )


def _actual_cash_value(context: ReportContext, value: Decimal) -> str:
    """Return the value, and between which ends it lies where insurers find different ones."""
    found = context.statement.estimate.value_range
    if found is None or found.low == found.high:
        return context.money(value)
    least = min(found.ends, key=lambda end: end.value)
    return context.format("value_and_range", value=value, low=found.low, high=found.high, found_by=least.found_by)


def _class(context: ReportContext) -> tuple[AnyBlock, ...]:
    """Return what the document says against what was built, and what is asked to be set right."""
    assessment = context.statement.assessment
    to_correct = assessment.verdict == "mismatch"
    return (
        Heading(context.format("assessment")),
        Paragraph(class_verdict(context)),
        *((_please_correct(context),) if to_correct else ()),
    )


def _please_correct(context: ReportContext) -> Paragraph:
    built = built_class(context)
    if built is None:
        return Paragraph(context.format("please_correct_use"))
    return Paragraph(context.format("please_correct", built=built))


def _payments(context: ReportContext) -> tuple[AnyBlock, ...]:
    """Return what the policy pays for each loss, as it is understood today; where nothing is settled, what lacks."""
    settlements = context.statement.settlements[:LOSSES_SHOWN]
    if not settlements:
        return tuple(Paragraph(note.text) for note in context.statement.notes)
    columns = (
        Column(context.format("loss"), width=1),
        *(
            Column(context.format(title), align="right")
            for title in ("replacement_cost", "paid_at_worst", "paid_at_best", "gap_at_most")
        ),
    )
    rows = tuple(
        (
            capital(each.loss),
            *map(context.money, (each.replacement_cost, each.payable, each.payable_at_best, each.gap)),
        )
        for each in settlements
    )
    avoided = may_be_avoided(settlements, context.localizer)
    return (
        Table(context.format("understood_caption"), columns, rows),
        *((Paragraph(avoided),) if avoided else ()),
        *_assumed(context, settlements),
    )


def _assumed(context: ReportContext, settlements: Sequence[Settlement]) -> tuple[AnyBlock, ...]:
    """Return what the least that is paid rests on, with its amounts: nobody has said it yet."""
    assumed = dict.fromkeys(note.text for each in settlements for note in each.assumed)
    return (Paragraph(context.format("assumed_in_short")), Listing(tuple(assumed))) if assumed else ()


def _closing(context: ReportContext, *, new_page: bool) -> tuple[AnyBlock, ...]:
    """Return what would be paid, the answers on record, the cautions, how to check the figures, and their digest."""
    return (
        Heading(context.format("closing"), new_page=new_page),
        *_payments(context),
        *recorded_answers(context),
        Caution(context.format("cautions"), context.statement.cautions),
        Heading(context.format("check_the_figures"), level=2),
        Paragraph(context.format("how_to_check")),
        *revision(context),
    )


def revision(context: ReportContext) -> tuple[AnyBlock, ...]:
    """Return the digest of the data, and of a kept build the revision that it is from."""
    return (
        Heading(context.format("revision"), level=2),
        Paragraph(context.format("digest", digest=context.statement.digest)),
        *([_kept_revision(context, context.kept)] if context.kept else []),
    )


def _kept_revision(context: ReportContext, kept: Revision) -> Paragraph:
    number, day, digest = str(kept.revision), kept.at.date(), kept.digest[:KEPT_DIGITS]
    return Paragraph(context.format("kept_revision", revision=number, day=day, build=kept.build, digest=digest))
