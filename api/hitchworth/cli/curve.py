"""`hitchworth curve`: a build valued over time."""

from argparse import Namespace

from hitchworth.cli.output import show
from hitchworth.cli.request_file import chosen_request
from hitchworth.cli.valuation_tables import curve_report
from hitchworth.localization.localizer import localizer_for
from hitchworth.model.request import ValueCurveRequest
from hitchworth.web.value_curves import create_value_curve


def run(chosen: Namespace) -> None:
    """Value the build on each date; as CSV, a row a date."""
    request = chosen_request(chosen, ValueCurveRequest)
    found = create_value_curve(request)
    show(chosen.format, found, curve_report(found, localizer_for(request.locale, found.currency)), found.points)
