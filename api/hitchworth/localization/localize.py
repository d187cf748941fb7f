"""Fill in the words of a result: the same record with its texts, labels, reasons and cautions in a locale."""

from typing import TypeAlias, overload

from msgspec.structs import replace

from hitchworth.localization.assessments import localize_assessment
from hitchworth.localization.estimates import localize_estimate
from hitchworth.localization.gap_statements import localize_gap_statement
from hitchworth.localization.localizer import localizer_for
from hitchworth.localization.protections import localize_protection
from hitchworth.localization.settlements import localize_settlements
from hitchworth.localization.valuations import (
    localize_estimate_comparison,
    localize_sales_comparison,
    localize_value_curve,
)
from hitchworth.model.assessment import Assessment
from hitchworth.model.estimate import Estimate
from hitchworth.model.estimate_comparison import EstimateComparison
from hitchworth.model.gap import GapStatement
from hitchworth.model.protection import ProtectionReport
from hitchworth.model.sales_comparison import SalesComparison
from hitchworth.model.settlement import Settlements
from hitchworth.model.value_curve import ValueCurve

Valued: TypeAlias = Estimate | SalesComparison | ValueCurve | EstimateComparison
Answered: TypeAlias = Valued | Assessment | Settlements | GapStatement | ProtectionReport


@overload
def localize(value: Estimate, locale: str) -> Estimate: ...
@overload
def localize(value: Assessment, locale: str) -> Assessment: ...
@overload
def localize(value: Settlements, locale: str, currency: str | None = None) -> Settlements: ...
@overload
def localize(value: GapStatement, locale: str) -> GapStatement: ...
@overload
def localize(value: SalesComparison, locale: str) -> SalesComparison: ...
@overload
def localize(value: ValueCurve, locale: str) -> ValueCurve: ...
@overload
def localize(value: EstimateComparison, locale: str) -> EstimateComparison: ...
@overload
def localize(value: ProtectionReport, locale: str, currency: str | None = None) -> ProtectionReport: ...


def localize(value: Answered, locale: str, currency: str | None = None) -> Answered:
    """The value with its words in the nearest locale that there is.

    Settlements and protection reports carry no currency: give that of the build, or amounts in their texts stand
    without one.
    """
    if isinstance(value, GapStatement):
        localizer = localizer_for(locale, value.estimate.currency)
        protected = replace(value, protection=localize_protection(value.protection, localizer))
        return localize_gap_statement(protected, localizer)
    if isinstance(value, ProtectionReport):
        return localize_protection(value, localizer_for(locale, currency))
    if isinstance(value, Estimate):
        return localize_estimate(value, localizer_for(locale, value.currency))
    if isinstance(value, SalesComparison):
        return localize_sales_comparison(value, localizer_for(locale, value.currency))
    if isinstance(value, ValueCurve):
        return localize_value_curve(value, localizer_for(locale, value.currency))
    if isinstance(value, EstimateComparison):
        return localize_estimate_comparison(value, localizer_for(locale, value.currency))
    if isinstance(value, Assessment):
        return localize_assessment(value, localizer_for(locale))
    return localize_settlements(value, localizer_for(locale, currency))
