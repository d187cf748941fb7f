"""`hitchworth compare`: two estimates, and what moved between them."""

from argparse import Namespace

from hitchworth.cli.output import show
from hitchworth.cli.request_file import chosen_request
from hitchworth.cli.valuation_tables import comparison_report
from hitchworth.localization.localizer import localizer_for
from hitchworth.model.request import EstimateComparisonRequest
from hitchworth.web.estimate_comparisons import create_estimate_comparison


def run(chosen: Namespace) -> None:
    """Compare the two; as CSV, a row a line that differs."""
    request = chosen_request(chosen, EstimateComparisonRequest)
    found = create_estimate_comparison(request)
    show(chosen.format, found, comparison_report(found, localizer_for(request.locale, found.currency)), found.lines)
