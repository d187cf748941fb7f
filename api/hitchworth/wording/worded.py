"""Fill in the words of a result: the same record with its texts, labels, reasons and cautions in a locale."""

from typing import TypeAlias, overload

from hitchworth.model.assessment import Assessment
from hitchworth.model.comparison import EstimateComparison
from hitchworth.model.estimate import Estimate
from hitchworth.model.gap import GapStatement
from hitchworth.model.opinion import SecondOpinion
from hitchworth.model.settlement import Settlement
from hitchworth.model.value_curve import ValueCurve
from hitchworth.wording.assessments import worded_assessment
from hitchworth.wording.estimates import worded_estimate
from hitchworth.wording.gap_statements import worded_gap_statement
from hitchworth.wording.settlements import worded_settlement
from hitchworth.wording.valuations import worded_comparison, worded_curve, worded_opinion
from hitchworth.wording.voice import voice_of

Result: TypeAlias = Estimate | Assessment | GapStatement | SecondOpinion | ValueCurve | EstimateComparison


@overload
def worded(value: Estimate, locale: str) -> Estimate: ...
@overload
def worded(value: Assessment, locale: str) -> Assessment: ...
@overload
def worded(value: tuple[Settlement, ...], locale: str, currency: str | None = None) -> tuple[Settlement, ...]: ...
@overload
def worded(value: GapStatement, locale: str) -> GapStatement: ...
@overload
def worded(value: SecondOpinion, locale: str) -> SecondOpinion: ...
@overload
def worded(value: ValueCurve, locale: str) -> ValueCurve: ...
@overload
def worded(value: EstimateComparison, locale: str) -> EstimateComparison: ...


def worded(
    value: Result | tuple[Settlement, ...], locale: str, currency: str | None = None
) -> Result | tuple[Settlement, ...]:
    """The value with its words in the nearest locale that there is.

    Settlements carry no currency: give that of the build, or amounts inside their labels stand without one.
    """
    if isinstance(value, GapStatement):
        return worded_gap_statement(value, voice_of(locale, value.estimate.currency))
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
    return tuple(worded_settlement(settlement, voice_of(locale, currency)) for settlement in value)
