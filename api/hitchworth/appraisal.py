"""The one straight road: build -> estimate -> assessment -> settlements -> gap statement.

Web, sheets and command line call this and nothing else of the core. Nothing here reads a clock: every date is an
argument. Texts are left empty; `wording` puts the answer into words.
"""

from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from fractions import Fraction
from functools import cache

import msgspec

from hitchworth.classing.assessment import assess
from hitchworth.cover.damage import Valued
from hitchworth.cover.questions import ranked_questions
from hitchworth.cover.settlement import Circumstances
from hitchworth.cover.settlement import settle as settle_one
from hitchworth.cover.terms import answered, assumptions, least_favourable
from hitchworth.model.assessment import Assessment, Verdict
from hitchworth.model.build import Build, FactValue
from hitchworth.model.comparison import EstimateComparison
from hitchworth.model.estimate import Estimate
from hitchworth.model.gap import GapStatement
from hitchworth.model.opinion import SecondOpinion
from hitchworth.model.options import Options
from hitchworth.model.policy import Answer, Loss, Policy
from hitchworth.model.request import (
    EstimateComparisonRequest,
    GapRequest,
    SecondOpinionRequest,
    ValueCurveRequest,
)
from hitchworth.model.settlement import Settlement
from hitchworth.model.value_curve import ValueCurve
from hitchworth.valuation.comparison import Dated, comparison
from hitchworth.valuation.estimate import estimate as value
from hitchworth.valuation.money import Money
from hitchworth.valuation.second_opinion import second_opinion as opinion
from hitchworth.valuation.value_curve import value_curve as curve


def estimate(build: Build, as_of: date, options: Options) -> Estimate:
    """Every line of the build valued on the date."""
    return value(build, as_of, options)


def second_opinion(request: SecondOpinionRequest, as_of: date) -> SecondOpinion:
    """The value by what like trailers sold for, reconciled with the value by cost."""
    return opinion(request, as_of)


def value_curve(request: ValueCurveRequest) -> ValueCurve:
    """The value on each date, and how long the limit covers it."""
    return curve(request)


def compare(request: EstimateComparisonRequest, before: date, after: date) -> EstimateComparison:
    """What moved between two estimates, taken apart by effect and by line."""
    sides = Dated(request.before.build, before), Dated(request.after.build, after)
    return comparison(*sides, request.order, request.options)


def classify(
    jurisdiction: str | None, registered_class: str | None, facts: Mapping[str, FactValue], as_of: date
) -> Assessment:
    """The registered class against the built use, under the definitions that applied on the date."""
    return assess(jurisdiction, registered_class, facts, as_of)


def settle(
    build: Build, as_of: date, policies: tuple[Policy, ...], losses: tuple[Loss, ...], options: Options
) -> tuple[Settlement, ...]:
    """Every policy against every loss, each loss valued on its own day; unknown terms at their least favourable."""
    verdict = classify(build.jurisdiction, build.registered_class, build.facts, as_of).verdict
    return _Claims(build, options).settlements(policies, losses, verdict)


def gap_statement(request: GapRequest, as_of: date) -> GapStatement:
    """The whole job: value, class, settlements and ranked questions, the recorded answers taken into account."""
    build = _with_answered_facts(request.build, request.answers)
    policies = tuple(answered(policy, request.answers) for policy in request.policies)
    assessment = classify(build.jurisdiction, build.registered_class, build.facts, as_of)
    claims = _Claims(build, request.options)
    return GapStatement(
        as_of=as_of,
        locale=request.locale,
        estimate=estimate(build, as_of, request.options),
        assessment=assessment,
        settlements=claims.settlements(policies, request.losses, assessment.verdict),
        questions=ranked_questions(
            policies, request.losses, assessment.verdict, assessment.missing_facts, claims.payable
        ),
        answers=request.answers,
    )


class _Claims:
    """Settles policies against losses on one build; a day is valued once."""

    def __init__(self, build: Build, options: Options) -> None:
        self._build = build
        self._money = Money(build.currency, options.rounding)
        self._valued = cache(lambda day: _valued(build, day, options))

    def settlements(
        self, policies: tuple[Policy, ...], losses: tuple[Loss, ...], verdict: Verdict
    ) -> tuple[Settlement, ...]:
        return tuple(
            msgspec.structs.replace(
                self._settlement(least_favourable(policy), loss, verdict), assumed=assumptions(policy)
            )
            for policy in policies
            for loss in losses
        )

    def payable(self, policy: Policy, loss: Loss, verdict: Verdict) -> Decimal:
        return self._settlement(policy, loss, verdict).payable

    def _rounded(self, exact: Fraction) -> Decimal:
        one = 10**self._money.exponent
        return self._money.amount(self._money.part(one, exact))

    def _settlement(self, policy: Policy, loss: Loss, verdict: Verdict) -> Settlement:
        valued = self._valued(loss.occurred_on)
        return settle_one(policy, loss, Circumstances(valued, verdict, self._build.base, self._rounded))


def _valued(build: Build, day: date, options: Options) -> Valued:
    """The build on a day: labor kept at its value, and labor aged (as the options say, else with its component)."""
    aged = "own" if options.labor_depreciation == "own" else "with_component"
    return Valued(
        value(build, day, msgspec.structs.replace(options, labor_depreciation="none")),
        value(build, day, msgspec.structs.replace(options, labor_depreciation=aged)),
    )


def _with_answered_facts(build: Build, answers: tuple[Answer, ...]) -> Build:
    facts = {answer.fact: answer.value for answer in answers if answer.fact is not None}
    return msgspec.structs.replace(build, facts={**build.facts, **facts}) if facts else build
