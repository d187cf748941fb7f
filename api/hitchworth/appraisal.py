"""The pipeline through the core: build -> estimate -> assessment -> settlements -> gap statement.

`operations` calls this module and no other part of the core. Nothing here reads a clock: every date is an argument.
Texts are left empty; `localization` writes them.
"""

from collections.abc import Callable, Sequence
from datetime import date
from decimal import Decimal
from functools import cache
from typing import NamedTuple, TypeAlias

import msgspec
from msgspec.structs import replace

from hitchworth.canonical import digest
from hitchworth.classification.assessment import assess
from hitchworth.classification.vin import decode_vin
from hitchworth.coverage.after_loss import after_loss
from hitchworth.coverage.comparison import break_evens, expected_costs
from hitchworth.coverage.coordination import combined
from hitchworth.coverage.loss import DayOfLossEstimates, LossContext, loss_context
from hitchworth.coverage.outcomes import Outcomes
from hitchworth.coverage.questions import ranked_questions
from hitchworth.coverage.settlement import settlement_of
from hitchworth.coverage.situation import missing_entries, situation_of
from hitchworth.coverage.terms import recorded, with_recorded_answers, with_recorded_salvage
from hitchworth.document_changes import document_changes
from hitchworth.documentation.number_matching import is_comparable
from hitchworth.documentation.plate_reading import proposed_numbers
from hitchworth.documentation.register import found_numbers, serial_number_register
from hitchworth.documentation.score import documentation_score
from hitchworth.model.answer import Answer
from hitchworth.model.assessment import Assessment, Verdict
from hitchworth.model.build import Base, Build, MarketValueOrigin
from hitchworth.model.document import Document, Sales
from hitchworth.model.document_changes import DatedDigest, DocumentComparison
from hitchworth.model.estimate import Estimate
from hitchworth.model.estimate_comparison import DEFAULT_EFFECTS, EstimateComparison
from hitchworth.model.gap import GapStatement
from hitchworth.model.loss import Loss
from hitchworth.model.note import Note
from hitchworth.model.options import Options
from hitchworth.model.plate_reading import ProposedNumber, TextLine
from hitchworth.model.policy import ABSENT, Policy
from hitchworth.model.request import (
    ClassificationRequest,
    DocumentComparisonRequest,
    EstimateComparisonRequest,
    GapRequest,
    SalesComparisonRequest,
    SettlementRequest,
)
from hitchworth.model.settlement import Combined, MatrixCell, PolicyComparison, Settlement, Settlements
from hitchworth.model.timeline import newest_facts
from hitchworth.money import Money, precisely
from hitchworth.protection.report import protection_report
from hitchworth.quoting.acceptance import accepted_build, still_quoted, with_change_order, with_own_work
from hitchworth.quoting.change_orders import contract
from hitchworth.quoting.priced_quote import QuoteFaultsError
from hitchworth.quoting.progress_bill import EarlierBills, ProgressBilling
from hitchworth.quoting.quote import quote
from hitchworth.quoting.variance import quote_variance
from hitchworth.reference.jurisdictions import jurisdiction
from hitchworth.valuation.estimate import estimate
from hitchworth.valuation.estimate_comparison import EstimateInput, compare_estimates
from hitchworth.valuation.percent_good import Curves
from hitchworth.valuation.refunds import with_refunds_applied
from hitchworth.valuation.sales_comparison import sales_comparison
from hitchworth.valuation.value_curve import value_curve

__all__ = [
    "EarlierBills",
    "ProgressBilling",
    "QuoteFaultsError",
    "accepted_build",
    "classify",
    "compare",
    "compare_documents",
    "contract",
    "digest",
    "documentation_score",
    "estimate",
    "found_numbers",
    "gap_statement",
    "is_comparable",
    "numbers_on_plate",
    "protection_report",
    "quote",
    "quote_variance",
    "sales_comparison",
    "serial_number_register",
    "settle",
    "still_quoted",
    "value_curve",
    "with_change_order",
    "with_own_work",
    "with_refunds_applied",
]

COMPARABLE_PRICE, MARKET_VALUE = "comparable_price", "market_value"
BUILD_ANSWERS = frozenset({COMPARABLE_PRICE, MARKET_VALUE})
"""What an answer settles like a fact and what is a field of the build, or of its base."""


_Estimates: TypeAlias = Callable[[date, Options], Estimate]
"""Values a build on a day by some options."""


class Answered(NamedTuple):
    """What a document says, with the recorded answers and its comparable sales taken into account."""

    build: Build
    policies: tuple[Policy, ...]
    losses: tuple[Loss, ...]
    market_value_from: MarketValueOrigin


