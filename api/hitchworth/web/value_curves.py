"""Value curves: the value on a row of dates, and how long a limit covers it."""

import csv
from io import StringIO

from hitchworth import appraisal
from hitchworth.model.request import ValueCurveRequest
from hitchworth.model.value_curve import CurvePoint, ValueCurve
from hitchworth.sheets.value_chart import value_chart
from hitchworth.web.media import AS_JSON, Rendering
from hitchworth.web.operations import Operation
from hitchworth.wording.voice import voice_of
from hitchworth.wording.worded import worded


def create_value_curve(request: ValueCurveRequest) -> ValueCurve:
    """Value a build over time.

    Replacement cost, actual cash value and insurance to value on each date, and every day from the first date to the
    last on which the limit ceases to cover the value, or covers it again, exact to the day, with how it was found. As a
    table of the dates (CSV) and as a chart (SVG) too.
    """
    return worded(appraisal.value_curve(request), request.locale)


def as_table(curve: ValueCurve) -> bytes:
    """A row a date (RFC 4180)."""
    text = StringIO(newline="")
    rows = csv.writer(text)
    rows.writerow(CurvePoint.__struct_fields__)
    for point in curve.points:
        values = (getattr(point, name) for name in CurvePoint.__struct_fields__)
        rows.writerow(_cell(value) for value in values)
    return text.getvalue().encode()


def as_chart(curve: ValueCurve) -> bytes:
    """The chart, in the locale of the curve."""
    return value_chart(curve, voice_of(curve.locale, curve.currency)).encode()


def _cell(value: object) -> str:
    """As in JSON, but null is an empty cell."""
    if isinstance(value, bool):
        return str(value).lower()
    return "" if value is None else str(value)


OPERATIONS = (
    Operation(
        method="POST",
        path="/v1/value-curves",
        tag="Appraisal",
        function=create_value_curve,
        renderings=(AS_JSON, Rendering("csv", "text/csv", as_table), Rendering("svg", "image/svg+xml", as_chart)),
        example="value-curve",
        slow=True,
    ),
)
