"""Estimates: what a build costs to replace, and what it is worth after wear."""

from hitchworth import appraisal
from hitchworth.localization.localize import localize
from hitchworth.model.estimate import Estimate
from hitchworth.model.request import EstimateRequest
from hitchworth.web.clock import today
from hitchworth.web.content_negotiation import AS_JSON
from hitchworth.web.operation import Operation
from hitchworth.web.tables import as_tables


def create_estimate(request: EstimateRequest) -> Estimate:
    """Value a build.

    Every line of the build on the valuation date: historic cost, replacement cost new, percent good, depreciation and
    actual cash value; their totals, a band of uncertainty, and notes on what was assumed. As CSV or TSV: the lines.
    """
    estimate = appraisal.estimate(request.build, request.as_of or today(), request.options)
    return localize(estimate, request.locale)


OPERATIONS = (
    Operation(
        method="POST",
        path="/v1/estimates",
        tag="Appraisal",
        function=create_estimate,
        renderings=(AS_JSON, *as_tables(lambda estimate: estimate.lines)),
        example="estimate",
    ),
)