def compare(request: EstimateComparisonRequest, before: date, after: date) -> EstimateComparison:
    """Return what changed between two estimates, by effect and by line."""
    sides = EstimateInput(request.before.build, before), EstimateInput(request.after.build, after)
    return compare_estimates(*sides, request.order, request.options)


def compare_documents(
    request: DocumentComparisonRequest, before: GapRequest, after: GapRequest, before_day: date, after_day: date
) -> DocumentComparison:
    """Return what changed between two documents, and what that changes of the values on the two days.

    before, after: the documents of the request, completed for their valuation. Builds in different currencies are
    compared without their values.
    """
    estimates: EstimateComparison | None = None
    notes: tuple[Note, ...] = (Note(code="different_currencies"),)
    if before.build.currency == after.build.currency:
        sides = EstimateInput(before.build, before_day), EstimateInput(after.build, after_day)
        estimates, notes = compare_estimates(*sides, DEFAULT_EFFECTS, after.options), ()
    return DocumentComparison(
        locale=request.locale,
        before=DatedDigest(name=before.build.name, as_of=before_day, digest=digest(before, before_day)),
        after=DatedDigest(name=after.build.name, as_of=after_day, digest=digest(after, after_day)),
        changes=document_changes(request.before, request.after, estimates),
        estimates=estimates,
        notes=notes,
    )


def classify(request: ClassificationRequest, as_of: date) -> Assessment:
    """Return the registered class compared with the built use, by the definitions that apply on the date."""
    if request.build is not None:
        return _assessment(_with_answers(request.build, request.answers)[0], as_of, request.travels_to)
    return assess(
        request.jurisdiction,
        request.registered_class,
        request.facts,
        as_of,
        vin=request.vin,
        travels_to=request.travels_to,
    )


def _assessment(build: Build, as_of: date, travels_to: Sequence[str] = ()) -> Assessment:
    return assess(
        build.jurisdiction,
        build.registered_class,
        build.facts,
        as_of,
        vin=build.vin,
        components=build.components,
        base=build.base,
        travels_to=travels_to,
    )


@precisely
def numbers_on_plate(
    lines: Sequence[TextLine], subjects: Sequence[str], build: Build, as_of: date
) -> tuple[ProposedNumber, ...]:
    """Return the numbers that a photo of these subjects may show, identification numbers read place by place."""
    chain = jurisdiction(build.jurisdiction).chain if build.jurisdiction else ()
    return tuple(
        replace(each, vin_check=decode_vin(each.number, chain, as_of)) if each.kind == "identification_number" else each
        for each in proposed_numbers(lines, subjects, build)
    )


def settle(request: SettlementRequest, as_of: date) -> Settlements:
    """Return what every policy pays for every loss, each on its own day; unknown terms at their least favorable."""
    answered = answered_document(request, as_of)
    build, policies = answered.build, answered.policies
    assessment = _assessment(build, as_of)
    losses = _losses(answered, as_of, assessment, request.options, _estimates(answered))
    settlements = _settlements(_outcomes(policies, losses), request.answers)
    return Settlements(
        settlements=settlements,
        matrix=_matrix(settlements),
        combined=_combined(settlements, request, policies),
        notes=missing_entries(request.policies, request.losses),
    )


@precisely
def gap_statement(request: GapRequest, as_of: date) -> GapStatement:
    """Return value, class, settlements and ranked questions, with the recorded answers applied."""
    answered = answered_document(request, as_of)
    build, policies = answered.build, answered.policies
    assessment = _assessment(build, as_of, request.travels_to)
    verdict = _verdict_by_law(assessment)
    estimates = _estimates(answered)
    losses = _losses(answered, as_of, assessment, request.options, estimates)
    outcomes = _outcomes(policies, losses)
    money = Money(build.currency, request.options.rounding)
    situation = situation_of(build, verdict, policies, losses, request.travels_to)
    settlements = _settlements(outcomes, request.answers)
    return GapStatement(
        as_of=as_of,
        locale=request.locale,
        estimate=estimates(as_of, request.options),
        assessment=assessment,
        settlements=settlements,
        matrix=_matrix(settlements),
        combined=_combined(settlements, request, policies),
        comparison=PolicyComparison(
            break_evens=break_evens(settlements, policies, money),
            expected_costs=expected_costs(settlements, policies, answered.losses, money),
        ),
        questions=ranked_questions(situation, outcomes, assessment.missing_facts),
        answers=request.answers,
        after_loss=after_loss(build, answered.losses, as_of, assessment.vin_check),
        protection=protection_report(build, policies, as_of),
        digest=digest(request, as_of),
        notes=missing_entries(request.policies, request.losses),
    )


def _verdict_by_law(assessment: Assessment) -> Verdict:
    """Return the verdict for settlements: a working reading is not the law of the place, so it leaves it open."""
    return "undetermined" if assessment.working_reading else assessment.verdict


