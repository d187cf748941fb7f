"""`hitchworth curve`: a build valued over time."""

from argparse import Namespace

from hitchworth.cli.showing import show
from hitchworth.cli.source import chosen_request
from hitchworth.cli.valuation_tables import curve_report
from hitchworth.model.request import ValueCurveRequest
from hitchworth.web.value_curves import create_value_curve
from hitchworth.wording.voice import voice_of


def run(chosen: Namespace) -> None:
    """Value the build on each date; as CSV, a row a date."""
    request = chosen_request(chosen, ValueCurveRequest)
    found = create_value_curve(request)
    show(chosen.format, found, curve_report(found, voice_of(request.locale, found.currency)), found.points)
