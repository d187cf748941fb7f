"""Value curves: the value on a row of dates, and how long a limit covers it."""

from hitchworth import appraisal
from hitchworth.localization.localize import localize
from hitchworth.localization.localizer import localizer_for
from hitchworth.model.request import ValueCurveRequest
from hitchworth.model.value_curve import ValueCurve
from hitchworth.reports.value_chart import value_chart
from hitchworth.web.content_negotiation import AS_JSON, Rendering
from hitchworth.web.operation import Operation
from hitchworth.web.tables import as_tables


def create_value_curve(request: ValueCurveRequest) -> ValueCurve:
    """Value a build over time.

    Replacement cost, actual cash value and insurance to value on each date, and every day from the first date to the
    last on which the limit ceases to cover the value, or covers it again, exact to the day, with how it was found. As a
    table of the dates (CSV, TSV) and as a chart (SVG) too.
    """
    return localize(appraisal.value_curve(request), request.locale)


def as_chart(curve: ValueCurve) -> bytes:
    """The chart, in the locale of the curve."""
    return value_chart(curve, localizer_for(curve.locale, curve.currency)).encode()


OPERATIONS = (
    Operation(
        method="POST",
        path="/v1/value-curves",
        tag="Appraisal",
        function=create_value_curve,
        renderings=(AS_JSON, *as_tables(lambda curve: curve.points), Rendering("svg", "image/svg+xml", as_chart)),
        example="value-curve",
        run_in_thread=True,
    ),
)
