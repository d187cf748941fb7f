"""Fill in the words of a result: the same record with its texts, labels, reasons and cautions in a locale."""

from typing import TypeAlias, overload

from msgspec.structs import replace

from hitchworth.model.assessment import Assessment
from hitchworth.model.comparison import EstimateComparison
from hitchworth.model.estimate import Estimate
from hitchworth.model.gap import GapStatement
from hitchworth.model.opinion import SecondOpinion
from hitchworth.model.protection import ProtectionReport
from hitchworth.model.settlement import Settlements
from hitchworth.model.value_curve import ValueCurve
from hitchworth.wording.assessments import worded_assessment
from hitchworth.wording.estimates import worded_estimate
from hitchworth.wording.gap_statements import worded_gap_statement
from hitchworth.wording.protections import worded_protection
from hitchworth.wording.settlements import worded_settlements
from hitchworth.wording.valuations import worded_comparison, worded_curve, worded_opinion
from hitchworth.wording.voice import voice_of

Valued: TypeAlias = Estimate | SecondOpinion | ValueCurve | EstimateComparison
Answered: TypeAlias = Valued | Assessment | Settlements | GapStatement | ProtectionReport


@overload
def worded(value: Estimate, locale: str) -> Estimate: ...
@overload
def worded(value: Assessment, locale: str) -> Assessment: ...
@overload
def worded(value: Settlements, locale: str, currency: str | None = None) -> Settlements: ...
@overload
def worded(value: GapStatement, locale: str) -> GapStatement: ...
@overload
def worded(value: SecondOpinion, locale: str) -> SecondOpinion: ...
@overload
def worded(value: ValueCurve, locale: str) -> ValueCurve: ...
@overload
def worded(value: EstimateComparison, locale: str) -> EstimateComparison: ...
@overload
def worded(value: ProtectionReport, locale: str, currency: str | None = None) -> ProtectionReport: ...


def worded(value: Answered, locale: str, currency: str | None = None) -> Answered:
    """The value with its words in the nearest locale that there is.

    Settlements and protection reports carry no currency: give that of the build, or amounts in their texts stand
    without one.
    """
    if isinstance(value, GapStatement):
        voice = voice_of(locale, value.estimate.currency)
        protected = replace(value, protection=worded_protection(value.protection, voice))
        return worded_gap_statement(protected, voice)
    if isinstance(value, ProtectionReport):
        return worded_protection(value, voice_of(locale, currency))
    if isinstance(value, Estimate):
        return worded_estimate(value, voice_of(locale, value.currency))
    if isinstance(value, SecondOpinion):
        return worded_opinion(value, voice_of(locale, value.currency))
    if isinstance(value, ValueCurve):
        return worded_curve(value, voice_of(locale, value.currency))
    if isinstance(value, EstimateComparison):
        return worded_comparison(value, voice_of(locale, value.currency))
    if isinstance(value, Assessment):
        return worded_assessment(value, voice_of(locale))
    return worded_settlements(value, voice_of(locale, currency))
