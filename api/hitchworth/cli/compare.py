"""`hitchworth compare`: two estimates, and what moved between them."""

from argparse import Namespace

from hitchworth.cli.showing import show
from hitchworth.cli.source import chosen_request
from hitchworth.cli.valuation_tables import comparison_report
from hitchworth.model.request import EstimateComparisonRequest
from hitchworth.web.estimate_comparisons import create_estimate_comparison
from hitchworth.wording.voice import voice_of


def run(chosen: Namespace) -> None:
    """Compare the two; as CSV, a row a line that differs."""
    request = chosen_request(chosen, EstimateComparisonRequest)
    found = create_estimate_comparison(request)
    show(chosen.format, found, comparison_report(found, voice_of(request.locale, found.currency)), found.lines)