def _estimates(answered: Answered) -> _Estimates:
    """Return what values the build on a day by some options, each of them once."""
    curves = Curves()
    return cache(lambda day, options: estimate(answered.build, day, options, answered.market_value_from, curves))


def _losses(
    answered: Answered, as_of: date, assessment: Assessment, options: Options, estimates: _Estimates
) -> tuple[LossContext, ...]:
    """Return the context of each loss."""
    money, verdict = Money(answered.build.currency, options.rounding), _verdict_by_law(assessment)

    def context(loss: Loss) -> LossContext:
        found = loss_context(
            answered.build, loss, _day_of_loss_estimates(loss.occurred_on or as_of, options, estimates), verdict, money
        )
        return replace(
            found, registered_class=assessment.registered.class_, market_value_from=answered.market_value_from
        )

    return tuple(map(context, answered.losses))


def _outcomes(policies: Sequence[Policy], losses: Sequence[LossContext]) -> tuple[Outcomes, ...]:
    return tuple(Outcomes(policy, context) for policy in policies for context in losses)


def _day_of_loss_estimates(day: date, options: Options, estimates: _Estimates) -> DayOfLossEstimates:
    """Return the build on a day with labor at its full value, and with labor depreciated.

    Labor depreciates on its own schedule where the options say so, else with the part it serves.

    Only the lines are used, so workings are left out.
    """
    depreciated = "own" if options.labor_depreciation == "own" else "with_component"
    plain = replace(options, workings=False)
    return DayOfLossEstimates(
        estimates(day, replace(plain, labor_depreciation="none")),
        estimates(day, replace(plain, labor_depreciation=depreciated)),
    )


def _matrix(settlements: Sequence[Settlement]) -> tuple[MatrixCell, ...]:
    return tuple(
        MatrixCell(
            policy=each.policy, loss=each.loss, payable=each.payable, gap=each.gap, share_covered=each.share_covered
        )
        for each in settlements
    )


def _combined(settlements: Sequence[Settlement], request: Document, policies: Sequence[Policy]) -> tuple[Combined, ...]:
    if request.coordination is None:
        return ()
    money = Money(request.build.currency, request.options.rounding)
    return combined(settlements, policies, request.coordination, money)


def answered_document(request: Document, as_of: date) -> Answered:
    """Return the build, the policies and the losses with the recorded answers taken into account."""
    build, origin = _with_answers(request.build, request.answers)
    if build.market_value is None and request.sales_comparison is not None:
        build, origin = _with_market_value(build, request, request.sales_comparison, as_of), "sales_comparison"
    return Answered(
        build,
        tuple(with_recorded_answers(policy, request.answers) for policy in request.policies),
        tuple(with_recorded_salvage(loss, request.answers) for loss in request.losses),
        origin,
    )


def _with_answers(build: Build, answers: Sequence[Answer]) -> tuple[Build, MarketValueOrigin]:
    """Return the build with the facts and amounts that were answered, and where its market value comes from."""
    facts = newest_facts(answers)
    origin: MarketValueOrigin = "entered" if facts.get(MARKET_VALUE) is None else "answered"
    for field in BUILD_ANSWERS & facts.keys():
        build = _with_amount(build, field, facts.pop(field))
    return replace(build, facts={**build.facts, **facts}) if facts else build, origin


def _with_amount(build: Build, field: str, value: object) -> Build:
    """Return the build with an amount that somebody answered; null leaves it as it was.

    `none` for the price of a plain trailer: nobody sells one, so it is valued by its parts.
    """
    if value is None:
        return build
    if field == MARKET_VALUE:
        return replace(build, market_value=_amount(value))
    base = build.base or Base(kind=build.registered_class or "trailer")
    if value == ABSENT:
        return replace(build, base=replace(base, comparable_price=None, valued_by_parts=True))
    return replace(build, base=replace(base, comparable_price=_amount(value)))


def _amount(value: object) -> Decimal:
    return msgspec.convert(str(value), Decimal)


def _with_market_value(build: Build, request: Document, sales: Sales, as_of: date) -> Build:
    """Return the build with the value by its comparable sales as its market value."""
    compared = SalesComparisonRequest(
        build=build,
        subject=sales.subject,
        comparables=sales.comparables,
        adjustments=sales.adjustments,
        options=replace(request.options, workings=False),
    )
    return replace(build, market_value=sales_comparison(compared, as_of).sales_comparison.indicated_value)


def _settlements(outcomes: Sequence[Outcomes], answers: Sequence[Answer]) -> tuple[Settlement, ...]:
    """Return the settlement of each outcome, with the terms that rest on recorded answers."""
    return tuple(
        replace(settlement_of(each), answered=recorded(each.claim.policy, answers, each.claim.loss.name))
        for each in outcomes
    )
